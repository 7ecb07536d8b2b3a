"""Numbers with two ends: the laws of intervals, tried against many numbers between the ends."""

from math import inf, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.given import Choice, Given, total, widest
from calc.vocabulary import PROVENANCES

numbers = st.floats(-1e6, 1e6)
parts = st.builds(
    lambda ends, provenance, name: Given(*sorted(ends), provenance, name),
    st.tuples(numbers, numbers),
    st.sampled_from(PROVENANCES),
    st.sampled_from("abc"),
)


@settings(deadline=None)
@given(part=parts, limit=numbers, share=st.floats(0, 1))
def test_what_both_ends_agree_on_holds_for_all_between(part, limit, share):
    between = min(max(part.low + share * (part.high - part.low), part.low), part.high)
    agreed = part.agrees(lambda value: value <= limit)
    assert agreed in (None, between <= limit)
    assert (agreed is None) is (part.low <= limit < part.high)


@settings(deadline=None)
@given(st.lists(parts, max_size=6), st.randoms())
def test_a_sum_holds_every_sum_of_its_parts(listed, random):
    whole = total(listed, "sum")
    chosen = sum(random.uniform(part.low, part.high) for part in listed)
    assert whole.low - 1e-3 <= chosen <= whole.high + 1e-3
    assert whole.name == "sum"


@settings(deadline=None)
@given(st.lists(parts, min_size=1, max_size=6))
def test_a_sum_is_known_no_better_than_its_worst_part(listed):
    order = ["measured", "label", "data sheet", "assumed", "unknown"]
    assert order.index(total(listed, "sum").provenance) == max(order.index(part.provenance) for part in listed)


def test_a_sum_of_nothing_is_a_known_zero():
    assert total([], "sum") == Given.known(0, "data sheet", "sum")


@settings(deadline=None)
@given(st.lists(parts, max_size=6))
def test_the_widest_part_is_the_one_to_ask_for(listed):
    found = widest(listed)
    if found is None:
        assert all(part.settled for part in listed)
    else:
        assert found in listed
        assert not found.settled
        assert found.high - found.low == max(part.high - part.low for part in listed)


def test_a_part_without_an_upper_end_is_the_widest():
    endless = Given.unknown("endless")
    assert widest([Given.assumed_range(0, 1e9, "wide"), endless]) is endless
    assert total([endless, Given.known(1, "label", "a")], "sum") == Given(1, inf, "unknown", "sum")
    assert endless.agrees(lambda value: value <= 1e12) is None


def test_the_constructors_say_where_a_number_comes_from():
    assert Given.known(2, "measured", "a") == Given(2, 2, "measured", "a")
    assert Given.assumed(2, "a") == Given(2, 2, "assumed", "a")
    assert Given.assumed_range(1, 2, "a") == Given(1, 2, "assumed", "a")
    assert Given.unknown("a") == Given(0, inf, "unknown", "a")


@pytest.mark.parametrize(
    ("low", "high", "provenance"),
    [
        (2, 1, "assumed"),
        (inf, 1, "unknown"),
        (nan, 1, "unknown"),
        (0, nan, "unknown"),
        ("0", 1, "unknown"),
        (0, inf, "assumed"),
        (-inf, 0, "label"),
        (nan, nan, "label"),
        ("0", 1, "label"),
        (True, 1, "label"),
        (0, 1, "guessed"),
        (0, 1, ""),
        (0, 1, None),
    ],
)
def test_what_is_no_range_is_refused(low, high, provenance):
    with pytest.raises(BadInput):
        Given(low, high, provenance, "a")


def test_a_choice_has_a_provenance_too():
    assert Choice("5e", "assumed", "cable.category").value == "5e"
    with pytest.raises(BadInput):
        Choice("5e", "hearsay", "cable.category")
