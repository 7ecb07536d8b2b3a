"""The verdicts, side by side: as planned, as packed; and how far the check is."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.vocabulary import NOTHING_FOUND
from inventory.selectors.checks import CheckShape, FindingShape

WAITING = frozenset({"queued", "running"})
NAMES = {"design": "Design", "packed": "Packed"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One of the verdicts."""

    name: str
    severity: str
    """A severity, or ``nothing-found``."""
    count: int | None
    """How many findings are of that severity; None shows the word alone."""
    words: str
    """Said instead, while there is no verdict."""


def verdicts(check: CheckShape) -> tuple[Verdict, ...]:
    """Return the verdicts of a check; while it is under way, that it is."""
    return tuple(_verdict(check, view, name) for view, name in NAMES.items())


def verdict_of_row(view: str, severity: str | None) -> Verdict:
    """Return a verdict as the list of kits knows it: without a count."""
    words = "" if severity else "not checked yet"
    return Verdict(name=NAMES[view], severity=severity or "unknown", count=None, words=words)


def _verdict(check: CheckShape, view: str, name: str) -> Verdict:
    if check["state"] in WAITING:
        return Verdict(name=name, severity="note", count=None, words="checking …")
    severity = check["verdicts"]["design" if view == "design" else "packed"]
    if severity is None:
        words = "the check broke off" if check["state"] == "failed" else "not checked yet"
        return Verdict(name=name, severity="unknown", count=None, words=words)
    count = None if severity == NOTHING_FOUND else _count(check["findings"], view, severity)
    return Verdict(name=name, severity=severity, count=count, words="")


def _count(findings: Sequence[FindingShape], view: str, severity: str) -> int:
    return sum(finding["severity"] == severity and view in finding["in"] for finding in findings)
