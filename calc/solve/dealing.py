"""Periods onto units by constraint solving: as many as possible, then with as few moves as possible.

Times are ranks, units are bits; whoever asks has already left out the units that a period cannot have.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from calc.solve.solver import Solved, new_model

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

MOST_CHOICES = 20_000
"""Pairs of a demand and a unit, or a class of units, that are put before the solver; with more it is not asked."""


@dataclass(frozen=True, slots=True)
class Demand:
    """One unit wanted for one half-open period."""

    start: int
    end: int
    units: int
    """Units that would do, as bits."""
    now: int | None
    """The unit that it is on and can stay on, as a bit."""

    def overlaps(self, other: Demand) -> bool:
        """Return whether the two periods share an instant."""
        return self.start < other.end and other.start < self.end


@dataclass(frozen=True, slots=True)
class Deal:
    """Which demand, by its place in the list, gets which unit; none of them if no deal was found."""

    units: Mapping[int, int]
    proven: bool
    """Whether nothing is better; without units, whether there is no deal at all."""


NOTHING_FOUND = Deal({}, proven=False)


def most_placed(demands: Sequence[Demand], dear: Collection[int], hint: Mapping[int, int], *, most_work: float) -> Deal:
    """Return a unit for as many demands as possible, and of these sets one with most of the dear ones.

    Units that would do for the same demands are alike and only counted: a class has room for as many at once as it has
    units.

    Args:
        demands: What is wanted.
        dear: Which demands should rather not be left out.
        hint: A deal to start from.
        most_work: Limit, in the solver's deterministic time.
    """
    model = _DealModel.of(demands, _classes(demands, apart=0))
    if model is None:
        return NOTHING_FOUND
    worth = [len(dear) + 1 + (place in dear) for place in range(len(demands))]
    return model.best(sum(worth[place] * put for (place, _), put in model.put.items()), hint, most_work)


def fewest_moves(demands: Sequence[Demand], hint: Mapping[int, int], *, at_least: int, most_work: float) -> Deal:
    """Return a unit for every demand so that as many as possible keep the one that they are on.

    Only units that nobody is on are taken for alike.

    Args:
        demands: What is wanted.
        hint: A deal to start from; it may leave some out.
        at_least: So many moves are known to be needed.
        most_work: Limit, in the solver's deterministic time.
    """
    held = 0
    for demand in demands:
        held |= demand.now or 0
    model = _DealModel.of(demands, _classes(demands, apart=held))
    if model is None or not model.place_all():
        return Deal({}, proven=model is not None)
    kept = [put for (place, units), put in model.put.items() if demands[place].now == units]
    on_one = sum(demand.now is not None for demand in demands)
    return model.best(sum(kept), hint, most_work, most=on_one - at_least)


def bits(units: int) -> Iterator[int]:
    """Yield the units of a set one by one, in their order."""
    while units:
        unit = units & -units
        yield unit
        units ^= unit


def _classes(demands: Sequence[Demand], *, apart: int) -> list[int]:
    """Return sets of units that would do for the same demands; each unit of ``apart`` is a set of its own."""
    together = 0
    for demand in demands:
        together |= demand.units
    alike: dict[tuple[int, int], int] = defaultdict(int)
    for unit in bits(together):
        wanted_by = sum(1 << place for place, demand in enumerate(demands) if demand.units & unit)
        alike[wanted_by, unit & apart] |= unit
    return list(alike.values())


class _DealModel:
    """Which demand goes to which class of units."""

    @classmethod
    def of(cls, demands: Sequence[Demand], classes: Sequence[int]) -> _DealModel | None:
        """Return the model, or None if it would be too large."""
        choices = sum(1 for demand in demands for units in classes if demand.units & units)
        return cls(demands, classes) if choices <= MOST_CHOICES else None

    def __init__(self, demands: Sequence[Demand], classes: Sequence[int]) -> None:
        self._demands = demands
        self._model = new_model()
        self.put: dict[tuple[int, int], cp_model.IntVar] = {}
        for place, demand in enumerate(demands):
            for units in classes:
                if demand.units & units:
                    self.put[place, units] = self._model.new_bool_var("")
        for puts in self._by_demand().values():
            self._model.add_at_most_one(puts)
        for units in classes:
            self._keep_to_room(units)

    def place_all(self) -> bool:
        """Leave nobody out; False if somebody has no unit at all that would do."""
        by_demand = self._by_demand()
        for place in range(len(self._demands)):
            if place not in by_demand:
                return False
            self._model.add_at_least_one(by_demand[place])
        return True

    def best(
        self, goal: cp_model.LinearExprT, hint: Mapping[int, int], most_work: float, most: int | None = None
    ) -> Deal:
        """Return the deal with the largest ``goal`` that is found; it is known not to exceed ``most``."""
        for (place, units), put in self.put.items():
            self._model.add_hint(put, bool(hint.get(place, 0) & units))
        if most is not None:
            self._model.add(goal <= most)
        self._model.maximize(goal)
        solved = Solved(self._model, most_work=most_work)
        if not solved.found:
            return Deal({}, solved.proven)
        chosen: dict[int, list[int]] = defaultdict(list)
        for (place, units), put in self.put.items():
            if solved.value(put):
                chosen[units].append(place)
        dealt = {
            place: unit for units, places in chosen.items() for place, unit in _partition(self._demands, places, units)
        }
        return Deal(dealt, solved.proven)

    def _by_demand(self) -> dict[int, list[cp_model.IntVar]]:
        by_demand: dict[int, list[cp_model.IntVar]] = defaultdict(list)
        for (place, _), put in self.put.items():
            by_demand[place].append(put)
        return by_demand

    def _keep_to_room(self, units: int) -> None:
        room = units.bit_count()
        places = [place for place, demand in enumerate(self._demands) if demand.units & units]
        for crowd in _crowds(self._demands, places):
            puts = [self.put[place, units] for place in crowd]
            if room == 1:
                self._model.add_at_most_one(puts)
            elif len(crowd) > room:
                self._model.add(sum(puts) <= room)


def _crowds(demands: Sequence[Demand], places: Collection[int]) -> Iterator[list[int]]:
    """Yield the largest sets of demands that share an instant."""
    running: list[int] = []
    for place in sorted(places, key=lambda place: (demands[place].start, place)):
        staying = [other for other in running if demands[other].end > demands[place].start]
        if len(staying) < len(running):
            yield running
        running = [*staying, place]
    if running:
        yield running


def _partition(demands: Sequence[Demand], places: Iterable[int], units: int) -> Iterator[tuple[int, int]]:
    """Yield a unit of a class for each of the demands that were given it: their own if it is free, else the first."""
    holders: dict[int, int] = {}
    for place in sorted(places, key=lambda place: (demands[place].start, place)):
        busy = 0
        for unit, until in holders.items():
            busy |= unit if until > demands[place].start else 0
        free = units & ~busy
        unit = free & (demands[place].now or 0) or free & -free
        holders[unit] = demands[place].end
        yield place, unit
