"""How many units of a spec one more booking can be allocated, with others moved where that helps."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from scheduling.promises.decide.occupancy import Occupancy
from scheduling.promises.decide.reallocation import NoReallocation, Reallocation, find_reallocation, most_at_once
from scheduling.promises.decide.terms import Period
from scheduling.promises.decide.wants import SpecQuantity


@dataclass(frozen=True, slots=True)
class Allocation:
    """The most units that can be allocated, up to what is wanted."""

    units: tuple[int, ...]
    moves: dict[int, int]
    """Claim id → the unit to which it moves, for claims of others."""
    proof: str
    """Of the allocation if it is complete, else of the refusal of one more unit."""


def allocation_for(
    occupancy: Occupancy,
    wanted: SpecQuantity,
    period: Period,
    *,
    preferred: Sequence[int] = (),
    besides: Collection[int] = (),
) -> Allocation:
    """Return which units a booking of a number of a spec gets.

    Args:
        occupancy: All claims but the booking's own movable ones.
        wanted: What the booking wants.
        period: When.
        preferred: Units to take first where they are free, such as those that the booking had.
        besides: Units that the booking has by name; they are not allocated to it twice.
    """
    usable = occupancy.usable_of(wanted.spec, period, from_kits=wanted.from_kits).difference(besides)
    free = in_order_of_use(
        occupancy, [unit for unit in usable if occupancy.is_unclaimed(unit, period)], period, preferred
    )
    if len(free) >= wanted.quantity:
        return Allocation(tuple(free[: wanted.quantity]), {}, "free")
    kept = [unit for unit in preferred if unit in usable]
    ceiling = min(wanted.quantity, most_at_once(occupancy, wanted.spec, period, usable))
    refusal = "bound"
    least, most = len(free), max(ceiling, len(free))
    best: Reallocation | None = None
    trying = most
    while least < most:
        answer = find_reallocation(occupancy, wanted.spec, period, newcomers=trying, acceptable=usable, now_on=kept)
        if isinstance(answer, NoReallocation):
            most, refusal = trying - 1, answer.proof
        else:
            least, best = trying, answer
        trying = (least + most + 1) // 2
    if best is None:
        return Allocation(tuple(free), {}, refusal)
    return Allocation(best.newcomers, best.moves, best.proof if least == wanted.quantity else refusal)


def most_bookable(occupancy: Occupancy, wanted: SpecQuantity, period: Period) -> int:
    """Return the largest quantity that would be granted now."""
    everything = SpecQuantity(
        spec=wanted.spec, quantity=len(occupancy.units_of(wanted.spec)), from_kits=wanted.from_kits
    )
    return len(allocation_for(occupancy, everything, period).units) if everything.quantity else 0


def in_order_of_use(occupancy: Occupancy, units: Iterable[int], period: Period, preferred: Iterable[int]) -> list[int]:
    """Return ids in the order in which they are allocated, so that the rest stays most useful.

    Preferred ones first, then loose ones, fewest pencils, the shortest idle time beside the period, lowest id.
    """
    first = {unit: rank for rank, unit in enumerate(preferred)}
    return sorted(
        units,
        key=lambda unit: (
            first.get(unit, len(first)),
            occupancy.units[unit].packed_in is not None,
            occupancy.soft_on(unit, period),
            occupancy.spare_hours(unit, period),
            unit,
        ),
    )
