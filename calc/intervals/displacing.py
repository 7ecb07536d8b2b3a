"""Place unassigned requests with the fewest reassignments.

Whoever is given a unit by the search keeps it to the end of the search; whoever stood in the way has to go elsewhere,
where others may stand in the way. Going through all choices with at most 0, 1, 2, ... moves finds an answer with the
fewest: in the best answer everybody has a unit, and giving those units one after the other moves nobody in vain.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from calc.intervals.board import Board, Place
from calc.solve.dealing import Demand, bits

_LOOKS_TO_LOOK_AROUND = 20
"""What the first look at a demand's surroundings counts for."""


class GaveUpError(Exception):
    """The search has looked at as much as it was allowed to."""

    def __init__(self, moves: int) -> None:
        super().__init__(f"no way with fewer than {moves} moves; the search went no further")
        self.moves = moves
        """So many are needed at least."""


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to give a demand a unit."""

    moves: int
    unit: int
    rivals: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class _Room:
    """The ways to place a demand with so many moves."""

    free: int
    """Units that cost no move, as bits."""
    costly: list[_Way]
    """The others, fewest moves first."""

    def __len__(self) -> int:
        return self.free.bit_count() + len(self.costly)

    def __iter__(self) -> Iterator[_Way]:
        for unit in bits(self.free):
            yield _Way(0, unit, ())
        yield from self.costly

    def least(self, number: int) -> int:
        """Return the fewest moves for so many demands that are alike, each on a unit of its own."""
        return sum(way.moves for way in self.costly[: max(number - self.free.bit_count(), 0)])


class Displacement:
    """One search over one board."""

    def __init__(self, board: Board, most_looks: int) -> None:
        """Look at no more than about ``most_looks`` units in all."""
        self._board = board
        self._looks = most_looks
        self._seen: set[Place] = set()
        self._given: dict[Place, int] = {}
        self._moved: set[Place] = set()
        self._barred: dict[Demand, int] = defaultdict(int)
        self._most = 0
        self._cut = False

    def fewest(self, places: Collection[Place]) -> tuple[dict[Place, int], int] | None:
        """Return who gets which unit, for ``places`` and all who are moved, and by how many moves; None: no way at all.

        A demand that has no unit to itself counts as moved only if it is contested and leaves the unit that it is on.

        Raises:
            GaveUpError: neither was found within the looks allowed.
        """
        self._most = 0
        while not self._place(tuple(places), self._most):
            if not self._cut:
                return None
            self._most += 1
            self._cut = False
        return dict(self._given), self._most

    def one_by_one(self, places: Iterable[Place]) -> dict[Place, int] | None:
        """Return the same with few moves, each of ``places`` seeing to itself; None if that leaves one without a unit.

        Raises:
            GaveUpError: neither was found within the looks allowed.
        """
        for place in places:
            if self.fewest((place,)) is None:
                return None
        return dict(self._given)

    def _place(self, waiting: Sequence[Place], moves_left: int) -> bool:
        """Give each of the waiting a unit with no more moves than are left."""
        if not waiting:
            return True
        hardest = self._hardest(waiting, moves_left)
        if hardest is None:
            return False
        place, room = hardest
        rest = [other for other in waiting if other != place]
        tried = 0
        for way in room:
            self._give(place, way)
            if self._place([*rest, *way.rivals], moves_left - way.moves):
                return True
            self._take_back(place, way)
            # Demands that are alike could change places: what failed for one of them fails for all.
            self._barred[self._board.demands[place]] |= way.unit
            tried |= way.unit
        self._barred[self._board.demands[place]] &= ~tried
        return False

    def _hardest(self, waiting: Iterable[Place], moves_left: int) -> tuple[Place, _Room] | None:
        """Return whom to place next, and the room for it; None if somebody finds none with the moves left."""
        alike: dict[Demand, list[Place]] = defaultdict(list)
        for place in waiting:
            alike[self._board.demands[place]].append(place)
        hardest: tuple[float, Place, _Room] | None = None
        for places in alike.values():
            room = self._room(places[0], moves_left)
            if len(room) < len(places):
                return None
            if room.least(len(places)) > moves_left:
                self._cut = True
                return None
            choice = len(room) / len(places)
            if hardest is None or choice < hardest[0]:
                hardest = (choice, places[0], room)
        return None if hardest is None else hardest[1:]

    def _room(self, place: Place, moves_left: int) -> _Room:
        """Return the ways to place a demand; those that take more moves than are left are cut off."""
        demand, around = self._board.demands[place], self._board.around(place)
        closed = self._barred[demand] | self._taken(demand)
        at_home = demand.now or 0 if place in self._board.contested else -1
        free = around.free & at_home & ~closed
        costly = [_Way(1, unit, ()) for unit in bits(around.free & ~at_home & ~closed)] if moves_left else []
        self._cut = self._cut or bool(around.free & ~at_home & ~closed and not moves_left)
        for unit, rivals in around.rivals.items():
            if len(rivals) > moves_left + len(self._moved):
                self._cut = True
                break
            staying = tuple(rival for rival in rivals if rival not in self._moved)
            moves = len(staying) + (not unit & at_home)
            if unit & closed:
                continue
            if not moves:
                free |= unit
            elif moves <= moves_left:
                costly.append(_Way(moves, unit, staying))
            else:
                self._cut = True
        self._look(place, len(costly))
        return _Room(free, sorted(costly, key=lambda way: way.moves))

    def _taken(self, demand: Demand) -> int:
        """Return the units that are given to others in the period of a demand, as bits."""
        taken = 0
        for other, unit in self._given.items():
            if self._board.demands[other].overlaps(demand):
                taken |= unit
        return taken

    def _give(self, place: Place, way: _Way) -> None:
        self._given[place] = way.unit
        self._moved.update(way.rivals)

    def _take_back(self, place: Place, way: _Way) -> None:
        del self._given[place]
        self._moved.difference_update(way.rivals)

    def _look(self, place: Place, ways: int) -> None:
        self._looks -= 1 + ways + (0 if place in self._seen else _LOOKS_TO_LOOK_AROUND)
        self._seen.add(place)
        if self._looks < 0:
            raise GaveUpError(self._most)
