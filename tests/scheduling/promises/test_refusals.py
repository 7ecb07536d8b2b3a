"""Which problem a refusal becomes."""

from datetime import timedelta

import pytest

from scheduling.errors import ClaimUndecidedError, NotEnoughError
from scheduling.models import Booking
from scheduling.promises.decide import BookingResult, Decision, Snapshot
from scheduling.promises.refuse import refusal
from tests.scheduling.factories import MONDAY


def refused(proof: str):
    booking = Booking(pk=1, event_id=1, spec_id=1, starts_at=MONDAY, ends_at=MONDAY + timedelta(hours=1))
    result = BookingResult(short=True, conflicts=(), bookable=2, proof=proof)
    snapshot = Snapshot(now=MONDAY, units={}, claims=(), downtimes=())
    return refusal(Decision(results={1: result}), snapshot, [booking])


def test_a_search_that_was_cut_short_is_said_to_be_no_proof():
    """It is never dressed as a refusal: it may well fit."""
    problem = refused("undecided")
    assert isinstance(problem, ClaimUndecidedError)
    assert problem.members["bookable"] == 2


@pytest.mark.parametrize("proof", ["bound", "exact"])
def test_a_proven_refusal_that_nobody_stands_in_the_way_of_says_how_many_there_are(proof):
    problem = refused(proof)
    assert isinstance(problem, NotEnoughError)
    assert problem.members["bookable"] == 2
