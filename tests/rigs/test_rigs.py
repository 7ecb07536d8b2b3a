"""Each rig of the collection: what must be found is found, and nothing is found that an expert would laugh at."""

import pytest

from tests.rigs.calculated import judge
from tests.rigs.collection import ALL, SOUND
from tests.rigs.declare import Rig
from tests.rigs.not_yet import NOT_YET
from tests.rigs.rates import MOST_FINDINGS, false_alarms, missed


def wrong(rig: Rig) -> list[str]:
    """Return all that calculation gets wrong about the rig."""
    result = judge(rig)
    problems = [f"missed {code}" for code in missed(rig, result)] + false_alarms(rig, result)
    if rig in SOUND and len(result.findings) > MOST_FINDINGS:
        problems.append(f"{len(result.findings)} findings on a sound rig")
    return problems


@pytest.mark.parametrize("rig", ALL, ids=lambda rig: rig.name)
def test_a_rig_is_judged_as_an_expert_would(rig: Rig) -> None:
    problems = wrong(rig)
    if rig.name in NOT_YET:
        assert problems, "It is judged rightly now: take it off the list."
    else:
        assert problems == []


def test_the_list_of_what_is_not_right_yet_names_rigs() -> None:
    assert {rig.name for rig in ALL} >= NOT_YET
