"""The verdicts, side by side: as planned, as packed; and how far the check is."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.vocabulary import NOTHING_FOUND
from inventory.base.models.checked import CheckState
from inventory.selectors.checks import CheckShape, FindingShape
from inventory.selectors.kits import VerdictsShape

WAITING = frozenset({"queued", "running"})
ON_PAPER = "On paper"
"""Said instead of a verdict on what is packed, where nothing is packed yet."""
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


def verdicts_of_row(shape: VerdictsShape) -> tuple[Verdict, Verdict]:
    """Return the verdicts as the list of kits knows them: without counts."""
    checked = shape["design"] is not None
    return _of_row("design", shape["design"], "not checked yet"), _of_row(
        "packed", shape["packed"], ON_PAPER if checked else "not checked yet"
    )


def _of_row(view: str, severity: str | None, otherwise: str) -> Verdict:
    return Verdict(
        name=NAMES[view],
        severity=severity or ("note" if otherwise == ON_PAPER else "unknown"),
        count=None,
        words="" if severity else otherwise,
    )


def _verdict(check: CheckShape, view: str, name: str) -> Verdict:
    if check["state"] in WAITING:
        return Verdict(name=name, severity="note", count=None, words="checking …")
    severity = check["verdicts"]["design" if view == "design" else "packed"]
    if severity is None and view == "packed" and check["verdicts"]["design"] is not None:
        return Verdict(name=name, severity="note", count=None, words=ON_PAPER)
    if severity is None:
        words = "the check broke off" if check["state"] == CheckState.FAILED else "not checked yet"
        return Verdict(name=name, severity="unknown", count=None, words=words)
    count = None if severity == NOTHING_FOUND else _count(check["findings"], view, severity)
    return Verdict(name=name, severity=severity, count=count, words="")


def _count(findings: Sequence[FindingShape], view: str, severity: str) -> int:
    return sum(finding["severity"] == severity and view in finding["in"] for finding in findings)
