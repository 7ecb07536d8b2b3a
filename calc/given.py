"""A number as a check sees it: how low, how high, and how anybody knows.

Not known is not zero. A check is run at both ends of every ``Given``: within the limit at both, it passes; beyond it at
both, it fails; otherwise the answer is not known, and ``name`` says which number would settle it.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import inf
from typing import Generic, Self, TypeVar

from calc.errors import BadInput, require_number, require_one_of
from calc.vocabulary import PROVENANCES

# What is known worst comes last: a sum is known no better than the worst of its parts.
_TRUST = ("measured", "label", "data sheet", "assumed", "unknown")


@dataclass(frozen=True, slots=True)
class Given:
    """A physical quantity between two ends, both included, with where it comes from.

    Raises:
        BadInput: an end is not a number, the ends are the wrong way round, the provenance is none of
            ``calc.vocabulary.PROVENANCES``, or the range has no end although its provenance is not ``"unknown"``.
    """

    low: float
    high: float
    provenance: str
    name: str
    """Dotted path of the number in its spec, ``"power.leakage_ma"``: the one to ask for when the answer hangs on it."""

    def __post_init__(self) -> None:
        require_one_of("provenance", self.provenance, PROVENANCES)
        for end, value in (("low", self.low), ("high", self.high)):
            if not (self.provenance == "unknown" and value in (-inf, inf)):
                require_number(end, value)
        if self.low > self.high:
            raise BadInput("low", self.low, f"a number at most the upper end, {self.high!r}")

    @classmethod
    def known(cls, value: float, provenance: str, name: str) -> Self:
        """Return one number that somebody measured, read off a label or typed from a data sheet."""
        return cls(value, value, provenance, name)

    @classmethod
    def assumed(cls, value: float, name: str) -> Self:
        """Return one conservative number that stands in for a missing one."""
        return cls(value, value, "assumed", name)

    @classmethod
    def assumed_range(cls, low: float, high: float, name: str) -> Self:
        """Return the range in which a missing number is taken to lie."""
        return cls(low, high, "assumed", name)

    @classmethod
    def unknown(cls, name: str, *, low: float = 0.0, high: float = inf) -> Self:
        """Return a number that nobody knows; ``high`` may be left open."""
        return cls(low, high, "unknown", name)

    @property
    def settled(self) -> bool:
        """Whether both ends are the same, so that every check on it has one answer."""
        return self.low == self.high

    def agrees(self, within: Callable[[float], bool]) -> bool | None:
        """Return what ``within`` answers at both ends, or None where the two ends disagree.

        ``within`` must not turn back between the ends (monotonic), as every limit in this package is.
        """
        at_low, at_high = within(self.low), within(self.high)
        return at_low if at_low == at_high else None


def total(parts: Iterable[Given], name: str) -> Given:
    """Return the sum of ``parts``, known no better than the worst of them (no parts: a known 0).

    ``name`` is the name of the sum. To learn which part would settle it, ask ``widest``.
    """
    listed = tuple(parts)
    provenance = max((part.provenance for part in listed), key=_TRUST.index, default="data sheet")
    return Given(sum(part.low for part in listed), sum(part.high for part in listed), provenance, name)


def widest(parts: Iterable[Given]) -> Given | None:
    """Return the part whose ends lie furthest apart (ties by name), or None if every part is settled."""
    open_parts = [part for part in parts if not part.settled]
    return min(open_parts, key=lambda part: (part.low - part.high, part.name), default=None)


Option = TypeVar("Option")


@dataclass(frozen=True, slots=True)
class Choice(Generic[Option]):
    """One option out of a list, a word or a yes, with where it comes from: what ``Given`` is for a number."""

    value: Option
    provenance: str
    name: str

    def __post_init__(self) -> None:
        require_one_of("provenance", self.provenance, PROVENANCES)
