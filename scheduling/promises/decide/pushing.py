"""Take gear from bookings that a person named: as little as helps, and never what is out."""

from collections.abc import Collection, Iterable

from scheduling.promises.decide.occupancy import Occupancy
from scheduling.promises.decide.outcome import ResultSoFar
from scheduling.promises.decide.terms import ClaimRow
from scheduling.promises.decide.wants import SpecQuantity, Want


def take_from(occupancy: Occupancy, want: Want, result: ResultSoFar, pushes: Collection[int]) -> list[ClaimRow]:
    """Remove claims of the bookings in ``pushes`` that keep ``want`` from what it lacks; return them.

    Args:
        occupancy: Without the claims of the booking that gains.
        want: Of that booking.
        result: What it got when nothing was taken from anybody.
        pushes: The bookings that may lose gear.
    """
    if want.of_spec is None:
        units: Iterable[int] = dict.fromkeys(obstacle.unit for obstacle in result.conflicts)
    else:
        units = _fewest_claims(occupancy, want, want.of_spec, result, pushes)
    return [
        occupancy.remove(claim.id)
        for unit in units
        for claim in list(occupancy.firm_on(unit, want.period))
        if claim.booking in pushes and not claim.is_out
    ]


def _fewest_claims(
    occupancy: Occupancy, want: Want, wanted: SpecQuantity, result: ResultSoFar, pushes: Collection[int]
) -> list[int]:
    """Return as many units as are missing, those first of which the fewest claims have to go."""
    claims = {
        unit.id: list(occupancy.firm_on(unit.id, want.period))
        for unit in occupancy.units_of(wanted.spec)
        if (wanted.from_kits or unit.packed_in is None) and not occupancy.outages(unit.id, want.period)
    }
    can_be_freed = [
        unit
        for unit, rivals in claims.items()
        if rivals and all(rival.booking in pushes and not rival.is_out for rival in rivals)
    ]
    missing = wanted.quantity - (result.bookable or 0)
    return sorted(can_be_freed, key=lambda unit: (len(claims[unit]), unit))[:missing]
