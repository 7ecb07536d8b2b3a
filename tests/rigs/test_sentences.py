"""What findings say, over all rigs: what to do, the value and its limit, a source, and whole sentences."""

import re

import pytest

from calc.checking.findings import Finding
from tests.rigs.calculated import judge
from tests.rigs.collection import ALL
from tests.rigs.declare import Rig

ONE_OF_SEVERAL = re.compile(
    r"(?<![\d.,/])1 (?:access points|addresses|clients|fibres|joints|links|outputs|people|ports|receivers|universes)\b"
)
"""One of something, with an ending for several."""
MEASURED = ("stop", "caution")
every_rig = pytest.mark.parametrize("rig", ALL, ids=lambda rig: rig.name)


def tells(finding: Finding, number: float) -> bool:
    """Tell whether a sentence has the number, rounded as sentences round."""
    told = [float(text.replace(" ", "")) for text in re.findall(r"\d+(?:\.\d+)?", finding.message)]
    return any(abs(one - number) <= max(0.06 * abs(number), 0.051) for one in told)


@every_rig
def test_a_finding_is_a_whole_sentence_with_a_source(rig: Rig) -> None:
    for finding in judge(rig).findings:
        assert finding.message[0].isupper()
        assert finding.message.endswith(".")
        assert "  " not in finding.message
        assert ": " in finding.message, "it says what to do, and why"
        assert not re.search(r": [A-Z][a-z]+ (?:no|current|is|are)\b", finding.message)
        assert len(finding.source) > 3
        assert not ONE_OF_SEVERAL.search(finding.message), finding.message


@every_rig
def test_an_alarm_about_a_number_tells_it_and_its_limit(rig: Rig) -> None:
    for finding in judge(rig).findings:
        if finding.severity in MEASURED and finding.limit is not None and finding.unit not in ("servers", "queriers"):
            assert tells(finding, finding.limit), f"{finding.code}: {finding.limit:g} in “{finding.message}”"
