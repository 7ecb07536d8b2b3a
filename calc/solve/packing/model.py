"""The best packing of many items, by constraint solving; also the last resort for whether given items find room."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING

from calc.solve.packing.problem import Choice, Counted, Group, Loading, Packing, Problem, could_swap, counts_of, levels
from calc.solve.solver import Solved, WorkBudget, new_model

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

WORK_FOR_DETAILS = 0.5
"""For the least taken and the earliest ranks together, in the solver's deterministic time.

The number of items decides whether a plan works, so it is proven first, from a budget of its own. With sizes of any
number of watts the least taken often stays unproven however long the solver looks.
"""

_RANKS_AT_ONCE = 40  # powers of two below the solver's whole numbers


def pack_by_model(problem: Problem, counts: Sequence[int], work: WorkBudget) -> Packing:
    """Return a packing of so many items of each group, or the proof that there is none, or neither.

    It takes at most half of the work that is left.
    """
    numbers: dict[tuple[int | None, ...], int] = {}
    for group, count in zip(problem.groups, counts, strict=True):
        if count:
            numbers[group.takes] = numbers.get(group.takes, 0) + count
    merged = tuple(Group(0, takes, count) for takes, count in numbers.items())
    model = _PackingModel(Problem(problem.bins, merged))
    for placed, group in zip(model.placed, merged, strict=True):
        model.model.add(placed == group.count)
    solved = work.solve(model.model, share=0.5)
    loading = _as_groups(problem, counts, merged, model.loading(solved)) if solved.found else None
    return Packing(loading, proven=solved.proven)


def _as_groups(problem: Problem, counts: Sequence[int], merged: Sequence[Group], loading: Loading) -> Loading:
    """Return a loading of merged groups as one of the groups that they were merged from."""
    members: dict[tuple[int | None, ...], list[int]] = {each.takes: [] for each in merged}
    for group, (each, count) in enumerate(zip(problem.groups, counts, strict=True)):
        members.get(each.takes, []).extend([group] * count)
    unmerged: Counter[tuple[int, int, int]] = Counter()
    for (number, place, kind), count in sorted(loading.items()):
        for _ in range(count):
            unmerged[members[merged[number].takes].pop(), place, kind] += 1
    return unmerged


def choose_by_model(
    problem: Problem, ranks: Sequence[Sequence[int]], work: WorkBudget, counted: Counted | None = None
) -> Choice:
    """Return the best packing found: most items by priority, then least taken, then by ranks.

    Args:
        problem: Bins and groups.
        ranks: For each group the ranks of its items, ascending.
        work: For the number of items.
        counted: A packing to start from; where it is proven, the number of items of each priority is not sought again.
    """
    model = _PackingModel(problem, {} if counted is None else counted.loading)
    by_priority = levels(problem)
    for place, level in enumerate(by_priority):
        placed = sum(model.placed[group] for group in level)
        if counted is not None and counted.proven:
            model.model.add(placed == sum(counted.counts[group] for group in level))
        else:
            model.settle(placed, most=True, work=work, share=1 / (len(by_priority) - place))
    most_proven = model.proven
    details = WorkBudget(WORK_FOR_DETAILS)
    model.settle(model.taken, most=False, work=details, share=0.5)
    counts = counts_of(model.best, len(problem.groups))
    if any(
        could_swap(ranks, counts, waiting, standing)
        for level in by_priority
        for waiting in level
        for standing in level
        if waiting != standing
    ):
        model.settle_ranks(ranks, details)
    return Choice(model.best, model.proven, most_proven)


class _PackingModel:
    """How many of each group in each kind of place of each bin; goals are settled one after the other."""

    def __init__(self, problem: Problem, start: Loading = MappingProxyType({})) -> None:
        self.problem = problem
        self.model = new_model()
        self.put = {
            (group, place, kind): self.model.new_int_var(0, min(each.count, where.places[kind]), "")
            for group, each in enumerate(problem.groups)
            for place, where in enumerate(problem.bins)
            for kind, size in enumerate(each.takes)
            if size is not None and size <= where.budget and where.places[kind]
        }
        self.placed = [
            sum(put for (number, _, _), put in self.put.items() if number == group)
            for group in range(len(problem.groups))
        ]
        self.in_bin = [self._taken_in(place) for place in range(len(problem.bins))]
        self.taken = sum(self.in_bin)
        self.best: Loading = start
        self.proven = True
        self._keep_to_groups()
        self._keep_to_bins()

    def settle(self, goal: cp_model.LinearExprT, *, most: bool, work: WorkBudget, share: float = 1) -> None:
        """Hold the model to the best value of ``goal`` that is found, starting from the best so far."""
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        for key, put in self.put.items():
            self.model.add_hint(put, self.best.get(key, 0))
        if most:
            self.model.maximize(goal)
        else:
            self.model.minimize(goal)
        solved = work.solve(self.model, share=share)
        self.proven = self.proven and solved.proven
        self.model.clear_objective()  # type: ignore[no-untyped-call]
        if solved.found:
            self.best = self.loading(solved)
            reached = solved.value(goal)
            self.model.add(goal >= reached if most else goal <= reached)

    def settle_ranks(self, ranks: Sequence[Sequence[int]], work: WorkBudget) -> None:
        """Place the earliest ranks that the goals so far allow."""
        stands: dict[int, cp_model.IntVar] = {}
        for group, members in enumerate(ranks):
            standing = [self.model.new_bool_var("") for _ in members]
            self.model.add(sum(standing) == self.placed[group])
            for earlier, later in pairwise(standing):
                self.model.add_implication(later, earlier)
            stands.update(zip(members, standing, strict=True))
        order = [stands[rank] for rank in sorted(stands)]
        for start in range(0, len(order), _RANKS_AT_ONCE):
            some = order[start : start + _RANKS_AT_ONCE]
            self.settle(sum(one * 2**place for place, one in enumerate(reversed(some))), most=True, work=work)

    def loading(self, solved: Solved) -> Loading:
        """Return what stands where."""
        return {key: count for key, put in self.put.items() if (count := solved.value(put))}

    def _taken_in(self, place: int) -> cp_model.LinearExprT:
        return sum(
            (self.problem.groups[group].takes[kind] or 0) * put
            for (group, where, kind), put in self.put.items()
            if where == place
        )

    def _keep_to_groups(self) -> None:
        for placed, group in zip(self.placed, self.problem.groups, strict=True):
            self.model.add(placed <= group.count)

    def _keep_to_bins(self) -> None:
        for place, each in enumerate(self.problem.bins):
            self.model.add(self.in_bin[place] <= each.budget)
            for kind, room in enumerate(each.places):
                self.model.add(
                    sum(put for (_, where, what), put in self.put.items() if (where, what) == (place, kind)) <= room
                )
        for (place, each), (other, alike) in pairwise(enumerate(self.problem.bins)):
            if each == alike:
                self.model.add(self.in_bin[place] >= self.in_bin[other])
