"""Whether given items find room: a depth-first search, hardest item first, tightest place first.

States that differ only by which bin is which are looked at once, and a state is left as soon as counting shows that the
rest cannot fit. The first descent is the usual best-fit packing; most calls end there.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import accumulate

from calc.solve.packing.problem import Bin, Loading, Packing, Problem

_State = list[tuple[int, tuple[int, ...]]]
_Step = tuple[int, int, tuple[int, tuple[int, ...]]]


def pack(problem: Problem, counts: Sequence[int], most_steps: int) -> Packing:
    """Return a packing of so many items of each group.

    Args:
        problem: Bins and groups.
        counts: How many of each group must stand.
        most_steps: After so many steps the search gives up, without proof. At least one descent is made.
    """
    if counts_refuse(problem, counts):
        return Packing(None, proven=True)
    return _Search(problem, counts).run(max(most_steps, sum(counts)))


def counts_refuse(problem: Problem, counts: Sequence[int]) -> bool:
    """Return whether counting alone shows that so many items of each group cannot stand.

    For each size: the items of at least that size against the places that they may stand in, and against how often the
    size goes into each budget. For all of them: what they take against the sum of the budgets.
    """
    wanted = [(group, count) for group, count in zip(problem.groups, counts, strict=True) if count]
    sizes = {group.least for group, _ in wanted}
    if None in sizes:
        return True
    if sum((group.least or 0) * count for group, count in wanted) > sum(each.budget for each in problem.bins):
        return True
    for size in sizes:
        big = [(group, count) for group, count in wanted if (group.least or 0) >= (size or 0)]
        kinds = [any(group.takes[kind] is not None for group, _ in big) for kind in range(len(big[0][0].takes))]
        room = sum(_most_of(each, size or 0, kinds) for each in problem.bins)
        if sum(count for _, count in big) > room:
            return True
    return False


def _most_of(each: Bin, size: int, kinds: Sequence[bool]) -> int:
    places = sum(count for count, open_to in zip(each.places, kinds, strict=True) if open_to)
    return min(places, each.budget // size) if size else places


class _Search:
    """One search: the items in order, and what is left of each bin."""

    def __init__(self, problem: Problem, counts: Sequence[int]) -> None:
        groups = problem.groups
        order = sorted(
            (group for group, count in enumerate(counts) if count),
            key=lambda group: (-(groups[group].least or 0), groups[group].takes.count(None) * -1, group),
        )
        self.items = [group for group in order for _ in range(counts[group])]
        self.options = [
            [(size, kind) for kind, size in enumerate(group.takes) if size is not None] for group in problem.groups
        ]
        least = [groups[group].least or 0 for group in self.items]
        self.rest = list(accumulate(reversed(least), initial=0))[::-1]
        self.alike_after = self._run_lengths(least)
        self.least = least
        self.state: _State = [(each.budget, each.places) for each in problem.bins]

    def run(self, most_steps: int) -> Packing:
        """Return the first packing found."""
        steps = 0
        chosen: list[tuple[int, int]] = []
        undo: list[tuple[int, tuple[int, tuple[int, ...]]]] = []
        failed: set[tuple[int, tuple[tuple[int, tuple[int, ...]], ...]]] = set()
        branches = [self._branches(0)] if self.items else []
        while branches:
            step = next(branches[-1], None)
            if step is None:
                failed.add((len(chosen), tuple(sorted(self.state))))
                branches.pop()
                self._take_back(chosen, undo)
                continue
            place, kind, after = step
            undo.append((place, self.state[place]))
            chosen.append((place, kind))
            self.state[place] = after
            if len(chosen) == len(self.items):
                return Packing(self._loading(chosen), proven=True)
            steps += 1
            if steps > most_steps:
                return Packing(None, proven=False)
            if self._hopeless(len(chosen)) or (len(chosen), tuple(sorted(self.state))) in failed:
                self._take_back(chosen, undo)
            else:
                branches.append(self._branches(len(chosen)))
        return Packing(None if self.items else {}, proven=True)

    def _branches(self, depth: int) -> Iterator[_Step]:
        """Yield where the next item may go: least taken first, then least left over."""
        seen = set()
        steps = []
        for place, (left, free) in enumerate(self.state):
            for size, kind in self.options[self.items[depth]]:
                if size <= left and free[kind] and (left, free, kind) not in seen:
                    seen.add((left, free, kind))
                    steps.append((size, left - size, kind, place))
        for _, left, kind, place in sorted(steps):
            free = self.state[place][1]
            yield place, kind, (left, (*free[:kind], free[kind] - 1, *free[kind + 1 :]))

    def _hopeless(self, depth: int) -> bool:
        """Return whether counting shows that the items from ``depth`` on cannot stand."""
        smallest, next_size = self.least[-1], self.least[depth]
        open_places = sum_left = next_fit = 0
        for left, free in self.state:
            places = sum(free)
            if places and left >= smallest:
                open_places += min(places, left // smallest) if smallest else places
                sum_left += left
                next_fit += min(places, left // next_size) if next_size else places
        return (
            open_places < len(self.items) - depth or sum_left < self.rest[depth] or next_fit < self.alike_after[depth]
        )

    def _take_back(self, chosen: list[tuple[int, int]], undo: list[tuple[int, tuple[int, tuple[int, ...]]]]) -> None:
        if undo:
            place, before = undo.pop()
            self.state[place] = before
            chosen.pop()

    def _loading(self, chosen: Sequence[tuple[int, int]]) -> Loading:
        return Counter((group, place, kind) for group, (place, kind) in zip(self.items, chosen, strict=True))

    @staticmethod
    def _run_lengths(sizes: Sequence[int]) -> list[int]:
        """Return for each item how many of the same size stand from it on (sizes descend)."""
        lengths = [1] * len(sizes)
        for place in range(len(sizes) - 2, -1, -1):
            if sizes[place] == sizes[place + 1]:
                lengths[place] = lengths[place + 1] + 1
        return lengths
