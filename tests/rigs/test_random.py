"""A small sample of rigs made up by chance; ``python -m tests.rigs.random 10000`` judges many."""

import pytest

from tests.rigs.calculated import judge
from tests.rigs.made_up import made_up
from tests.rigs.random import faults


@pytest.mark.parametrize("seed", range(150))
def test_a_made_up_rig_gets_an_answer_in_finite_numbers(seed: int) -> None:
    assert faults(seed) == []


def test_one_number_always_makes_the_same_rig() -> None:
    assert made_up(7) == made_up(7)
    assert made_up(7) != made_up(8)


def test_the_rigs_are_no_empty_ones() -> None:
    """Half of the checks have something to say about the first hundred."""
    codes = {finding.code for seed in range(100) for finding in judge(made_up(seed)).findings}
    assert len(codes) > 30
