"""Checks and their findings as people and programs see them."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import Q, QuerySet
from django.utils import timezone

from inventory.models import Acceptance, Check, Finding, Kit
from inventory.selectors.kits import VerdictsShape


class SubjectShape(TypedDict):
    position: int | None
    label: str
    port: str | None


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
    figures: dict[str, Any]
    finished_at: datetime | None
    error: str | None
    last: LastShape | None


NO_VERDICTS: VerdictsShape = {"design": None, "packed": None}


def show_check(kit_id: int) -> CheckShape | None:
    """Return the check of a kit, or None when there is no such kit; five statements at most."""
    kit = Kit.objects.filter(pk=kit_id).first()
    if kit is None:
        return None
    newest = Check.objects.filter(kit=kit).order_by("-pk").first()
    done = newest if newest and newest.state == "done" else newest_check(kit.pk)
    state = _state(kit, newest)
    shown = newest if newest is not None and state in {"done", "failed"} else None
    return {
        "kit": kit.pk,
        "version": kit.version,
        "revision": kit.revision,
        "state": state,
        "verdict": shown.verdict if shown else None,
        "verdicts": _verdicts(shown) if shown else NO_VERDICTS,
        "findings": show_findings(shown) if shown else [],
        "figures": shown.figures if shown else {},
        "finished_at": shown.finished_at if shown else None,
        "error": shown.error or None if shown else None,
        "last": _last(done) if done else None,
    }


def newest_check(kit_id: int) -> Check | None:
    """The newest finished check of a kit, whatever its revision."""
    return Check.objects.filter(kit_id=kit_id, state="done").order_by("-pk").first()


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
            "verdicts": _verdicts(row),
            "finished_at": row.finished_at,
            "error": row.error or None,
        }
        for row in rows
    ]


def show_findings(check: Check) -> list[FindingShape]:
    """Return the findings of a check, worst first, with who accepted which; two statements."""
    accepted = _acceptances(check.kit_id)
    return [show_finding(row, accepted.get(row.fingerprint)) for row in check.findings.order_by("sort")]


def accepted_finding(finding_id: int) -> FindingShape:
    """Return one finding with who accepted it."""
    row = Finding.objects.select_related("check_run").get(pk=finding_id)
    return show_finding(row, _acceptances(row.check_run.kit_id).get(row.fingerprint))


def show_finding(row: Finding, accepted: AcceptanceShape | None) -> FindingShape:
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
        "accepted": accepted,
    }


def range_shape(low: float | None, high: float | None) -> RangeShape | None:
    """Return a range as people and programs see it; None where neither end is known."""
    return None if low is None and high is None else {"low": low, "high": high}


def _acceptances(kit_id: int) -> dict[str, AcceptanceShape]:
    standing = Q(until__isnull=True) | Q(until__gt=timezone.now())
    rows = Acceptance.objects.filter(standing, kit_id=kit_id).values(
        "fingerprint", "by_id", "by__username", "reason", "at", "until"
    )
    return {
        row["fingerprint"]: {
            "by": row["by_id"],
            "name": row["by__username"],
            "reason": row["reason"],
            "at": row["at"],
            "until": row["until"],
        }
        for row in rows
    }


def _state(kit: Kit, newest: Check | None) -> str:
    """Say how far the check of the kit's present revision is."""
    if kit.check_due_at is None:
        return "done"
    if kit.check_lease_until is not None and kit.check_lease_until > timezone.now():
        return "running"
    failed = newest is not None and newest.state == "failed" and newest.revision == kit.revision
    return "failed" if failed else "queued"


def _verdicts(check: Check) -> VerdictsShape:
    return {"design": check.verdict_design, "packed": check.verdict_packed}


def _last(check: Check) -> LastShape:
    return {"revision": check.revision, "verdict": check.verdict or "", "finished_at": check.finished_at}
