"""Packing in bins with a budget and a few kinds of places: the words that the searches share.

Sizes are whole numbers, so that sums are exact.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Bin:
    """Places that share one budget."""

    budget: int
    places: tuple[int, ...]
    """How many places of each kind it has."""


@dataclass(frozen=True, slots=True)
class Group:
    """Items that are alike: what one takes does not depend on which of them it is."""

    priority: int
    takes: tuple[int | None, ...]
    """What one item takes of the budget in a place of each kind; None: it may not stand there."""
    count: int

    @property
    def least(self) -> int | None:
        """The least that one item takes anywhere, or None if it may stand nowhere."""
        return min((size for size in self.takes if size is not None), default=None)


@dataclass(frozen=True, slots=True)
class Problem:
    """What may go where."""

    bins: tuple[Bin, ...]
    groups: tuple[Group, ...]


Loading = Mapping[tuple[int, int, int], int]
"""How many items of which (group, bin, kind of place); both are numbered as in the problem."""


@dataclass(frozen=True, slots=True)
class Packing:
    """The outcome of one search for room."""

    loading: Loading | None
    """None: no packing was found."""
    proven: bool
    """Whether that is the last word; a loading always is."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Which items stand where; ``proven`` if nothing is better."""

    loading: Loading
    proven: bool


def counts_of(loading: Loading, groups: int) -> tuple[int, ...]:
    """Return how many items of each group stand somewhere."""
    counts = [0] * groups
    for (group, _, _), count in loading.items():
        counts[group] += count
    return tuple(counts)


def taken(problem: Problem, loading: Loading) -> int:
    """Return what a loading takes of all budgets together."""
    return sum((problem.groups[group].takes[kind] or 0) * count for (group, _, kind), count in loading.items())


def levels(problem: Problem) -> list[list[int]]:
    """Return the groups of each priority, largest priority first."""
    priorities = sorted({group.priority for group in problem.groups}, reverse=True)
    return [
        [number for number, group in enumerate(problem.groups) if group.priority == priority] for priority in priorities
    ]


def worth(
    problem: Problem, ranks: Sequence[Sequence[int]], counts: Sequence[int], taken_in_all: int
) -> tuple[tuple[int, ...], int, list[int]]:
    """Return the order of preference, least first: items placed by priority, then what they take, then their ranks.

    Args:
        problem: Bins and groups.
        ranks: For each group the ranks of its items, ascending; the first of them are placed.
        counts: How many of each group are placed.
        taken_in_all: What they take of all budgets.
    """
    left_out = tuple(-sum(counts[group] for group in level) for level in levels(problem))
    placed = sorted(rank for group, count in enumerate(counts) for rank in ranks[group][:count])
    return left_out, taken_in_all, placed


def could_swap(ranks: Sequence[Sequence[int]], counts: Sequence[int], waiting: int, standing: int) -> bool:
    """Return whether an item of one group that waits has an earlier rank than one of another group that stands."""
    if counts[waiting] == len(ranks[waiting]) or not counts[standing]:
        return False
    return ranks[waiting][counts[waiting]] < ranks[standing][counts[standing] - 1]
