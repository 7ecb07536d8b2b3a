"""How many of a spec one more booking can get: as things lie, or after dealing again."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from scheduling.promises.decide.occupancy import Occupancy
from scheduling.promises.decide.reallocation import NoReallocation, Reallocation, find_reallocation, most_at_once
from scheduling.promises.decide.terms import Period, SpecQuantity


@dataclass(frozen=True, slots=True)
class Allocation:
    """The most that can be dealt, up to what is asked."""

    units: tuple[int, ...]
    moves: dict[int, int]
    """Claims of others that go to another unit, so that this fits."""
    proof: str
    """Of the grant where all is granted, else of the refusal of one more."""


def allocation_for(
    occupancy: Occupancy,
    wanted: SpecQuantity,
    period: Period,
    *,
    preferred: Sequence[int] = (),
    beside: Collection[int] = (),
) -> Allocation:
    """Return which units a booking of a number of a spec gets.

    Args:
        board: What stands, without the booking's own claims.
        deal: What is asked.
        period: When.
        preferred: Units to be taken first where they are free, such as those that the booking has already.
        beside: Units that the booking has by name, which are not dealt to it once more.
    """
    usable = occupancy.usable_of(wanted.spec, period, from_kits=wanted.from_kits).difference(beside)
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
    """Return ids in the order in which they are dealt, so that what is left stays most useful.

    First those that are preferred, then loose ones, least pencilled, those that fill a gap most tightly, lowest id.
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
