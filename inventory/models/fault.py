from django.conf import settings
from django.db import models
from django.db.models import Q

from calc.vocabulary import FAULT_KINDS
from inventory.base.columns import at_least, choices, ends_after_start, one_of
from inventory.models.unit import Unit


class DowntimeCause(models.TextChoices):
    """Why a unit may not go out."""

    FAULT = "fault"
    REPAIR = "repair"
    LOST = "lost"
    LATE = "late"
    INSPECTION = "inspection"
    LENT = "lent"
    OTHER = "other"


class Repair(models.Model):
    """One piece of work at the bench."""

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="repairs")
    note = models.CharField(max_length=2000, default="", blank=True)
    cost = models.DecimalField(max_digits=12, decimal_places=2, null=True)
    currency = models.CharField(max_length=3, default="EUR")
    minutes = models.PositiveIntegerField(null=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [at_least("inventory_repair_cost_not_negative", "cost", 0)]


class Fault(models.Model):
    """Something that broke on a unit."""

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="faults")
    port_name = models.CharField(max_length=60, null=True)
    what = models.CharField(max_length=12, choices=choices(FAULT_KINDS))
    usable = models.BooleanField()
    note = models.CharField(max_length=2000, default="", blank=True)
    reported_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    reported_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True)
    repair = models.ForeignKey(Repair, on_delete=models.PROTECT, null=True, related_name="faults")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("inventory_fault_what_known", "what", FAULT_KINDS),
            models.CheckConstraint(
                name="inventory_fault_repaired_is_closed", condition=Q(repair__isnull=True) | Q(closed_at__isnull=False)
            ),
        ]
        indexes = [
            models.Index(fields=["unit"], condition=Q(closed_at__isnull=True), name="inventory_fault_open"),
        ]


class Downtime(models.Model):
    """A period in which a unit may not go out. Open at the end until the bench releases it.

    It may overlap claims: a fault must always be recordable, whatever was promised.
    """

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="downtimes")
    cause = models.CharField(max_length=12, choices=choices(DowntimeCause))
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField(null=True)
    expected_until = models.DateTimeField(null=True)
    """Expected end; once it has passed without a release, the end is unknown and the downtime blocks."""
    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, null=True, related_name="downtimes")
    note = models.CharField(max_length=2000, default="", blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("inventory_downtime_cause_known", "cause", DowntimeCause.values),
            ends_after_start("inventory_downtime_ends_after_start", "starts_at", "ends_at"),
            ends_after_start("inventory_downtime_expected_after_start", "starts_at", "expected_until"),
            models.UniqueConstraint(
                name="inventory_downtime_open_once_a_cause", fields=["unit", "cause"], condition=Q(ends_at__isnull=True)
            ),
        ]
        indexes = [models.Index(fields=["unit", "starts_at"], name="inventory_downtime_of_unit")]
