"""What a check of a kit leaves behind: one row and its findings."""

from datetime import datetime, timedelta

from django.utils import timezone

from calc.checks import RULES_VERSION, Result
from calc.checks import Finding as FindingFacts
from inventory.base.models.checked import CheckState
from inventory.capability_document import capability_document
from inventory.models import Check, Finding

KEPT_FOR = timedelta(days=90)


def keep_result(kit_id: int, revision: int, result: Result, *, seen: str, as_of: datetime) -> None:
    """Write a finished check with its findings, and delete the kit's checks that are older than ``KEPT_FOR``."""
    check = Check.objects.create(
        kit_id=kit_id,
        revision=revision,
        rules=RULES_VERSION,
        state=CheckState.DONE,
        verdict=result.verdict,
        verdict_design=result.verdicts["design"],
        verdict_packed=result.verdicts["packed"],
        figures=dict(result.figures),
        capability=capability_document(result.capability),
        fingerprint=seen,
        as_of=as_of,
        finished_at=timezone.now(),
    )
    Finding.objects.bulk_create(_finding(check, sort, facts) for sort, facts in enumerate(result.findings))
    Check.objects.filter(kit_id=kit_id, finished_at__lt=check.finished_at - KEPT_FOR).exclude(pk=check.pk).delete()


def keep_failure(kit_id: int, revision: int, reason: str) -> None:
    """Write a check that broke off, with its reason, so that it can be seen."""
    now = timezone.now()
    Check.objects.create(
        kit_id=kit_id,
        revision=revision,
        rules=RULES_VERSION,
        state=CheckState.FAILED,
        as_of=now,
        finished_at=now,
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
