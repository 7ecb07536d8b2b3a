"""The refusal that needs no search: at some instant more are wanted than there are units that would do."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from calc.intervals.board import Board, Place
from calc.solve.dealing import Demand

_MOST_CHOICES = 16
"""Sets of acceptable units that are looked at one by one at an instant."""


@dataclass(frozen=True, slots=True)
class Excess:
    """More demands at one instant than units that would do for any of them."""

    number: int
    """How many too many: so many at least get none."""
    places: list[Place]
    """The demands that want them, in the order in which they were asked."""


def worst_excess(board: Board, places: Collection[Place], left_out: Collection[Place] = ()) -> Excess | None:
    """Return the worst instant of those at which one of ``places`` is wanted, or None if counting refuses nothing.

    Those wanted at the instant are counted against all units that would do for any of them, and, where they differ in
    what would do, those who can choose only among certain units against these.

    Args:
        board: All demands.
        places: The demands without a unit; at other instants everybody has one.
        left_out: Demands that do not count.
    """
    counted = {place: demand for place, demand in board.demands.items() if place not in left_out}
    worst = (0, 0, 0)
    for instant, wanted in _crowds(counted, places):
        for units in _choices(wanted):
            number = sum(count for choice, count in wanted.items() if not choice & ~units) - units.bit_count()
            worst = max(worst, (number, instant, units))
    number, instant, units = worst
    if not number:
        return None
    at_once = [place for place, demand in counted.items() if demand.start <= instant < demand.end]
    return Excess(number, [place for place in at_once if not counted[place].units & ~units])


def _crowds(demands: Mapping[Place, Demand], places: Collection[Place]) -> Iterator[tuple[int, Counter[int]]]:
    """Yield the instants at which a demand starts and one of ``places`` is wanted, with how often which units are."""
    steps = [(demand.start, 1, place) for place, demand in demands.items()]
    steps += [(demand.end, -1, place) for place, demand in demands.items()]
    steps.sort()
    asked = set(places)
    wanted: Counter[int] = Counter()
    pending = 0
    for number, (instant, step, place) in enumerate(steps):
        wanted[demands[place].units] += step
        pending += step * (place in asked)
        last = number + 1 == len(steps) or steps[number + 1][:2] != (instant, step)
        if pending and step > 0 and last:
            yield instant, +wanted


def _choices(wanted: Counter[int]) -> list[int]:
    """Return all wanted units together and, if they are few, each set of them that somebody could choose from."""
    together = 0
    for units in wanted:
        together |= units
    return [together, *wanted] if len(wanted) <= _MOST_CHOICES else [together]
