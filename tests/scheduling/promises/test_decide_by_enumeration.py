"""Every decision about one booking, compared with all the ways there are of giving out at most five units."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import assume, event, given, settings
from hypothesis import strategies as st

from scheduling.promises.decide import BOOK, Occupancy, Snapshot, SpecQuantity, Want, decide_bookings, most_bookable
from tests.scheduling.promises.worlds import (
    NEWCOMER,
    SPEC,
    afterwards,
    can_all_be_met,
    choices,
    crowded_worlds,
    goes_out,
    may_take,
    meets,
    periods,
    snapshots,
    wants,
)

pytestmark = pytest.mark.long(15)

# What is reached is asserted, so the same worlds are made each time.
MANY = settings(max_examples=400, deadline=None, derandomize=True)
WORLDS = st.one_of(snapshots(), crowded_worlds())
REACHED: Counter[str] = Counter()


def reaching(*ways: str) -> Callable[[Callable[[], None]], Callable[[], None]]:
    """Let a green run prove that it has seen every way in which a decision can end."""

    def decorate(test: Callable[[], None]) -> Callable[[], None]:
        def run() -> None:
            REACHED.clear()
            test()
            for way in ways:
                assert REACHED[way] > 5, f"{way} was hardly reached: {REACHED}"

        run.__name__ = test.__name__
        return run

    return decorate


def granted(want: Want, after: Snapshot) -> int:
    return sum(claim.booking == want.booking for claim in after.claims)


def check_what_must_always_hold(before: Snapshot, want: Want, after: Snapshot) -> None:
    firm = [claim for claim in after.claims if claim.firm]
    for number, claim in enumerate(firm):
        assert goes_out(after, claim.unit, claim.period)
        assert not any(meets(claim, other) for other in firm[number + 1 :]), "one unit was promised twice"
    now = {claim.id: claim for claim in after.claims}
    for claim in before.claims:
        moved = now[claim.id]
        assert replace(moved, unit=claim.unit) == claim, "only the unit of another's claim may change"
        if claim.fixed or not claim.firm:
            assert moved.unit == claim.unit
        assert may_take(before, claim, moved.unit)
    own = [claim for claim in after.claims if claim.booking == want.booking]
    assert len({claim.unit for claim in own}) == len(own)
    lacking = sum(item.quantity for item in after.shortfalls if item.booking == want.booking)
    assert len(own) + lacking == (want.of_spec.quantity if want.of_spec else len(want.items))


@reaching("allocated free", "allocated exact", "refused bound")
@MANY
@given(st.data())
def test_a_number_of_a_spec_is_granted_if_and_only_if_there_is_a_way(data):
    world = data.draw(WORLDS)
    want = data.draw(wants(world))
    assume(want.of_spec is not None and want.firm)
    decision = decide_bookings(world, [want], BOOK)
    result = decision.results[NEWCOMER]
    after = afterwards(world, decision)
    check_what_must_always_hold(world, want, after)
    most = max(
        count
        for count in range(want.of_spec.quantity + 1)
        if can_all_be_met(world, [(want.period, choices(world, want))] * count)
    )
    assert granted(want, after) == most
    assert result.short == (most < want.of_spec.quantity)
    assert result.bookable == (most if result.short else None)
    note(f"{'refused' if result.short else 'allocated'} {result.proof}")


@reaching("claimed behind others", "short")
@MANY
@given(st.data())
def test_a_pencil_claims_whatever_could_go_out_and_changes_no_other_row(data):
    world = data.draw(WORLDS)
    want = replace(data.draw(wants(world)), firm=False)
    decision = decide_bookings(world, [want], BOOK)
    after = afterwards(world, decision)
    check_what_must_always_hold(world, want, after)
    assert not decision.results[NEWCOMER].short, "a pencil is never refused"
    assert not decision.change
    assert not decision.release
    claimed = [claim for claim in after.claims if claim.booking == NEWCOMER]
    assert not any(claim.firm for claim in claimed)
    if want.of_spec is not None:
        assert len(claimed) == min(want.of_spec.quantity, len(choices(world, want)))
    else:
        named = {item.unit for item in want.items if item.unit is not None}
        assert {claim.unit for claim in claimed} == {unit for unit in named if goes_out(world, unit, want.period)}
    if any(meets(claim, other) for claim in claimed for other in world.claims if other.firm):
        note("claimed behind others")
    if decision.open:
        note("short")
        assert "conflict" not in {draft.reason for draft in decision.open}


@MANY
@given(st.data())
def test_what_is_said_to_be_bookable_is_what_would_be_granted(data):
    world = data.draw(WORLDS)
    period, from_kits = data.draw(periods()), data.draw(st.booleans())
    want = Want(booking=NEWCOMER, event=NEWCOMER, period=period, firm=True)
    wanted = SpecQuantity(spec=SPEC, quantity=1, from_kits=from_kits)
    bookable = most_bookable(Occupancy(world), wanted, period)
    for quantity in range(1, len(world.units) + 2):
        decision = decide_bookings(world, [replace(want, of_spec=replace(wanted, quantity=quantity))], BOOK)
        assert decision.results[NEWCOMER].short == (quantity > bookable)


@reaching("named", "named moving others", "refused named")
@MANY
@given(st.data())
def test_named_units_are_granted_if_and_only_if_there_is_a_way(data):
    world = data.draw(WORLDS)
    want = replace(data.draw(wants(world)), firm=True)
    assume(want.of_spec is None)
    decision = decide_bookings(world, [want], BOOK)
    result = decision.results[NEWCOMER]
    after = afterwards(world, decision)
    check_what_must_always_hold(world, want, after)
    named = [(want.period, [item.unit]) for item in want.items if item.unit is not None]
    needed = [(want.period, [item.unit]) for item in want.items if item.unit is not None and item.needed]
    possible = [(period, unit) for period, unit in named if goes_out(world, unit[0], period)]
    if len(possible) == len(named) and can_all_be_met(world, named):
        assert not result.short
        assert not [item for item in decision.open if item.unit is not None]
        note("named moving others" if decision.change else "named")
    if not result.short:
        assert all(goes_out(world, unit[0], period) for period, unit in needed)
        assert can_all_be_met(world, needed)
    else:
        note("refused named")
        assert result.conflicts
    assert [item.reason for item in decision.open if item.unit is None] == (
        ["empty-position"] if any(item.unit is None for item in want.items) else []
    )


@MANY
@given(st.data())
def test_one_named_unit_is_refused_only_if_there_is_no_way(data):
    """For a single unit the greedy order of a kit's lines cannot matter: the answer is exact both ways."""
    world = data.draw(WORLDS)
    want = data.draw(wants(world))
    assume(want.of_spec is None)
    want = replace(want, firm=True, items=want.items[:1])
    unit = want.items[0].unit
    possible = goes_out(world, unit, want.period) and can_all_be_met(world, [(want.period, [unit])])
    decision = decide_bookings(world, [want], BOOK)
    result = decision.results[NEWCOMER]
    assert (not decision.open) == possible
    assert result.short == (not possible and want.items[0].needed)


@MANY
@given(st.data())
def test_one_more_free_unit_is_never_worse(data):
    world = data.draw(WORLDS)
    want = data.draw(wants(world))
    assume(want.of_spec is not None)
    row = next(iter(world.units.values()))
    extra = replace(row, id=50, spec=SPEC, in_pool=True, available_until=None, packed_in=None)
    before = afterwards(world, decide_bookings(world, [want], BOOK))
    richer = replace(world, units={**world.units, 50: extra})
    after = afterwards(richer, decide_bookings(richer, [want], BOOK))
    assert granted(want, after) >= min(granted(want, before) + 1, want.of_spec.quantity)


def note(way: str) -> None:
    event(way)
    REACHED[way] += 1
