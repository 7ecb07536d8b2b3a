"""Which items to place where: most of the highest priority, of the next, ..., least taken, earliest ranks.

Where within each priority one item is always at least as easy to place as the next (it may stand wherever that may,
and takes no more there), the easiest ones are the right ones: the exchange keeps any packing. Then only their number is
to be found, which takes a few packings. Elsewhere every way is combined, or a constraint solver decides.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

from calc.solve.packing.combining import combine
from calc.solve.packing.gathering import gather
from calc.solve.packing.model import choose_by_model, pack_by_model
from calc.solve.packing.problem import Choice, Group, Loading, Packing, Problem, could_swap, levels, taken
from calc.solve.packing.search import counts_refuse, pack

MOST_STEPS = 2_000
"""Of one search for room, before the constraint solver is asked."""


def choose(problem: Problem, ranks: Sequence[Sequence[int]]) -> Choice:
    """Return which items stand where.

    Args:
        problem: Bins and groups.
        ranks: For each group the ranks of its items, ascending; among equal packings the earliest ranks are placed.
    """
    return _choose_easiest(problem, ranks) or combine(problem, ranks) or choose_by_model(problem, ranks)


@dataclass(frozen=True, slots=True)
class _Standing:
    """How many of each group stand, and where."""

    counts: tuple[int, ...]
    loading: Loading
    proven: bool


def _choose_easiest(problem: Problem, ranks: Sequence[Sequence[int]]) -> Choice | None:
    """Return the best packing where ease is an order, or None where it is not or does not settle all."""
    by_ease = [_by_ease(problem, level) for level in levels(problem)]
    standing = _Standing((0,) * len(problem.groups), {}, proven=True)
    for groups in by_ease:
        if groups is None:
            return None
        standing = _add_most(problem, standing, groups)
    if any(_rank_undecided(problem, ranks, standing.counts, groups) for groups in by_ease if groups):
        return None
    loading = _cheapest(problem, standing)
    return None if loading is None else Choice(loading, standing.proven)


def _by_ease(problem: Problem, level: Sequence[int]) -> list[int] | None:
    """Return the groups of one priority that may stand somewhere, easiest first; None if ease is no order."""
    takes = {group: [inf if size is None else size for size in problem.groups[group].takes] for group in level}
    groups = [group for group in level if problem.groups[group].least is not None]
    groups.sort(key=lambda group: (takes[group].count(inf), sum(size for size in takes[group] if size < inf)))
    if any(
        here > there
        for easier, harder in pairwise(groups)
        for here, there in zip(takes[easier], takes[harder], strict=True)
    ):
        return None
    return groups


def _add_most(problem: Problem, base: _Standing, by_ease: Sequence[int]) -> _Standing:
    """Return ``base`` with as many items of one priority as can stand beside it."""

    def counts(number: int) -> tuple[int, ...]:
        wanted = list(base.counts)
        for group in by_ease:
            wanted[group] = min(number, problem.groups[group].count)
            number -= wanted[group]
        return tuple(wanted)

    stood = {0: base}

    def stands_at_once(number: int) -> bool:
        loading = pack(problem, counts(number), most_steps=0).loading
        if loading is not None:
            stood[number] = _Standing(counts(number), loading, base.proven)
        return loading is not None

    most = _largest(
        sum(problem.groups[group].count for group in by_ease),
        lambda number: not counts_refuse(problem, counts(number)),
    )
    reached = _largest(most, stands_at_once)
    for number in range(reached + 1, most + 1):
        packing = _settle(problem, counts(number))
        if packing.loading is None:
            return replace(stood[number - 1], proven=base.proven and packing.proven)
        stood[number] = _Standing(counts(number), packing.loading, base.proven)
    return stood[most]


def _largest(most: int, holds: Callable[[int], bool]) -> int:
    """Return the largest number up to ``most`` for which ``holds``, if it holds for all below; 0 is not asked."""
    if most == 0 or holds(most):
        return most
    low, high = 0, most - 1
    while low < high:
        middle = (low + high + 1) // 2
        if holds(middle):
            low = middle
        else:
            high = middle - 1
    return low


def _settle(problem: Problem, counts: Sequence[int]) -> Packing:
    """Return a packing or the proof that there is none; the constraint solver is asked last."""
    gathered = gather(problem, counts)
    if gathered is not None:
        return Packing(gathered, proven=True)
    packing = pack(problem, counts, MOST_STEPS)
    return packing if packing.proven else pack_by_model(problem, counts)


def _rank_undecided(
    problem: Problem, ranks: Sequence[Sequence[int]], counts: Sequence[int], by_ease: Sequence[int]
) -> bool:
    """Return whether an earlier item could take the place of a later one at the same least size."""
    return any(
        problem.groups[waiting].least == problem.groups[standing].least and could_swap(ranks, counts, waiting, standing)
        for waiting in by_ease
        for standing in by_ease
        if waiting != standing
    )


def _cheapest(problem: Problem, standing: _Standing) -> Loading | None:
    """Return the loading that takes least, or None if that is not plain to see.

    It is where each item takes the least that it takes anywhere.
    """
    least = sum((group.least or 0) * count for group, count in zip(problem.groups, standing.counts, strict=True))
    if taken(problem, standing.loading) == least:
        return standing.loading
    only_least = replace(problem, groups=tuple(_where_least(group) for group in problem.groups))
    return pack(only_least, standing.counts, MOST_STEPS).loading


def _where_least(group: Group) -> Group:
    return replace(group, takes=tuple(size if size == group.least else None for size in group.takes))
