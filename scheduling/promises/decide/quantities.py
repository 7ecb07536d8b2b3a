"""Allocate units to bookings of a number of a spec: any units of it that are usable."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduling.promises.decide.bookable import allocation_for
from scheduling.promises.decide.claimant import Claimant
from scheduling.promises.decide.occupancy import Occupancy, as_obstacles
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.terms import ClaimRow, Obstacle, ShortfallDraft
from scheduling.promises.decide.wants import SpecQuantity, Want


def allocate_quantity(occupancy: Occupancy, claimant: Claimant, wanted: SpecQuantity, outcome: Outcome) -> None:
    """Add claims on as many units as can be allocated; note how many are missing.

    Args:
        occupancy: Who has which unit; of the booking's own claims only those that keep their units.
        claimant: The booking.
        wanted: What it wants.
        outcome: Where conflicts and shortfalls are noted.
    """
    want = claimant.want
    movable = [claim for claim in claimant.claims if not claim.fixed and claim.id not in want.chosen]
    left = replace(wanted, quantity=_to_allocate(claimant, wanted, movable))
    own = {claim.unit for claim in occupancy.claims_of(want.booking)}
    allocation = allocation_for(occupancy, left, want.period, preferred=[claim.unit for claim in movable], besides=own)
    outcome.results[want.booking].proofs.append(allocation.proof)
    for claim_id, unit in allocation.moves.items():
        occupancy.move(claim_id, unit)
    _add_claims(occupancy, want, movable, allocation.units)
    if not claimant.policy.fills_shortfalls:
        outcome.shortfalls += [shortfall.as_draft() for shortfall in claimant.shortfalls if shortfall.unit is None]
    if missing := left.quantity - len(allocation.units):
        _add_shortfalls(occupancy, claimant, wanted, missing, [claim.unit for claim in movable], outcome)


def in_the_way(occupancy: Occupancy, want: Want, wanted: SpecQuantity) -> list[Obstacle]:
    """Return what keeps units of the spec from the booking: all claims of others, and downtimes."""
    obstacles: list[Obstacle] = []
    for unit in occupancy.units_of(wanted.spec):
        if unit.packed_in is not None and not wanted.from_kits:
            continue
        obstacles += [outage for outage in occupancy.outages(unit.id, want.period) if outage.downtime is not None]
        rivals = (claim for claim in occupancy.firm_on(unit.id, want.period) if claim.booking != want.booking)
        obstacles += as_obstacles(rivals)
    return obstacles


def _to_allocate(claimant: Claimant, wanted: SpecQuantity, movable: Sequence[ClaimRow]) -> int:
    """Return how many units are to be chosen, beside the claims that keep theirs.

    Where the policy fills no shortfalls, what is missing stays missing. What remains then are the movable claims, and
    those that the booking has just lost to another one.
    """
    left = wanted.quantity - (len(claimant.claims) - len(movable))
    if claimant.policy.fills_shortfalls:
        return left
    return left - sum(row.quantity for row in claimant.shortfalls if row.claim is None)


def _add_claims(occupancy: Occupancy, want: Want, movable: Sequence[ClaimRow], units: Sequence[int]) -> None:
    """Claim the units. The booking's earlier claims keep their ids, and their units where those were allocated."""
    by_unit = {claim.unit: claim for claim in movable}
    allocated = set(units)
    others = iter([claim for claim in movable if claim.unit not in allocated])
    for unit in units:
        claim = by_unit.get(unit) or next(others, None) or want.new_claim(occupancy.new_id(), unit, occupancy.now)
        occupancy.add(replace(claim, unit=unit, period=want.period, firm=want.firm))


def _add_shortfalls(
    occupancy: Occupancy,
    claimant: Claimant,
    wanted: SpecQuantity,
    missing: int,
    lost: Sequence[int],
    outcome: Outcome,
) -> None:
    want = claimant.want
    result = outcome.results[want.booking]
    result.short = True
    result.bookable = wanted.quantity - missing
    result.conflicts += in_the_way(occupancy, want, wanted)
    fills = claimant.policy.fills_shortfalls
    named = [*lost, *(claimant.named_shortfalls() if fills else _out_with_others(occupancy, want, wanted))]
    by_name = _missing_by_name(occupancy, want, missing, named)
    outcome.shortfalls += by_name
    if rest := missing - len(by_name):
        outcome.shortfalls.append(
            ShortfallDraft(booking=want.booking, spec=wanted.spec, quantity=rest, reason="not-enough")
        )


def _out_with_others(occupancy: Occupancy, want: Want, wanted: SpecQuantity) -> list[int]:
    """Return the units that are out with others into the period: a booking that lost a claim misses them."""
    return [
        unit.id
        for unit in occupancy.units_of(wanted.spec)
        if any(claim.is_out and claim.booking != want.booking for claim in occupancy.firm_on(unit.id, want.period))
    ]


def _missing_by_name(occupancy: Occupancy, want: Want, missing: int, units: Iterable[int]) -> list[ShortfallDraft]:
    """Name up to ``missing`` units that the booking lost, so that they fill the shortfall once they are usable."""
    shortfalls: list[ShortfallDraft] = []
    for unit in dict.fromkeys(units):
        obstacles = occupancy.obstacles(unit, want.period)
        if len(shortfalls) < missing and obstacles and obstacles[0].booking != want.booking:
            spec = occupancy.units[unit].spec
            reason, rival = obstacles[0].reason, obstacles[0].booking
            shortfalls.append(ShortfallDraft(booking=want.booking, spec=spec, unit=unit, reason=reason, rival=rival))
    return shortfalls
