"""Which periods meet a given one."""

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from itertools import accumulate
from typing import Generic, TypeVar

Who = TypeVar("Who")


class Timeline(Generic[Who]):
    """Half-open periods in the order of their starts; times are ranks."""

    def __init__(self, periods: Iterable[tuple[int, int, Who]]) -> None:
        self._periods = sorted(periods, key=lambda period: period[:2])
        self._starts = [start for start, _, _ in self._periods]
        self._latest_end = list(accumulate((end for _, end, _ in self._periods), max))

    def meeting(self, start: int, end: int) -> Iterator[Who]:
        """Yield whose periods share an instant with ``[start, end)``, latest start first."""
        place = bisect_left(self._starts, end) - 1
        while place >= 0 and self._latest_end[place] > start:
            _, other_end, who = self._periods[place]
            if other_end > start:
                yield who
            place -= 1
