"""The exact search behind ``calc.mains.spread``: whole numbers only, no units, no names.

Items go into bins. Nothing above a bin's room; most size placed, then the least difference between the fullest and the
emptiest leg, then most items placed. Alike items are counted, not told apart, and alike bins are filled in order: both
take out answers that differ only by name, which is where the time of a proof goes.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise
from math import inf
from types import MappingProxyType
from typing import Any

from calc.errors import CalcError
from calc.solve.solver import Solved, new_model

DETERMINISTIC_LIMIT = 1.0
"""Of each of the two stages; the solver's own measure of work, so that the answer does not hang on the machine."""


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to place."""

    size: int
    leakage: int
    steps: tuple[int | None, ...]
    """By bin: what the item adds to each of the bin's legs; None where it may not go."""


@dataclass(frozen=True, slots=True)
class Bin:
    """One place for items. With negative room it takes nothing, not even an item without size."""

    room: int
    leakage_room: int | None
    legs: tuple[int, ...]
    """Those that it loads; none where it loads all legs alike, which changes no difference."""


@dataclass(frozen=True, slots=True)
class Packing:
    """By item its bin or None; ``proven`` if no packing is better."""

    bins: tuple[int | None, ...]
    proven: bool


Counts = dict[tuple[int, int], int]
"""(group of alike items, bin) → how many."""


def pack(items: Sequence[Item], bins: Sequence[Bin], leg_steps: Sequence[int]) -> Packing:
    """Return the best packing found within the limit of work.

    Args:
        items: What is to be placed.
        bins: Where to.
        leg_steps: By leg, what is on it already, in the unit of ``Item.steps``.
    """
    members: dict[Item, list[int]] = defaultdict(list)
    for index, item in enumerate(items):
        members[item].append(index)
    question = _Question(list(members), [len(alike) for alike in members.values()], bins, leg_steps)
    counts, proven = question.answer()
    placed: list[int | None] = [None] * len(items)
    for group, alike in enumerate(members.values()):
        waiting = iter(alike)
        for place in range(len(bins)):
            for _ in range(counts.get((group, place), 0)):
                placed[next(waiting)] = place
    return Packing(tuple(placed), proven)


class _Question:
    """Groups of alike items, bins and legs, and what a way of packing them (``counts``) comes to.

    The sums take numbers and give a number, or take the solver's variables and give an expression.
    """

    def __init__(self, items: list[Item], numbers: list[int], bins: Sequence[Bin], leg_steps: Sequence[int]) -> None:
        self.items, self.numbers, self.bins, self.leg_steps = items, numbers, bins, leg_steps
        self.fits = [
            (group, place)
            for group, item in enumerate(items)
            for place, one in enumerate(bins)
            if item.steps[place] is not None
            and item.size <= one.room
            and (one.leakage_room is None or item.leakage <= one.leakage_room)
        ]
        alike: dict[object, list[int]] = defaultdict(list)
        for place, one in enumerate(bins):
            alike[one, tuple(item.steps[place] for item in items)].append(place)
        self.alike_bins = list(alike.values())

    def answer(self) -> tuple[Counts, bool]:
        """Return the best counts found and whether they are proven best; search only where the start leaves doubt."""
        counts, proven = self._in_order(self._start()), True
        placeable = sum(self.numbers[group] for group in {group for group, _ in self.fits})
        most_placed = sum(counts.values()) == placeable
        if most_placed and self._difference(counts) == 0:
            return counts, proven
        search = _Search(self)
        if not most_placed:
            counts, proven = search.most_size(counts)
        counts, balanced = search.least_difference(counts)
        return counts, proven and balanced

    def size(self, counts: Mapping[tuple[int, int], Any], place: int | None = None) -> Any:
        """Return what one bin, or all of them, hold."""
        return sum(
            self.items[group].size * count
            for (group, where), count in counts.items()
            if place is None or place == where
        )

    def leakage(self, counts: Mapping[tuple[int, int], Any], place: int) -> Any:
        """Return the leakage of what a bin holds."""
        return sum(self.items[group].leakage * count for (group, where), count in counts.items() if where == place)

    def on_legs(self, counts: Mapping[tuple[int, int], Any]) -> list[Any]:
        """Return what each leg carries."""
        loads: list[Any] = list(self.leg_steps)
        for (group, place), count in counts.items():
            for leg in self.bins[place].legs:
                loads[leg] += (self.items[group].steps[place] or 0) * count
        return loads

    def _difference(self, counts: Counts) -> int:
        loads = self.on_legs(counts)
        return max(loads, default=0) - min(loads, default=0)

    def _start(self) -> Counts:
        """Put one item after the other, largest first, onto the emptiest leg that takes it."""
        counts: Counts = Counter()
        room, on_leg = [one.room for one in self.bins], list(self.leg_steps)
        leakage_room = [inf if one.leakage_room is None else one.leakage_room for one in self.bins]
        for group, item in sorted(enumerate(self.items), key=lambda pair: -pair[1].size):
            places = [place for which, place in self.fits if which == group]
            for _ in range(self.numbers[group]):
                takers = [
                    (self._fullest_leg(place, on_leg) + (item.steps[place] or 0), -room[place], place)
                    for place in places
                    if item.size <= room[place] and item.leakage <= leakage_room[place]
                ]
                if not takers:
                    break
                _, _, place = min(takers)
                counts[group, place] += 1
                room[place] -= item.size
                leakage_room[place] -= item.leakage
                for leg in self.bins[place].legs:
                    on_leg[leg] += item.steps[place] or 0
        return counts

    def _fullest_leg(self, place: int, on_leg: Sequence[int]) -> int:
        return max((on_leg[leg] for leg in self.bins[place].legs), default=0)

    def _in_order(self, counts: Counts) -> Counts:
        """Return the same with the contents of alike bins exchanged so that the fuller comes first."""
        moved: dict[int, int] = {}
        for places in self.alike_bins:
            moved.update(zip(sorted(places, key=lambda place: -self.size(counts, place)), places, strict=True))
        return {(group, moved[place]): count for (group, place), count in counts.items()}


class _Search:
    """One model, asked for the most size and then, with that held, for the least difference."""

    def __init__(self, question: _Question) -> None:
        self.model: Any = new_model()  # typed as any: its clear_hints has no types
        self.question = question
        self.put = {key: self.model.new_int_var(0, question.numbers[key[0]], "") for key in question.fits}
        for group, number in enumerate(question.numbers):
            self.model.add(sum(put for (which, _), put in self.put.items() if which == group) <= number)
        for place in {place for _, place in question.fits}:
            one = question.bins[place]
            self.model.add(question.size(self.put, place) <= one.room)
            if one.leakage_room is not None:
                self.model.add(question.leakage(self.put, place) <= one.leakage_room)
        for places in question.alike_bins:
            for fuller, emptier in pairwise(places):
                self.model.add(question.size(self.put, fuller) >= question.size(self.put, emptier))

    def most_size(self, start: Counts) -> tuple[Counts, bool]:
        """Return counts that place the most size."""
        self.model.maximize(self.question.size(self.put))
        return self._solve(start)

    def least_difference(self, start: Counts) -> tuple[Counts, bool]:
        """Return counts that place as much as ``start`` with the least difference of legs and, of those, most items."""
        question, at_start = self.question, self.question.on_legs(start)
        self.model.add(question.size(self.put) >= question.size(start))
        most = max(question.leg_steps) + sum(
            max(step or 0 for step in item.steps) * number
            for item, number in zip(question.items, question.numbers, strict=True)
        )
        fullest, emptiest = self.model.new_int_var(0, most, ""), self.model.new_int_var(0, most, "")
        for load in question.on_legs(self.put):
            self.model.add(fullest >= load)
            self.model.add(emptiest <= load)
        self.model.minimize((fullest - emptiest) * (sum(question.numbers) + 1) - sum(self.put.values()))
        return self._solve(start, {fullest: max(at_start), emptiest: min(at_start)})

    def _solve(self, start: Counts, also: Mapping[Any, int] = MappingProxyType({})) -> tuple[Counts, bool]:
        self.model.clear_hints()
        for variable, value in chain(((put, start.get(key, 0)) for key, put in self.put.items()), also.items()):
            self.model.add_hint(variable, value)
        solved = Solved(self.model, most_work=DETERMINISTIC_LIMIT)
        if not solved.found:
            if solved.proven:
                raise CalcError("the search for a spread denies the spread that it was given to begin with")
            return start, False
        return {key: solved.value(put) for key, put in self.put.items()}, solved.proven
