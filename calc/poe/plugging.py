"""The worst that people can do with a hand full of plugs."""

from collections import Counter
from collections.abc import Iterable, Sequence
from heapq import nlargest

_Kind = int


def heaviest(loads: Sequence[Sequence[int]], places: Sequence[int]) -> int:
    """Return the most that one source can be asked for, whichever loads are plugged into its places.

    Args:
        loads: For each load what it takes in a place of each kind.
        places: How many places of each kind the source has.
    """
    kinds = [kind for kind, count in enumerate(places) if count]
    most = sum(places)
    if len(kinds) == 1:
        return sum(nlargest(most, (load[kinds[0]] for load in loads)))
    best = {tuple(places[kind] for kind in kinds): 0}
    for load, count in _few_alike(loads, kinds, most):
        for _ in range(count):
            best = _with_load(best, load)
    return max(best.values())


def _few_alike(loads: Iterable[Sequence[int]], kinds: Sequence[_Kind], most: int) -> list[tuple[tuple[int, ...], int]]:
    """Return the loads by these kinds of places, no more of one sort than there are places."""
    numbers = Counter(tuple(load[kind] for kind in kinds) for load in loads)
    return [(load, min(number, most)) for load, number in numbers.items()]


def _with_load(best: dict[tuple[int, ...], int], load: Sequence[int]) -> dict[tuple[int, ...], int]:
    """Return, by places still free, the most that is taken once one more load may be plugged in."""
    more = dict(best)
    for free, taken in best.items():
        for kind, count in enumerate(free):
            if count:
                left = (*free[:kind], count - 1, *free[kind + 1 :])
                more[left] = max(more.get(left, 0), taken + load[kind])
    return more
