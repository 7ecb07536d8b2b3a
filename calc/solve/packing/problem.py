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
class Counted:
    """How many items of each group are placed, and where."""

    counts: tuple[int, ...]
    loading: Loading
    proven: bool
    """Whether no other packing places more by priority."""


@dataclass(frozen=True, slots=True)
class Choice:
    """Which items are placed where."""

    loading: Loading
    proven: bool
    """Whether no other packing is better in anything."""
    most_proven: bool
    """Whether no other packing places more items of the highest priority, or as many and more of the next, ..."""


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


def could_swap(ranks: Sequence[Sequence[int]], counts: Sequence[int], waiting: int, standing: int) -> bool:
    """Return whether an unplaced item of one group has an earlier rank than a placed one of another."""
    if counts[waiting] == len(ranks[waiting]) or not counts[standing]:
        return False
    return ranks[waiting][counts[waiting]] < ranks[standing][counts[standing] - 1]
