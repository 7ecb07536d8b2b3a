"""Rows that background checks judge, and what a check leaves behind; the room that owns a table adds whose it is."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from calc.vocabulary import NOTHING_FOUND, SEVERITIES
from inventory.base.columns import choices, one_of

VERDICTS = (NOTHING_FOUND, *SEVERITIES)


class CheckedRow(models.Model):
    """A row whose background check is queued in the row itself; ``inventory.base.queues`` takes and settles it.

    A row whose revision is ahead of the checked one is due, and the database refuses a write that raises the revision
    without saying when the check is due.
    """

    revision = models.PositiveIntegerField(default=1)
    """Rises with every change that the check could answer differently for."""
    checked_revision = models.PositiveIntegerField(default=0)
    checked_rules = models.PositiveIntegerField(default=0)
    """Version of the rules of the last check that was finished or given up."""
    check_due_at = models.DateTimeField(null=True)
    check_lease_until = models.DateTimeField(null=True)
    check_attempts = models.PositiveIntegerField(default=0)
    """How often a worker took the row since it was last finished, changed or asked for."""
    recheck_at = models.DateTimeField(null=True)
    """When a date (an inspection, say) changes the answer without an edit."""
    verdict = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    verdict_design = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    verdict_packed = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    """Of the last finished check; None before the first."""

    class Meta:
        abstract = True
        constraints = [
            one_of("%(app_label)s_%(class)s_verdict_known", "verdict", VERDICTS, null=True),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_stale_is_queued",
                condition=Q(checked_revision=F("revision")) | Q(check_due_at__isnull=False),
            ),
        ]
        indexes = [
            models.Index(
                fields=["check_due_at"], condition=Q(check_due_at__isnull=False), name="%(app_label)s_%(class)s_due"
            ),
        ]


class CheckState(models.TextChoices):
    """How an evaluation ended: with findings, or with an error."""

    DONE = "done"
    FAILED = "failed"


class CheckRun(models.Model):
    """One finished evaluation of a row at one revision under one version of the rules."""

    revision = models.PositiveIntegerField()
    rules = models.PositiveIntegerField()
    state = models.CharField(max_length=10, choices=choices(CheckState))
    verdict = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    verdict_design = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    verdict_packed = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    figures = models.JSONField(default=dict)
    fingerprint = models.CharField(max_length=64, default="", blank=True)
    """Of what was assembled for this check."""
    as_of = models.DateTimeField()
    finished_at = models.DateTimeField()
    error = models.CharField(max_length=2000, default="", blank=True)

    class Meta:
        abstract = True
        constraints = [
            one_of("%(app_label)s_%(class)s_state_known", "state", CheckState.values),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_done_has_verdict",
                condition=Q(state=CheckState.FAILED)
                | Q(verdict__in=VERDICTS, verdict_design__in=VERDICTS)
                & (Q(verdict_packed__in=VERDICTS) | Q(verdict_packed__isnull=True)),
            ),
        ]


class FoundRow(models.Model):
    """One result of a check."""

    sort = models.PositiveIntegerField()
    code = models.CharField(max_length=40)
    severity = models.CharField(max_length=10, choices=choices(SEVERITIES))
    label = models.CharField(max_length=200, default="", blank=True)
    port = models.CharField(max_length=60, null=True)
    value = models.FloatField(null=True)
    limit = models.FloatField(null=True)
    margin = models.FloatField(null=True)
    at_least = models.BooleanField(default=False)
    """The limit is the least that is wanted; otherwise the most that may be."""
    low = models.FloatField(null=True)
    high = models.FloatField(null=True)
    """The two ends of the compared number where it is not known exactly; one null: that end is open."""
    unit = models.CharField(max_length=20, null=True)
    message = models.CharField(max_length=2000)
    source = models.CharField(max_length=500)
    unlocks = models.CharField(max_length=300, null=True)
    inputs = models.JSONField(default=dict)
    basis = models.JSONField(default=dict)
    views = models.JSONField(default=list)
    """``design``, ``packed`` or both."""
    fingerprint = models.CharField(max_length=64)

    class Meta:
        abstract = True
        ordering = ["sort"]
        constraints = [
            one_of("%(app_label)s_%(class)s_severity_known", "severity", SEVERITIES),
            models.CheckConstraint(
                name="%(app_label)s_%(class)s_range_in_order",
                condition=Q(low__isnull=True) | Q(high__isnull=True) | Q(low__lte=F("high")),
            ),
        ]


class AcceptanceRow(models.Model):
    """A person's decision to accept a finding, bound to its fingerprint: it ends when value, range or limit change."""

    fingerprint = models.CharField(max_length=64)
    reason = models.CharField(max_length=2000)
    until = models.DateTimeField(null=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        abstract = True
