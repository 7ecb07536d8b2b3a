"""Who wants a unit for which period, and what they get."""

from collections.abc import Collection, Hashable
from dataclasses import dataclass

from calc.intervals.moments import Moment


@dataclass(frozen=True, slots=True)
class Request:
    """One unit wanted for one half-open period."""

    id: Hashable
    starts_at: Moment
    ends_at: Moment
    acceptable: Collection[Hashable]
    """The units that would do; those that are not in the pool do not count."""
    fixed: Hashable | None = None
    """The unit that it stays on, whatever is acceptable and whether or not the unit is in the pool."""
    now_on: Hashable | None = None
    """The unit that it is on as things stand; to be given another one is a move."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assignment:
    """Who gets which unit; none is used twice at once."""

    assigned: dict[Hashable, Hashable]
    """Request → unit."""
    unplaced: list[Hashable]
    """Requests that get none, in the order in which they were asked."""
    proof: str
    """What is certain:

    - ``"free"``: all are placed, and nobody is moved who could have stayed.
    - ``"exact"``: all are placed with the fewest moves; or a search has shown that not all can be placed.
    - ``"bound"``: counting has shown that not all can be placed.
    - ``"undecided"``: the search was cut short. If nothing is unplaced, only the moves may not be the fewest; else it
      is not known whether all could be placed.
    """
    largest: bool
    """Whether it is certain that no more can be placed than are."""
    moves: int
    """How many requests are assigned to another unit than they are on now."""
    moved: list[Hashable]
    """Which ones, in the order in which they were asked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How far ``assign`` goes. The limits count work and not seconds, so the answer does not depend on the machine."""

    largest: bool = True
    """Where not all can be placed, whether the largest set that can be is computed.

    Without it everybody who has a unit keeps it, and whoever has none stays unplaced: a refusal needs no more."""
    looks: int = 60_000
    """Units that the search for the fewest reassignments may look at, before the constraint solver is asked."""
    solver: float = 0.6
    """Of the constraint solver, in its deterministic time, to place all; half of that for the largest set. With 0 it is
    not asked, and what only it could settle is ``"undecided"``."""


FULL = Effort()
