"""How many are wanted at once, against a count at every instant that matters."""

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.intervals import peak_overlap

PERIODS = st.lists(st.tuples(st.integers(-20, 20), st.integers(1, 10)).map(lambda pair: (pair[0], sum(pair))))
MIDNIGHT = datetime(2027, 5, 1, tzinfo=UTC)


@given(periods=PERIODS)
def test_the_peak_is_the_most_that_hold_the_start_of_one(periods):
    counts = [sum(start <= instant < end for start, end in periods) for instant, _ in periods]
    assert peak_overlap(periods) == max(counts, default=0)


@given(periods=PERIODS, hours=st.integers(-1000, 1000))
def test_datetimes_count_like_numbers_wherever_they_are_shifted(periods, hours):
    def at(hour):
        return MIDNIGHT + timedelta(hours=hour + hours)

    assert peak_overlap([(at(start), at(end)) for start, end in periods]) == peak_overlap(periods)


def test_back_to_back_is_not_at_once():
    assert peak_overlap([(13, 14), (14, 14.5)]) == 1


def test_zones_are_compared_by_instant():
    """09:00 at +02:00 is 07:00 UTC: the first ends when the second starts."""
    there = timezone(timedelta(hours=2))
    first = (datetime(2027, 5, 1, 6, tzinfo=UTC), datetime(2027, 5, 1, 7, tzinfo=UTC))
    second = (datetime(2027, 5, 1, 9, tzinfo=there), datetime(2027, 5, 1, 10, tzinfo=there))
    assert peak_overlap([first, second]) == 1


def test_the_hour_that_a_clock_change_repeats_comes_twice():
    """Central Europe, 31 October 2027: 02:30 is passed at 00:30 UTC and again at 01:30 UTC."""
    zone = ZoneInfo("Europe/Berlin")
    once, again = (datetime(2027, 10, 31, 2, 30, fold=fold, tzinfo=zone) for fold in (0, 1))
    assert peak_overlap([(once, again), (again, again + timedelta(hours=1))]) == 1


@pytest.mark.parametrize(
    "period",
    [
        (1, 1),
        (2, 1),
        (1, float("inf")),
        (float("nan"), 1),
        (1, True),
        ("1", "2"),
        (1, None),
        (1, 2, 3),
        (MIDNIGHT, 3),
        (MIDNIGHT, MIDNIGHT),
        (MIDNIGHT.replace(tzinfo=None), MIDNIGHT + timedelta(hours=1)),
    ],
)
def test_what_is_no_period_is_refused(period):
    with pytest.raises(BadInput) as caught:
        peak_overlap([period])
    assert caught.value.argument == "intervals"


def test_sorts_of_moments_do_not_mix_between_periods():
    with pytest.raises(BadInput):
        peak_overlap([(1, 2), (MIDNIGHT, MIDNIGHT + timedelta(hours=1))])
