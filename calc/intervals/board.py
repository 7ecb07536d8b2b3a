"""Requests and units as whole numbers and bits: who stands where, and who is in whose way."""

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable, Sequence
from dataclasses import dataclass

from calc.errors import BadInput, require_hashable, require_list
from calc.intervals.moments import require_periods
from calc.intervals.requests import Request
from calc.intervals.timeline import Timeline
from calc.solve.dealing import Demand

Place = int
"""A request, by its place in the list of requests."""


@dataclass(frozen=True, slots=True)
class Around:
    """What a demand meets as things stand."""

    free: int
    """Units that nobody holds in its period."""
    rivals: dict[int, tuple[Place, ...]]
    """Unit → who holds it in the period, fewest first, then in the order of the units."""


class Board:
    """What is asked, ready for the searches.

    Fixed requests are facts: their periods block their units. Where two of them clash on one unit, as many as possible
    are assigned and the others are lost, but the unit stays blocked for all of them.
    """

    def __init__(self, requests: Sequence[Request], units: Sequence[Hashable]) -> None:
        self.requests = requests
        self.units = units
        self._bit = {unit: 1 << number for number, unit in enumerate(units)}
        self._bits_of: dict[int, int] = {}
        self._periods = _ranks(requests)
        self.fixed, self.lost = self._settle_fixed()
        self._blocks = Timeline(
            (*self._periods[place], self._bit[request.fixed])
            for place, request in enumerate(requests)
            if request.fixed in self._bit
        )
        self.demands = {
            place: self._demand(place, request) for place, request in enumerate(requests) if request.fixed is None
        }
        on_unit = self._on_unit()
        self.contested = {place for places in on_unit.values() for place in self._clashing(places)}
        """Demands whose unit another one is on in the same period: not all of them can stay."""
        self.standing = {
            place: unit for unit, places in on_unit.items() for place in places if place not in self.contested
        }
        """Demand → the unit that it is on; no two of them clash."""
        self._stands = Timeline((self.demands[place].start, self.demands[place].end, place) for place in self.standing)
        self._around: dict[Place, Around] = {}

    @property
    def pending(self) -> list[Place]:
        """Return the demands that have no unit to themselves as things stand."""
        return [place for place in self.demands if place not in self.standing]

    def around(self, place: Place) -> Around:
        """Return what a demand meets as things stand."""
        if place not in self._around:
            self._around[place] = self._look_around(place)
        return self._around[place]

    def unit(self, bit: int) -> Hashable:
        """Return the unit that a bit stands for."""
        return self.units[bit.bit_length() - 1]

    def _look_around(self, place: Place) -> Around:
        demand = self.demands[place]
        rivals: dict[int, list[Place]] = defaultdict(list)
        free = demand.units
        for other in self._stands.meeting(demand.start, demand.end):
            unit = self.standing[other]
            if other != place and unit & demand.units:
                rivals[unit].append(other)
                free &= ~unit
        order = sorted(rivals, key=lambda unit: (len(rivals[unit]), unit))
        return Around(free, {unit: tuple(sorted(rivals[unit])) for unit in order})

    def _demand(self, place: Place, request: Request) -> Demand:
        start, end = self._periods[place]
        units = self._bits(request.acceptable)
        for blocked in self._blocks.meeting(start, end):
            units &= ~blocked
        now = self._bit.get(request.now_on, 0) & units if request.now_on is not None else 0
        return Demand(start, end, units, now or None)

    def _bits(self, acceptable: Collection[Hashable]) -> int:
        """Return acceptable units as bits. One collection often serves many requests, so it is read once."""
        if id(acceptable) not in self._bits_of:
            bits = 0
            for unit in require_list("acceptable", acceptable):
                require_hashable("acceptable", unit)
                bits |= self._bit.get(unit, 0)
            self._bits_of[id(acceptable)] = bits
        return self._bits_of[id(acceptable)]

    def _settle_fixed(self) -> tuple[dict[Place, Hashable], list[Place]]:
        """Return who keeps a fixed unit, and who loses it: by earliest end, which keeps the most."""
        kept: dict[Place, Hashable] = {}
        busy_until: dict[Hashable, int] = {}
        lost = []
        fixed = [(self._periods[place], place) for place, each in enumerate(self.requests) if each.fixed is not None]
        for (start, end), place in sorted(fixed, key=lambda entry: (entry[0][1], entry[0][0], entry[1])):
            unit = self.requests[place].fixed
            if busy_until.get(unit, start) <= start:
                kept[place] = unit
                busy_until[unit] = end
            else:
                lost.append(place)
        return kept, lost

    def _on_unit(self) -> dict[int, list[Place]]:
        on_unit = defaultdict(list)
        for place, demand in self.demands.items():
            if demand.now is not None:
                on_unit[demand.now].append(place)
        return on_unit

    def _clashing(self, places: Iterable[Place]) -> Iterable[Place]:
        """Yield the demands that overlap another of them."""
        before: Place | None = None
        for place in sorted(places, key=lambda place: self._periods[place]):
            if before is not None and self._periods[place][0] < self._periods[before][1]:
                yield from (before, place)
            if before is None or self._periods[place][1] > self._periods[before][1]:
                before = place


def require_distinct(argument: str, things: Iterable[Hashable]) -> None:
    """Raise ``BadInput`` if one of the things is there twice."""
    seen: set[Hashable] = set()
    for thing in things:
        require_hashable(argument, thing)
        if thing in seen:
            raise BadInput(argument, thing, "each only once")
        seen.add(thing)


def _ranks(requests: Sequence[Request]) -> list[tuple[int, int]]:
    """Return the period of each request, with ranks in place of its moments."""
    periods = require_periods(
        "starts_at", [(request.starts_at, request.ends_at) for request in requests], end_argument="ends_at"
    )
    moments = sorted({moment for period in periods for moment in period})
    rank = {moment: number for number, moment in enumerate(moments)}
    return [(rank[start], rank[end]) for start, end in periods]
