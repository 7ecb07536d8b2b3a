"""Units for many at once, in the order of their starts."""

from collections.abc import Iterable
from heapq import heappop, heappush

from calc.intervals.board import Board, Place


def deal(board: Board, places: Iterable[Place]) -> tuple[dict[Place, int], list[Place]]:
    """Assign free units greedily, and return who gets none; existing assignments do not change.

    Each gets the unit that it is on if it is free, else the first free one. Where all units would do for all, this
    finds room whenever counting does (Kleinberg and Tardos, Algorithm Design, interval partitioning).
    """
    given: dict[Place, int] = {}
    left_out = []
    busy = 0
    running: list[tuple[int, int]] = []
    for place in sorted(places, key=lambda place: (board.demands[place].start, place)):
        demand = board.demands[place]
        while running and running[0][0] <= demand.start:
            busy &= ~heappop(running)[1]
        free = board.around(place).free & ~busy
        unit = free & (demand.now or 0) or free & -free
        if not unit:
            left_out.append(place)
            continue
        given[place] = unit
        busy |= unit
        heappush(running, (demand.end, unit))
    return given, left_out
