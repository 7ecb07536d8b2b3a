"""Giving bookings of a number of a spec their units: any that will do."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduling.promises.decide.bookable import allocation_for
from scheduling.promises.decide.occupancy import Occupancy, as_obstacles
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.terms import ClaimRow, Obstacle, ShortfallDraft, ShortfallRow, SpecQuantity, Want


def allocate_quantity(
    occupancy: Occupancy, want: Want, lifted: Sequence[ClaimRow], missed: Sequence[ShortfallRow], outcome: Outcome
) -> None:
    """Set down claims on as many units as can be had, and note how many are lacking.

    Args:
        board: What stands, without the booking's own claims that may be dealt again.
        want: The booking; one that wants no number of a spec is passed over.
        lifted: The claims that the booking had.
        missed: The shortfalls that it has.
        outcome: Where conflicts and lacks are noted.
    """
    if want.of_spec is None:
        return
    had = [claim for claim in lifted if not claim.fixed]
    wanted = replace(want.of_spec, quantity=_still_to_deal(want, want.of_spec, lifted, had))
    if want.waits:
        wanted, had = _keep_waiting(occupancy, want, wanted, had)
    beside = {claim.unit for claim in occupancy.claims.values() if claim.booking == want.booking}
    given = allocation_for(occupancy, wanted, want.period, preferred=[claim.unit for claim in had], beside=beside)
    finding = outcome.findings[want.booking]
    finding.proofs.append(given.proof)
    for claim_id, unit in given.moves.items():
        occupancy.move(claim_id, unit)
    _add_claims(occupancy, want, wanted, had, given.units)
    if want.stays:
        outcome.shortfalls += [_unchanged(item) for item in missed if item.unit is None]
    if missing := wanted.quantity - len(given.units):
        finding.short = True
        finding.bookable = want.of_spec.quantity - missing
        finding.conflicts += in_the_way(occupancy, want, wanted)
        by_name = [claim.unit for claim in had]
        if not want.stays:
            by_name += [item.unit for item in missed if item.unit is not None]
        outcome.shortfalls += _missing(occupancy, want, missing, by_name)


def in_the_way(occupancy: Occupancy, want: Want, wanted: SpecQuantity) -> list[Obstacle]:
    """Return what keeps units of the spec from the booking: everybody else's claims, and downtimes."""
    found: list[Obstacle] = []
    for unit in occupancy.units_of(wanted.spec):
        if unit.packed_in is not None and not wanted.from_kits:
            continue
        found += [outage for outage in occupancy.outages(unit.id, want.period) if outage.downtime is not None]
        found += as_obstacles(
            claim for claim in occupancy.firm_on(unit.id, want.period) if claim.booking != want.booking
        )
    return found


def _still_to_deal(want: Want, wanted: SpecQuantity, lifted: Sequence[ClaimRow], had: Sequence[ClaimRow]) -> int:
    if want.stays:
        return len(had)
    return wanted.quantity - (len(lifted) - len(had))


def _keep_waiting(
    occupancy: Occupancy, want: Want, wanted: SpecQuantity, had: Sequence[ClaimRow]
) -> tuple[SpecQuantity, list[ClaimRow]]:
    """Set down a pencil's own claims wherever the unit can go out at all; return what is left to deal."""
    left = []
    for claim in had:
        if occupancy.outages(claim.unit, want.period):
            left.append(claim)
        else:
            occupancy.add(replace(claim, period=want.period, firm=want.firm))
    return replace(wanted, quantity=wanted.quantity - (len(had) - len(left))), left


def _add_claims(
    occupancy: Occupancy, want: Want, wanted: SpecQuantity, had: Sequence[ClaimRow], units: Iterable[int]
) -> None:
    """Claim the units; a claim that the booking had goes on under its own id, on its unit where that was given."""
    by_unit = {claim.unit: claim for claim in had}
    given = list(units)
    others = iter([claim for claim in had if claim.unit not in given])
    for unit in given:
        claim = by_unit.get(unit) or next(others, None) or _new_claim(occupancy, want, wanted, unit)
        occupancy.add(replace(claim, unit=unit, period=want.period, firm=want.firm))


def _new_claim(occupancy: Occupancy, want: Want, wanted: SpecQuantity, unit: int) -> ClaimRow:
    return ClaimRow(
        id=occupancy.new_id(),
        booking=want.booking,
        event=want.event,
        unit=unit,
        period=want.period,
        firm=want.firm,
        allocated=True,
        fixed=want.period.starts_at <= occupancy.now,
        from_kits=wanted.from_kits,
    )


def _missing(occupancy: Occupancy, want: Want, missing: int, by_name: Iterable[int]) -> list[ShortfallDraft]:
    """Name the units that were lost, so that they fill the gap when they come back; count the rest."""
    shortfalls: list[ShortfallDraft] = []
    for unit in dict.fromkeys(by_name):
        obstacles = occupancy.obstacles(unit, want.period)
        if len(shortfalls) < missing and obstacles and obstacles[0].booking != want.booking:
            spec = occupancy.units[unit].spec
            reason, rival = obstacles[0].reason, obstacles[0].booking
            shortfalls.append(ShortfallDraft(booking=want.booking, spec=spec, unit=unit, reason=reason, rival=rival))
    if missing > len(shortfalls):
        assert want.of_spec is not None
        rest = missing - len(shortfalls)
        shortfalls.append(
            ShortfallDraft(booking=want.booking, spec=want.of_spec.spec, quantity=rest, reason="not-enough")
        )
    return shortfalls


def _unchanged(item: ShortfallRow) -> ShortfallDraft:
    return ShortfallDraft(
        booking=item.booking,
        spec=item.spec,
        position=item.position,
        unit=item.unit,
        quantity=item.quantity,
        reason=item.reason,
        rival=item.rival,
    )
