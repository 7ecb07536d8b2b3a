"""Which items to place where: most of the highest priority, of the next, ..., least taken, earliest ranks.

Where within each priority one item is always at least as easy to place as the next (it may go wherever that may, and
takes no more there), the easiest ones are the right ones: exchanging two keeps any packing. Then only their number is
to be found, which takes a few packings. Elsewhere the constraint solver decides.

This search is kept beside the solver for what it saves. Twelve sources of eight ports and sixty devices, median of four
by processor time, solver loaded, one worker: room for all 1 ms against 17 by the solver alone; full by class 14 against
47; three priorities 14 against 456; ports of three classes 25 against 233; full by measured draw 46 against 7461, and
four proven against none.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from math import inf

from calc.solve.packing.gathering import gather
from calc.solve.packing.model import choose_by_model, pack_by_model
from calc.solve.packing.problem import Choice, Counted, Group, Loading, Packing, Problem, could_swap, levels, taken
from calc.solve.packing.search import counts_refuse, pack
from calc.solve.solver import WorkBudget

MOST_STEPS = 2_000
"""Of one search for room, before the constraint solver is asked."""

WORK_FOR_COUNTS = 4.0
"""For the number of items by priority, in the solver's deterministic time; one budget for a call."""


def choose(problem: Problem, ranks: Sequence[Sequence[int]]) -> Choice:
    """Return which items are placed where.

    Args:
        problem: Bins and groups.
        ranks: For each group the ranks of its items, ascending; among equal packings the earliest ranks are placed.
    """
    work = WorkBudget(WORK_FOR_COUNTS)
    by_ease = [_by_ease(problem, level) for level in levels(problem)]
    easiest = [groups for groups in by_ease if groups is not None]
    if len(easiest) < len(by_ease):
        return choose_by_model(problem, ranks, work)
    counted = Counted((0,) * len(problem.groups), {}, proven=True)
    for groups in easiest:
        counted = _add_most(problem, counted, groups, work)
    if not any(_rank_undecided(problem, ranks, counted.counts, groups) for groups in easiest):
        loading = _cheapest(problem, counted)
        if loading is not None:
            return Choice(loading, counted.proven, counted.proven)
    return choose_by_model(problem, ranks, work, counted)


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


def _add_most(problem: Problem, base: Counted, by_ease: Sequence[int], work: WorkBudget) -> Counted:
    """Return ``base`` with as many items of one priority added as fit beside it."""

    def counts(number: int) -> tuple[int, ...]:
        wanted = list(base.counts)
        for group in by_ease:
            wanted[group] = min(number, problem.groups[group].count)
            number -= wanted[group]
        return tuple(wanted)

    packed = {0: base}

    def fits_at_once(number: int) -> bool:
        loading = pack(problem, counts(number), most_steps=0).loading
        if loading is not None:
            packed[number] = Counted(counts(number), loading, base.proven)
        return loading is not None

    most = _largest(
        sum(problem.groups[group].count for group in by_ease),
        lambda number: not counts_refuse(problem, counts(number)),
    )
    reached = _largest(most, fits_at_once)
    for number in range(reached + 1, most + 1):
        packing = _settle(problem, counts(number), work)
        if packing.loading is None:
            return replace(packed[number - 1], proven=base.proven and packing.proven)
        packed[number] = Counted(counts(number), packing.loading, base.proven)
    return packed[most]


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


def _settle(problem: Problem, counts: Sequence[int], work: WorkBudget) -> Packing:
    """Return a packing or the proof that there is none; the constraint solver is asked last."""
    gathered = gather(problem, counts)
    if gathered is not None:
        return Packing(gathered, proven=True)
    packing = pack(problem, counts, MOST_STEPS)
    return packing if packing.proven else pack_by_model(problem, counts, work)


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


def _cheapest(problem: Problem, counted: Counted) -> Loading | None:
    """Return the loading that takes least, or None if that is not plain to see.

    It is where each item takes the least that it takes anywhere.
    """
    least = sum((group.least or 0) * count for group, count in zip(problem.groups, counted.counts, strict=True))
    if taken(problem, counted.loading) == least:
        return counted.loading
    only_least = replace(problem, groups=tuple(_where_least(group) for group in problem.groups))
    return pack(only_least, counted.counts, MOST_STEPS).loading


def _where_least(group: Group) -> Group:
    return replace(group, takes=tuple(size if size == group.least else None for size in group.takes))
