from django.conf import settings
from django.db import models
from django.db.models import F, Q

from calc.vocabulary import SEVERITIES
from inventory.models.columns import choices, one_of
from inventory.models.kit import VERDICTS, Kit, Position


class CheckState(models.TextChoices):
    """How an evaluation ended: with findings, or with an error."""

    DONE = "done"
    FAILED = "failed"


class Check(models.Model):
    """One finished evaluation of a kit at one revision under one version of the rules."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="checks")
    revision = models.PositiveIntegerField()
    rules = models.PositiveIntegerField()
    state = models.CharField(max_length=10, choices=choices(CheckState))
    verdict = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    verdict_design = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    verdict_packed = models.CharField(max_length=20, choices=choices(VERDICTS), null=True)
    figures = models.JSONField(default=dict)
    fingerprint = models.CharField(max_length=64, default="", blank=True)
    """Of the kit as it was assembled for this check."""
    as_of = models.DateTimeField()
    finished_at = models.DateTimeField()
    error = models.CharField(max_length=2000, default="", blank=True)

    class Meta:
        constraints = [
            one_of("inventory_check_state_known", "state", CheckState.values),
            models.CheckConstraint(
                name="inventory_check_done_has_verdict",
                condition=Q(state=CheckState.FAILED)
                | Q(verdict__in=VERDICTS, verdict_design__in=VERDICTS)
                & (Q(verdict_packed__in=VERDICTS) | Q(verdict_packed__isnull=True)),
            ),
        ]
        indexes = [models.Index(fields=["kit", "-id"], name="inventory_check_newest")]


class Finding(models.Model):
    """One result of a check."""

    check_run = models.ForeignKey(Check, on_delete=models.CASCADE, related_name="findings")
    sort = models.PositiveIntegerField()
    code = models.CharField(max_length=40)
    severity = models.CharField(max_length=10, choices=choices(SEVERITIES))
    position = models.ForeignKey(Position, on_delete=models.SET_NULL, null=True, related_name="+")
    label = models.CharField(max_length=200, default="", blank=True)
    port = models.CharField(max_length=60, null=True)
    value = models.FloatField(null=True)
    limit = models.FloatField(null=True)
    margin = models.FloatField(null=True)
    at_least = models.BooleanField(default=False)
    """The limit is the least that is wanted; otherwise the most that may be."""
    low = models.FloatField(null=True)
    high = models.FloatField(null=True)
    """Between which ends the compared number lies; both null: no range, one null: that end is open."""
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
        ordering = ["sort"]
        constraints = [
            one_of("inventory_finding_severity_known", "severity", SEVERITIES),
            models.CheckConstraint(
                name="inventory_finding_range_in_order",
                condition=Q(low__isnull=True) | Q(high__isnull=True) | Q(low__lte=F("high")),
            ),
        ]
        indexes = [
            models.Index(fields=["check_run", "sort"], name="inventory_finding_in_order"),
            models.Index(fields=["code", "severity"], name="inventory_finding_of_code"),
        ]


class Acceptance(models.Model):
    """Somebody decided to live with a finding; bound to its fingerprint, so it dies when value or limit moves."""

    kit = models.ForeignKey(Kit, on_delete=models.CASCADE, related_name="acceptances")
    fingerprint = models.CharField(max_length=64)
    reason = models.CharField(max_length=2000)
    until = models.DateTimeField(null=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(name="inventory_acceptance_once_a_finding", fields=["kit", "fingerprint"])
        ]
