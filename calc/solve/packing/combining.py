"""The best packing of few items: every way to fill each bin, combined bin by bin."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import product
from math import prod

from calc.solve.packing.problem import Bin, Choice, Group, Loading, Problem, worth

_MOST_STATES = 2_000
_MOST_COMBINATIONS = 200_000

_Counts = tuple[int, ...]
_Filling = tuple[tuple[int, int, int], ...]  # (group, kind, count)
_Filled = dict[_Counts, tuple[int, tuple[_Filling, ...]]]  # items placed → what they take, how each bin is filled


def combine(problem: Problem, ranks: Sequence[Sequence[int]]) -> Choice | None:
    """Return the best packing, or None where there are too many ways to look at."""
    if prod(group.count + 1 for group in problem.groups) > _MOST_STATES:
        return None
    fillings = {each: _fillings(each, problem.groups) for each in set(problem.bins)}
    best: _Filled = {(0,) * len(problem.groups): (0, ())}
    work = 0
    for each in problem.bins:
        work += len(best) * len(fillings[each])
        if work > _MOST_COMBINATIONS:
            return None
        best = _with_bin(best, fillings[each], problem.groups)
    counts = min(best, key=lambda counts: worth(problem, ranks, counts, best[counts][0]))
    return Choice(_loading(best[counts][1]), proven=True)


def _with_bin(best: _Filled, fillings: dict[_Counts, tuple[int, _Filling]], groups: Sequence[Group]) -> _Filled:
    """Return what can stand in the bins so far and one more."""
    most = tuple(group.count for group in groups)
    wider: _Filled = {}
    for counts, (taken, filled) in best.items():
        for more, (more_taken, filling) in fillings.items():
            both = tuple(map(int.__add__, counts, more))
            if any(map(int.__gt__, both, most)):
                continue
            if both not in wider or taken + more_taken < wider[both][0]:
                wider[both] = (taken + more_taken, (*filled, filling))
    return wider


def _fillings(each: Bin, groups: Sequence[Group]) -> dict[_Counts, tuple[int, _Filling]]:
    """Return for every number of items of each group that one bin holds the way that takes least."""
    partly: dict[tuple[_Counts, _Counts], tuple[int, _Filling]] = {((), each.places): (0, ())}
    for number, group in enumerate(groups):
        longer: dict[tuple[_Counts, _Counts], tuple[int, _Filling]] = {}
        for (counts, free), (taken, filling) in partly.items():
            for split in _splits(group, free):
                sizes = [size or 0 for size in group.takes]
                total = taken + sum(map(int.__mul__, sizes, split))
                key = ((*counts, sum(split)), tuple(map(int.__sub__, free, split)))
                if total <= each.budget and (key not in longer or total < longer[key][0]):
                    here = tuple((number, kind, count) for kind, count in enumerate(split) if count)
                    longer[key] = (total, filling + here)
        partly = longer
    fillings: dict[_Counts, tuple[int, _Filling]] = {}
    for (counts, _), (taken, filling) in partly.items():
        if counts not in fillings or taken < fillings[counts][0]:
            fillings[counts] = (taken, filling)
    return fillings


def _splits(group: Group, free: Sequence[int]) -> Iterator[_Counts]:
    """Yield every way to put up to all items of a group into the free places of one bin."""
    ranges = [range((room if size is not None else 0) + 1) for size, room in zip(group.takes, free, strict=True)]
    return (split for split in product(*ranges) if sum(split) <= group.count)


def _loading(filled: Sequence[_Filling]) -> Loading:
    loading: Counter[tuple[int, int, int]] = Counter()
    for place, filling in enumerate(filled):
        for group, kind, count in filling:
            loading[group, place, kind] += count
    return loading
