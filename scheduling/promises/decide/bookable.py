"""How many of a spec one more booking can get: as things lie, or after dealing again."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from scheduling.promises.decide.board import Board
from scheduling.promises.decide.redeal import NoRedeal, Redeal, most_at_once, redeal
from scheduling.promises.decide.terms import Deal, Period


@dataclass(frozen=True, slots=True)
class Grant:
    """The most that can be dealt, up to what is asked."""

    units: tuple[int, ...]
    moves: dict[int, int]
    """Claims of others that go to another unit, so that this fits."""
    proof: str
    """Of the grant where all is granted, else of the refusal of one more."""


def grant(
    board: Board, deal: Deal, period: Period, *, preferred: Sequence[int] = (), beside: Collection[int] = ()
) -> Grant:
    """Return which units a booking of a number of a spec gets.

    Args:
        board: What stands, without the booking's own claims.
        deal: What is asked.
        period: When.
        preferred: Units to be taken first where they are free, such as those that the booking has already.
        beside: Units that the booking has by name, which are not dealt to it once more.
    """
    usable = board.usable_of(deal.spec, period, from_kits=deal.from_kits).difference(beside)
    free = in_order_of_use(board, [unit for unit in usable if board.is_unclaimed(unit, period)], period, preferred)
    if len(free) >= deal.quantity:
        return Grant(tuple(free[: deal.quantity]), {}, "free")
    kept = [unit for unit in preferred if unit in usable]
    ceiling = min(deal.quantity, most_at_once(board, deal.spec, period, usable))
    refusal = "bound"
    least, most = len(free), max(ceiling, len(free))
    best: Redeal | None = None
    trying = most
    while least < most:
        answer = redeal(board, deal.spec, period, newcomers=trying, acceptable=usable, now_on=kept)
        if isinstance(answer, NoRedeal):
            most, refusal = trying - 1, answer.proof
        else:
            least, best = trying, answer
        trying = (least + most + 1) // 2
    if best is None:
        return Grant(tuple(free), {}, refusal)
    return Grant(best.newcomers, best.moves, best.proof if least == deal.quantity else refusal)


def most_bookable(board: Board, deal: Deal, period: Period) -> int:
    """Return the largest quantity that would be granted now."""
    everything = Deal(spec=deal.spec, quantity=len(board.units_of(deal.spec)), from_kits=deal.from_kits)
    return len(grant(board, everything, period).units) if everything.quantity else 0


def in_order_of_use(board: Board, units: Iterable[int], period: Period, preferred: Iterable[int]) -> list[int]:
    """Return ids in the order in which they are dealt, so that what is left stays most useful.

    First those that are preferred, then loose ones, least pencilled, those that fill a gap most tightly, lowest id.
    """
    first = {unit: rank for rank, unit in enumerate(preferred)}
    return sorted(
        units,
        key=lambda unit: (
            first.get(unit, len(first)),
            board.units[unit].packed_in is not None,
            board.soft_on(unit, period),
            board.spare_hours(unit, period),
            unit,
        ),
    )
