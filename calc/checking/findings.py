"""What a check says: findings, and the result of all checks over one kit."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

from calc.checking.compared import Range
from calc.rig.capability import Capability
from calc.rig.figures import Figures
from calc.rig.inputs import Value
from calc.rig.subjects import Subject
from calc.vocabulary import NOTHING_FOUND, SEVERITIES

Basis: TypeAlias = Mapping[str, int]
"""How many inputs came from each of ``calc.vocabulary.PROVENANCES``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One result of a check."""

    code: str
    severity: str
    subject: Subject
    value: float | None
    """What is, in ``unit``; None where the finding is not about a number or the number is not known."""
    limit: float | None
    margin: float | None
    """How far the value is on the good side of the limit, in ``unit``; negative when beyond it.

    Without a value, how far the worse end of the range is; None where that end is open.
    """
    unit: str
    message: str
    source: str
    inputs: Mapping[str, Value]
    """Every number and fact the answer hangs on, by name."""
    basis: Basis
    views: frozenset[str]
    """``"design"``, ``"packed"`` or both."""
    unlocks: str | None = None
    """The one number that would settle it, for findings of what is not known."""
    at_least: bool = False
    """The limit is the least that is wanted; otherwise the most that may be."""
    range: Range | None = None
    """Between which ends the compared number lies, in ``unit``; None where it is one number, or none."""

    @property
    def fingerprint(self) -> str:
        """Return a hash of what an acceptance binds to: code, subject, value, range, limit and inputs; not the label.

        The range is to an undecided finding what the value is to a decided one, and its inputs may name only the
        number that is missing: who lived with 50 to 76 W of 65 has said nothing of 60 to 110. It is left out where
        there is none, so that what was accepted before findings had ranges stays accepted.
        """
        bound: list[object] = [
            self.code,
            self.subject.position,
            self.subject.port,
            self.value,
            self.limit,
            dict(self.inputs),
        ]
        if self.range is not None:
            bound.append([self.range.low, self.range.high])
        return hashlib.sha256(json.dumps(bound, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """All checks over one kit, at one revision and one moment."""

    findings: tuple[Finding, ...]
    """Worst first."""
    verdict: str
    verdicts: Mapping[str, str | None]
    """``"design"`` and ``"packed"``; the latter None while nothing is packed."""
    figures: Figures
    capability: Capability
    """What the kit offers as planned, with its plug map."""
    next_change: datetime | None
    """When the answer changes by the calendar alone."""


def verdict(severities: Iterable[str]) -> str:
    """Return the worst of the severities, or ``"nothing-found"``."""
    return max(severities, key=SEVERITIES.index, default=NOTHING_FOUND)
