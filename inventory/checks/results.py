"""What a check leaves behind: one row, its findings, and the verdicts on the kit."""

from datetime import datetime, timedelta

from django.utils import timezone

from calc.checks import RULES_VERSION, Result
from calc.checks import Finding as FindingFacts
from inventory.base.models.checked import CheckState
from inventory.models import Check, Finding, Kit

KEPT_FOR = timedelta(days=90)


def keep_result(kit_id: int, revision: int, result: Result, *, seen: str, as_of: datetime) -> None:
    """Write a finished check with its findings, mark the kit as checked, and prune what is old."""
    check = Check.objects.create(
        kit_id=kit_id,
        revision=revision,
        rules=RULES_VERSION,
        state=CheckState.DONE,
        verdict=result.verdict,
        verdict_design=result.verdicts["design"],
        verdict_packed=result.verdicts["packed"],
        figures=dict(result.figures),
        fingerprint=seen,
        as_of=as_of,
        finished_at=timezone.now(),
    )
    Finding.objects.bulk_create(_finding(check, sort, facts) for sort, facts in enumerate(result.findings))
    Kit.objects.filter(pk=kit_id).update(
        checked_revision=revision,
        checked_rules=RULES_VERSION,
        check_due_at=None,
        check_lease_until=None,
        check_attempts=0,
        recheck_at=result.next_change,
        verdict=result.verdict,
        verdict_design=result.verdicts["design"],
        verdict_packed=result.verdicts["packed"],
    )
    Check.objects.filter(kit_id=kit_id, finished_at__lt=check.finished_at - KEPT_FOR).exclude(pk=check.pk).delete()


def keep_failure(kit_id: int, revision: int, reason: str, *, as_of: datetime) -> None:
    """Write a check that broke, with its error, so that it can be seen; the kit stays due."""
    Check.objects.create(
        kit_id=kit_id,
        revision=revision,
        rules=RULES_VERSION,
        state=CheckState.FAILED,
        as_of=as_of,
        finished_at=timezone.now(),
        error=reason[:2000],
    )


def _finding(check: Check, sort: int, facts: FindingFacts) -> Finding:
    return Finding(
        check_run=check,
        sort=sort,
        code=facts.code,
        severity=facts.severity,
        position_id=facts.subject.position,
        label=facts.subject.label,
        port=facts.subject.port,
        value=facts.value,
        limit=facts.limit,
        margin=facts.margin,
        at_least=facts.at_least,
        low=facts.range.low if facts.range else None,
        high=facts.range.high if facts.range else None,
        unit=facts.unit or None,
        message=facts.message,
        source=facts.source,
        unlocks=facts.unlocks,
        inputs=dict(facts.inputs),
        basis=dict(facts.basis),
        views=sorted(facts.views),
        fingerprint=facts.fingerprint,
    )
