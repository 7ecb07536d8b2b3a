"""What a check holds against a limit, at both ends of what is not known."""

from dataclasses import dataclass
from math import isfinite

from calc.checking.findings import Range
from calc.given import Given


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A number between two ends, and the limit it is held against, all in ``unit``; endless is an open end."""

    low: float
    high: float
    unit: str
    limit: float | None = None
    """None where the limit itself is not known as one number."""
    at_least: bool = False
    """The limit is the least that is wanted; otherwise the most that may be."""

    @property
    def value(self) -> float | None:
        """Return the number, where both ends are the same."""
        return self.low if self.low == self.high and isfinite(self.low) else None

    @property
    def range(self) -> Range | None:
        """Return the two ends, where they differ."""
        return None if self.low == self.high else between_ends(self.low, self.high)

    @property
    def is_within(self) -> bool | None:
        """Tell whether it is on the good side of the limit; None where the two ends disagree, or without a limit."""
        if self.limit is None:
            return None
        at_ends = [end >= self.limit if self.at_least else end <= self.limit for end in (self.low, self.high)]
        return at_ends[0] if at_ends[0] == at_ends[1] else None

    @property
    def margin(self) -> float | None:
        """Return how far the worse end is on the good side of the limit; None where that end is open."""
        worse = self.low if self.at_least else self.high
        if self.limit is None or not isfinite(worse):
            return None
        return worse - self.limit if self.at_least else self.limit - worse


def against(given: Given, limit: Given | float | None, unit: str) -> Compared:
    """Return a number held against the most that may be.

    A limit that is a range itself has no place to be drawn at. So if only the limit is open, the two change places:
    what is there, against the least that is wanted. If both are open, the limit is left out.
    """
    if isinstance(limit, Given) and not limit.settled and given.settled:
        return Compared(low=limit.low, high=limit.high, unit=unit, limit=given.low, at_least=True)
    if isinstance(limit, Given):
        limit = limit.low if limit.settled else None
    return Compared(low=given.low, high=given.high, unit=unit, limit=limit)


def between_ends(low: float, high: float) -> Range | None:
    """Return the range between two ends; an endless end is open, and between two open ones there is none."""
    ends = Range(low=low if isfinite(low) else None, high=high if isfinite(high) else None)
    return None if ends == Range(low=None, high=None) else ends


def open_range(given: Given) -> Range | None:
    """Return the two ends of a number, or None where it is settled."""
    return None if given.settled else between_ends(given.low, given.high)
