"""Each rig of the collection: what must be found is found, and nothing is found that an expert would laugh at."""

import pytest

from tests.rigs.calculated import judge
from tests.rigs.collection import ALL, SOUND
from tests.rigs.declare import Rig, part
from tests.rigs.rates import MOST_FINDINGS, false_alarms, missed, rates


@pytest.mark.parametrize("rig", ALL, ids=lambda rig: rig.name)
def test_a_rig_is_judged_as_an_expert_would(rig: Rig) -> None:
    result = judge(rig)
    assert missed(rig, result) == []
    assert false_alarms(rig, result) == []
    if rig in SOUND:
        assert len(result.findings) <= MOST_FINDINGS


def test_the_rates_over_the_collection() -> None:
    found = rates()
    assert (found.false_stops, found.false_cautions, found.missed, found.talkative) == ((), (), (), ())


def test_a_kit_of_names_asks_at_most_five_questions() -> None:
    kinds = ("switch", "router", "camera", "distro", "supply", "node", "console", "access-point")
    names = {f"thing {number}": part(kind, name=f"some {kind}") for number, kind in enumerate(kinds, start=1)}
    result = judge(Rig(name="names only", parts=names, why="Nothing else is known.", source="common practice"))
    assert result.verdict == "unknown"
    assert len(result.findings) == 5
    assert {finding.subject.label for finding in result.findings} >= {"thing 1", "thing 2", "thing 4", "thing 5"}
