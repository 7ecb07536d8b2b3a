"""Small worlds for decisions, and an oracle that tries every way of giving out units."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import timedelta

from hypothesis import strategies as st

from scheduling.promises.decide import (
    ClaimRow,
    Decision,
    DowntimeRow,
    FixedReason,
    Period,
    ShortfallRow,
    Snapshot,
    SpecQuantity,
    UnitRow,
    Want,
    WantedItem,
)
from tests.scheduling.factories import MONDAY

NOW = MONDAY - timedelta(days=30)
SPEC, OTHER_SPEC = 1, 2
NEWCOMER = 1000


def hours(start: int, end: int) -> Period:
    return Period(MONDAY + timedelta(hours=start), MONDAY + timedelta(hours=end))


@st.composite
def periods(draw: st.DrawFn) -> Period:
    start = draw(st.integers(0, 8))
    return hours(start, start + draw(st.integers(1, 5)))


@st.composite
def units(draw: st.DrawFn, most: int = 5) -> dict[int, UnitRow]:
    found = {}
    for number in range(1, draw(st.integers(1, most)) + 1):
        found[number] = UnitRow(
            id=number,
            tag=f"U{number}",
            spec=draw(st.sampled_from([SPEC, SPEC, SPEC, OTHER_SPEC])),
            in_pool=draw(st.sampled_from([True] * 7 + [False])),
            available_until=draw(st.sampled_from([None, None, None, hours(0, 9).ends_at])),
            packed_in=draw(st.sampled_from([None, None, None, 7])),
        )
    return found


@st.composite
def snapshots(draw: st.DrawFn, most_claims: int = 6) -> Snapshot:
    """A world in which no two firm claims overlap and every claim is where it may be."""
    have = draw(units())
    downtimes = tuple(
        DowntimeRow(
            id=number,
            unit=draw(st.sampled_from(sorted(have))),
            late=draw(st.booleans()),
            starts_at=(period := draw(periods())).starts_at,
            ends_at=draw(st.sampled_from([period.ends_at, None])),
        )
        for number in range(draw(st.integers(0, 1)))
    )
    world = Snapshot(now=NOW, units=have, claims=(), downtimes=downtimes)
    for number in range(1, draw(st.integers(0, most_claims)) + 1):
        allocated = draw(st.booleans())
        claim = ClaimRow(
            id=number,
            booking=number,
            event=number,
            unit=draw(st.sampled_from(sorted(have))),
            period=draw(periods()),
            firm=draw(st.sampled_from([True, True, True, False])),
            allocated=allocated,
            fixed=draw(st.sampled_from([None, None, FixedReason.PINNED])) if allocated else FixedReason.NAMED,
            from_kits=allocated and draw(st.booleans()),
        )
        if stands(world, claim):
            world = replace(world, claims=(*world.claims, claim))
    return world


@st.composite
def crowded_worlds(draw: st.DrawFn) -> Snapshot:
    """A world of loose, alike units with a short dealt claim on most: little is free, more can be made free."""
    have = {number: UnitRow(id=number, tag=f"U{number}", spec=SPEC) for number in range(1, draw(st.integers(2, 4)) + 1)}
    world = Snapshot(now=NOW, units=have, claims=(), downtimes=())
    for number in range(1, draw(st.integers(2, 5)) + 1):
        start = draw(st.integers(0, 9))
        unit = (number - 1) % len(have) + 1
        period = hours(start, start + draw(st.integers(1, 3)))
        claim = ClaimRow(
            id=number, booking=number, event=number, unit=unit, period=period, firm=True, allocated=True, fixed=None
        )
        if stands(world, claim):
            world = replace(world, claims=(*world.claims, claim))
    return world


@st.composite
def wants(draw: st.DrawFn, world: Snapshot) -> Want:
    period = draw(st.one_of(periods(), st.just(hours(0, 12))))
    want = Want(booking=NEWCOMER, event=NEWCOMER, period=period, firm=draw(st.booleans()))
    if draw(st.booleans()):
        wanted = SpecQuantity(spec=SPEC, quantity=draw(st.integers(1, 4)), from_kits=draw(st.booleans()))
        return replace(want, of_spec=wanted)
    named = draw(st.lists(st.sampled_from(sorted(world.units)), min_size=1, max_size=3, unique=True))
    items = [
        WantedItem(
            spec=world.units[unit].spec, unit=unit, position=unit, needed=draw(st.sampled_from([True, True, False]))
        )
        for unit in named
    ]
    if draw(st.booleans()):
        items.append(WantedItem(spec=SPEC, unit=None, position=99))
    return replace(want, items=tuple(items))


def goes_out(world: Snapshot, unit: int, period: Period) -> bool:
    """Say whether nothing but promises could keep the unit from going out."""
    row = world.units[unit]
    if not row.in_pool or (row.available_until is not None and row.available_until < period.ends_at):
        return False
    return not any(
        downtime.unit == unit
        and downtime.starts_at < period.ends_at
        and (downtime.ends_at is None or period.starts_at < downtime.ends_at)
        for downtime in world.downtimes
    )


def meets(a: ClaimRow, b: ClaimRow) -> bool:
    return a.unit == b.unit and a.period.starts_at < b.period.ends_at and b.period.starts_at < a.period.ends_at


def stands(world: Snapshot, claim: ClaimRow) -> bool:
    return goes_out(world, claim.unit, claim.period) and not (
        claim.firm and any(other.firm and meets(claim, other) for other in world.claims)
    )


def may_take(world: Snapshot, claim: ClaimRow, unit: int) -> bool:
    """Say whether a dealt claim may be on the unit: its own, or a usable one of the spec that is loose enough."""
    row = world.units[unit]
    return (
        row.spec == world.units[claim.unit].spec
        and (unit == claim.unit or row.packed_in is None or claim.from_kits)
        and goes_out(world, unit, claim.period)
    )


def ways(
    world: Snapshot, fixed: list[ClaimRow], open_claims: list[tuple[ClaimRow, list[int]]]
) -> Iterator[list[ClaimRow]]:
    """Yield every way of putting the open claims on units, none used twice at once."""
    if not open_claims:
        yield fixed
        return
    (claim, choices), *rest = open_claims
    for unit in choices:
        there = replace(claim, unit=unit)
        if not any(meets(there, other) for other in fixed):
            yield from ways(world, [*fixed, there], rest)


def can_all_be_met(world: Snapshot, newcomers: Iterable[tuple[Period, list[int]]], without: int | None = None) -> bool:
    """Say by enumeration whether every newcomer gets a unit while everybody else keeps having one."""
    firm = [claim for claim in world.claims if claim.firm and claim.booking != without]
    fixed = [claim for claim in firm if claim.fixed]
    movable = [(c, [u for u in world.units if may_take(world, c, u)]) for c in firm if not c.fixed]
    coming = [
        (ClaimRow(id=-1, booking=NEWCOMER, event=NEWCOMER, unit=0, period=period, firm=True), choices)
        for period, choices in newcomers
    ]
    return next(ways(world, fixed, coming + movable), None) is not None


def choices(world: Snapshot, want: Want) -> list[int]:
    """Return the units that a booking of a number of a spec could be dealt."""
    assert want.of_spec is not None
    return [
        unit.id
        for unit in world.units.values()
        if unit.spec == want.of_spec.spec
        and (unit.packed_in is None or want.of_spec.from_kits)
        and goes_out(world, unit.id, want.period)
    ]


def afterwards(world: Snapshot, decision: Decision) -> Snapshot:
    """Return the world once the decision has been written."""
    gone = {claim.id for claim in decision.release} | {claim.id for claim in decision.change}
    closed = {closing.shortfall for closing in decision.close}
    ids = max([0, *(abs(claim.id) for claim in world.claims)])
    opened = tuple(
        ShortfallRow(
            id=5000 + len(world.shortfalls) + number,
            booking=draft.booking,
            spec=draft.spec,
            position=draft.position,
            unit=draft.unit,
            quantity=draft.quantity,
            reason=draft.reason,
            rival=draft.rival,
        )
        for number, draft in enumerate(decision.open)
    )
    added = tuple(replace(claim, id=ids + number) for number, claim in enumerate(decision.add, start=1))
    return replace(
        world,
        claims=(*(claim for claim in world.claims if claim.id not in gone), *decision.change, *added),
        shortfalls=(*(item for item in world.shortfalls if item.id not in closed), *opened),
    )
