"""Each rig of the collection: what must be found is found, and nothing is found that an expert would laugh at."""

import pytest

from tests.rigs.calculated import judge
from tests.rigs.collection import ALL, SOUND
from tests.rigs.declare import Rig
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
