"""What a check holds against a limit, at both ends of what is not known."""

from dataclasses import dataclass
from math import isfinite

from calc.given import Given


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """The two ends of a number that is not known as one, both included; None: that end is open."""

    low: float | None
    high: float | None


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
        worse_end = self.low if self.at_least else self.high
        return self.margin_of(worse_end) if isfinite(worse_end) else None

    @property
    def better_end(self) -> float:
        """Return the end that is nearer to the good side of the limit."""
        return self.high if self.at_least else self.low

    def margin_of(self, value: float) -> float | None:
        """Return how far a value is on the good side of the limit, negative when beyond it; None without a limit."""
        if self.limit is None:
            return None
        return value - self.limit if self.at_least else self.limit - value


def against(value: Given | float, limit: Given | float | None, unit: str, *, at_least: bool = False) -> Compared:
    """Return a number held against the most that may be or, with ``at_least``, against the least that is wanted.

    A limit that is a range itself cannot be stated as one number. So if only the limit is open, the two change places:
    what is there, against the least that is wanted. If both are open, the limit is left out.
    """
    low, high = (value.low, value.high) if isinstance(value, Given) else (value, value)
    if isinstance(limit, Given) and not limit.settled and low == high:
        return Compared(low=limit.low, high=limit.high, unit=unit, limit=low, at_least=not at_least)
    if isinstance(limit, Given):
        limit = limit.low if limit.settled else None
    return Compared(low=low, high=high, unit=unit, limit=limit, at_least=at_least)


def between_ends(low: float, high: float) -> Range | None:
    """Return the range between two ends; an endless end is open, and between two open ones there is none."""
    ends = Range(low=low if isfinite(low) else None, high=high if isfinite(high) else None)
    return None if ends == Range(low=None, high=None) else ends
