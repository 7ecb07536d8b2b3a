"""Checks and their findings as people and programs see them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import F, FilteredRelation, Q, QuerySet, Subquery
from django.utils import timezone

from calc.checking.deferral import codes_behind, deferral
from calc.checks import RULES_VERSION
from inventory.base.models.checked import CheckState
from inventory.capability_document import CapabilityDocument, SubjectShape
from inventory.models import Check, Finding, Kit
from inventory.rows import acceptance_holds
from inventory.selectors.kits import VerdictsShape


class RangeShape(TypedDict):
    """Between which two ends a number lies, in the unit of its finding; null: that end is open."""

    low: float | None
    high: float | None


class AcceptanceShape(TypedDict):
    by: int
    name: str
    reason: str
    at: datetime
    until: datetime | None


FindingShape = TypedDict(
    "FindingShape",
    {
        "id": int,
        "code": str,
        "severity": str,
        "subject": SubjectShape,
        "value": float | None,
        "limit": float | None,
        "margin": float | None,
        "at_least": bool,
        "range": RangeShape | None,
        "unit": str | None,
        "message": str,
        "source": str,
        "unlocks": str | None,
        "in": list[str],
        "basis": dict[str, int],
        "inputs": dict[str, Any],
        "accepted": AcceptanceShape | None,
    },
)


class LastShape(TypedDict):
    """The newest check that came to its end."""

    revision: int
    verdict: str
    finished_at: datetime


class CheckRowShape(TypedDict):
    """A check in the history of a kit."""

    id: int
    revision: int
    state: str
    verdict: str | None
    verdicts: VerdictsShape
    finished_at: datetime
    error: str | None


class CheckShape(TypedDict):
    """The check of a kit as it stands: its state, and what it found once it is done."""

    kit: int
    version: int
    revision: int
    state: str
    verdict: str | None
    verdicts: VerdictsShape
    findings: list[FindingShape]
    deferral: str | None
    """Who decides about what was found, where it can hurt somebody; told once for all findings."""
    figures: dict[str, Any]
    finished_at: datetime | None
    error: str | None
    last: LastShape | None


CHECK_COLUMNS = (
    "id", "revision", "state", "verdict", "verdict_design", "verdict_packed", "figures", "finished_at", "error",
)  # fmt: skip
KEPT_COLUMNS = ("rules", "fingerprint", "capability")
NO_VERDICTS: VerdictsShape = {"design": None, "packed": None}


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRead:
    """The check of a kit, with what its newest finished check worked out for pages and drawings."""

    shown: CheckShape
    capability: CapabilityDocument | None
    """None where no check of today's rules has finished."""
    fingerprint: str
    """Of the contents that it was worked out for."""


def show_check(kit_id: int) -> CheckShape | None:
    """Return the check of a kit, or None when there is no such kit; two statements at most."""
    read = read_check(kit_id)
    return None if read is None else read.shown


def read_check(kit_id: int) -> CheckRead | None:
    """Return the check of a kit and what is kept with it, or None when there is no such kit; two statements at most."""
    rows = _kit_with_checks(kit_id)
    if not rows:
        return None
    done = next((row for row in rows if row["checks__state"] == CheckState.DONE), None)
    is_kept = done is not None and done["checks__rules"] == RULES_VERSION
    return CheckRead(
        shown=_show_check(rows),
        capability=done["checks__capability"] if done is not None and is_kept else None,
        fingerprint=done["checks__fingerprint"] if done is not None else "",
    )


def _show_check(rows: list[dict[str, Any]]) -> CheckShape:
    kit, checks = rows[0], [row for row in rows if row["checks__id"] is not None]
    newest = checks[0] if checks else None
    done = next((row for row in checks if row["checks__state"] == CheckState.DONE), None)
    state = _state(kit, newest)
    shown = newest if newest is not None and state in CheckState.values else None
    found = show_findings(shown["checks__id"]) if shown and state == CheckState.DONE else []
    return {
        "kit": kit["id"],
        "version": kit["version"],
        "revision": kit["revision"],
        "state": state,
        "verdict": shown["checks__verdict"] if shown else None,
        "verdicts": _verdicts(shown) if shown else NO_VERDICTS,
        "findings": found,
        "deferral": deferral(code for finding in found for code in codes_behind(finding["code"], finding["inputs"])),
        "figures": shown["checks__figures"] if shown else {},
        "finished_at": shown["checks__finished_at"] if shown else None,
        "error": shown["checks__error"] or None if shown else None,
        "last": _last(done) if done else None,
    }


def check_rows(kit_id: int) -> QuerySet[Check]:
    """Rows of the history of a kit's checks, for paging."""
    return Check.objects.filter(kit_id=kit_id)


def show_check_rows(rows: Sequence[Check]) -> list[CheckRowShape]:
    return [
        {
            "id": row.pk,
            "revision": row.revision,
            "state": row.state,
            "verdict": row.verdict,
            "verdicts": {"design": row.verdict_design, "packed": row.verdict_packed},
            "finished_at": row.finished_at,
            "error": row.error or None,
        }
        for row in rows
    ]


def show_findings(check_id: int) -> list[FindingShape]:
    """Return the findings of a check, worst first, with who accepted which; one statement."""
    return [
        _show_finding(row) for row in _with_acceptances(Finding.objects.filter(check_run=check_id).order_by("sort"))
    ]


def accepted_finding(finding_id: int) -> FindingShape:
    """Return one finding with who accepted it."""
    return _show_finding(_with_acceptances(Finding.objects.filter(pk=finding_id)).get())


def _show_finding(row: Any) -> FindingShape:
    """Return a finding that was read with its acceptance."""
    return {
        "id": row.pk,
        "code": row.code,
        "severity": row.severity,
        "subject": {"position": row.position_id, "label": row.label, "port": row.port},
        "value": row.value,
        "limit": row.limit,
        "margin": row.margin,
        "at_least": row.at_least,
        "range": range_shape(row.low, row.high),
        "unit": row.unit,
        "message": row.message,
        "source": row.source,
        "unlocks": row.unlocks,
        "in": row.views,
        "basis": row.basis,
        "inputs": row.inputs,
        "accepted": _acceptance(row) if row.accepted_by is not None else None,
    }


def range_shape(low: float | None, high: float | None) -> RangeShape | None:
    """Return a range as people and programs see it; None where neither end is known."""
    return None if low is None and high is None else {"low": low, "high": high}


def _with_acceptances(findings: QuerySet[Finding]) -> QuerySet[Any]:
    """Join to each finding its acceptance: of the same kit, with the same fingerprint, and not over."""
    way = "check_run__kit__acceptances"
    standing = acceptance_holds(timezone.now(), way)
    same = Q(**{f"{way}__fingerprint": F("fingerprint")})
    return findings.annotate(
        acceptance=FilteredRelation(way, condition=same & standing),
        accepted_by=F("acceptance__by_id"),
        accepted_name=F("acceptance__by__username"),
        accepted_reason=F("acceptance__reason"),
        accepted_at=F("acceptance__at"),
        accepted_until=F("acceptance__until"),
    )


def _acceptance(row: Any) -> AcceptanceShape:
    return {
        "by": row.accepted_by,
        "name": row.accepted_name,
        "reason": row.accepted_reason,
        "at": row.accepted_at,
        "until": row.accepted_until,
    }


def _kit_with_checks(kit_id: int) -> list[dict[str, Any]]:
    """Return the kit with its newest check and its newest finished one, the newest first; without one if none ran."""
    mine = Check.objects.filter(kit=kit_id).order_by("-pk").values("pk")
    newest, done = Subquery(mine[:1]), Subquery(mine.filter(state=CheckState.DONE)[:1])
    rows = Kit.objects.filter(Q(checks__isnull=True) | Q(checks__pk=newest) | Q(checks__pk=done), pk=kit_id).order_by(
        "-checks__pk"
    )
    columns = ("id", "version", "revision", "check_due_at", "check_lease_until")
    return [
        dict(row) for row in rows.values(*columns, *(f"checks__{name}" for name in (*CHECK_COLUMNS, *KEPT_COLUMNS)))
    ]


def _state(kit: Mapping[str, Any], newest: Mapping[str, Any] | None) -> str:
    """Say how far the check of the kit's present revision is."""
    if kit["check_due_at"] is None:
        return "done"
    if kit["check_lease_until"] is not None and kit["check_lease_until"] > timezone.now():
        return "running"
    of_newest = (newest["checks__state"], newest["checks__revision"]) if newest is not None else None
    return "failed" if of_newest == ("failed", kit["revision"]) else "queued"


def _verdicts(check: Mapping[str, Any]) -> VerdictsShape:
    return {"design": check["checks__verdict_design"], "packed": check["checks__verdict_packed"]}


def _last(check: Mapping[str, Any]) -> LastShape:
    return {
        "revision": check["checks__revision"],
        "verdict": check["checks__verdict"] or "",
        "finished_at": check["checks__finished_at"],
    }
