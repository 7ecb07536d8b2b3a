"""Run every check over a kit, in both views, and say what they found."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from typing import TypeVar

from calc.checking.compared import Range
from calc.checking.drafts import DATA_MISSING, Draft
from calc.checking.findings import Finding, Result, verdict
from calc.checking.registry import CHECKS, Check, registered
from calc.rig.capability import capability_of
from calc.rig.figures import figures
from calc.rig.kit import Kit
from calc.rig.wiring import VIEWS, Wired, natural, wire
from calc.vocabulary import PROVENANCES, SEVERITIES

DECIMALS = 3
"""Numbers of a finding are rounded to this, so that one condition has one fingerprint in both views."""
ON_NO_SHEET = ("brief.", "unit.")
"""How the names of numbers begin that no data sheet has."""


def run(kit: Kit, as_of: datetime) -> Result:
    """Return what all checks find in the kit, with its nested kits.

    A kit in which nothing is packed yet is a plan on paper: it is judged as a design only.

    Args:
        kit: The kit as assembled.
        as_of: The moment that dates are compared with; timezone-aware.
    """
    design, packed = (wire([kit], view=view, as_of=as_of) for view in VIEWS)
    on_paper = all(position.unit is None for position in kit.positions)
    planned = evaluate(design, registered())
    findings = merge([*planned, *([] if on_paper else _packed(packed, planned))])
    sums = figures(design, kit)
    return Result(
        findings=findings,
        verdict=verdict(finding.severity for finding in findings),
        verdicts={
            "design": verdict(f.severity for f in findings if "design" in f.views),
            "packed": None if on_paper else verdict(f.severity for f in findings if "packed" in f.views),
        },
        figures=sums,
        capability=capability_of(design, sums),
        next_change=_next_change(packed),
    )


def _packed(packed: Wired, planned: Iterable[Finding]) -> list[Finding]:
    """Return what holds of the packed kit; where it is sound and as planned, only the units are looked at again."""
    if not packed.is_as_planned:
        return evaluate(packed, registered())
    of_units = [entry for entry in registered() if entry.of_units]
    names = {entry.code for entry in of_units}
    as_planned = [replace(finding, views=frozenset({packed.view})) for finding in planned if finding.code not in names]
    return as_planned + evaluate(packed, of_units)


def merge(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings worst first, one for each condition, in one order for one kit."""
    by_condition: dict[tuple[str, str], Finding] = {}
    for finding in findings:
        key = (finding.fingerprint, finding.severity)
        known = by_condition.get(key)
        by_condition[key] = finding if known is None else _in_both(known, finding)
    return tuple(sorted(by_condition.values(), key=_worst_first))


def evaluate(wired: Wired, checks: Iterable[Check]) -> list[Finding]:
    """Return what the checks find under one view; a missing number is asked for once, whichever of them wait for it."""
    found: list[Finding] = []
    missing: dict[object, list[tuple[Check, Draft]]] = {}
    for entry in checks:
        for draft in entry.evaluate(wired):
            if draft.code == DATA_MISSING:
                missing.setdefault(_missing_number(wired, draft), []).append((entry, draft))
            else:
                found.append(_finding(entry, draft, wired.view))
    return found + [_missing(blocked, wired.view) for blocked in missing.values()]


def _missing_number(wired: Wired, draft: Draft) -> object:
    """Return what tells one missing number from another: the field of a sheet, however many positions share it.

    What is asked of a unit, or of a brief, stands on no sheet: it is asked of each by itself.
    """
    if draft.unlocks is not None and draft.unlocks.startswith(ON_NO_SHEET):
        return (draft.subject, draft.unlocks)
    place = wired.places.get(draft.subject.position) if draft.subject.position is not None else None
    spec = draft.of_spec or (place.spec.id if place is not None else None)
    return (spec if spec is not None else draft.subject, draft.unlocks)


def _finding(entry: Check, draft: Draft, view: str) -> Finding:
    severity = draft.severity or entry.severities[0]
    if severity not in entry.severities:
        raise ValueError(f"The check {entry.code} is registered for {entry.severities}, not for {severity}.")
    return _build(entry.code, severity, entry.source, draft, view)


def _missing(blocked: list[tuple[Check, Draft]], view: str) -> Finding:
    """Return one finding for one number that is missing, whichever checks wait for it.

    It tells of the check that is nearest to its answer; of equals, of the first.
    """
    entry, draft = max(blocked, key=lambda one: _surely_used(one[1]))
    finding = _build(DATA_MISSING, "unknown", entry.source, draft, view)
    waiting = ", ".join(sorted({entry.code for entry, _ in blocked} - {DATA_MISSING}))
    return replace(finding, inputs={**finding.inputs, "waiting": waiting}) if waiting else finding


def _surely_used(draft: Draft) -> float:
    """Return which share of the limit the lower end takes; below nothing where there is no range or no limit. [-]"""
    ends, limit = (draft.compared.range, draft.compared.limit) if draft.compared else (None, None)
    if ends is None or limit is None:
        return -1.0 if ends is not None else -2.0
    return (ends.low or 0.0) / limit if limit > 0 else 0.0


def _build(code: str, severity: str, source: str, draft: Draft, view: str) -> Finding:
    counted, compared = Counter(given.provenance for given in draft.inputs), draft.compared
    ends = compared.range if compared else None
    return Finding(
        code=code,
        severity=severity,
        subject=draft.subject,
        value=_rounded(draft.value),
        limit=_rounded(compared.limit) if compared else None,
        margin=_rounded(draft.margin),
        at_least=compared is not None and compared.at_least,
        unit=compared.unit if compared else "",
        message=draft.message,
        source=source,
        inputs={given.name: _rounded(given.value) for given in draft.inputs},
        basis={provenance: counted[provenance] for provenance in PROVENANCES},
        views=frozenset({view}),
        unlocks=draft.unlocks,
        range=None if ends is None else Range(low=_rounded(ends.low), high=_rounded(ends.high)),
    )


Plain = TypeVar("Plain")


def _rounded(value: Plain) -> Plain:
    """Return ``value``, rounded if it is a fraction; minus zero is zero."""
    return round(value, DECIMALS) + 0.0 if isinstance(value, float) else value  # type: ignore[return-value]


def _in_both(one: Finding, other: Finding) -> Finding:
    return replace(one, views=one.views | other.views)


def _worst_first(finding: Finding) -> tuple[object, ...]:
    subject = finding.subject
    return (
        -SEVERITIES.index(finding.severity),
        list(CHECKS).index(finding.code),
        -1 if subject.position is None else subject.position,
        natural(subject.port or ""),
        finding.unlocks or "",
        finding.fingerprint,
    )


def _next_change(wired: Wired) -> datetime | None:
    """Return the next moment at which an inspection falls due."""
    dates = (place.unit.inspection_due_at for place in wired.places.values() if place.unit)
    return min((date for date in dates if date is not None and date > wired.as_of), default=None)
