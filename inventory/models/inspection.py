from datetime import datetime, timedelta

from django.conf import settings
from django.db import models

from inventory.models.unit import Unit


def next_due(at: datetime, *, passed: bool, every_days: int | None) -> datetime | None:
    """Return when a unit whose newest inspection was at ``at`` has to be inspected again; None: on no date."""
    return at + timedelta(days=every_days) if passed and every_days is not None else None


class Inspection(models.Model):
    """One in-service test of a unit: readings against limits, passed or failed. A fail holds the unit back."""

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="inspections")
    kind = models.CharField(max_length=60, default="", blank=True)
    at = models.DateTimeField()
    passed = models.BooleanField()
    readings = models.JSONField(default=list)
    """[{"what", "value", "unit", "limit"}], as the tester wrote them."""
    instrument = models.CharField(max_length=200, default="", blank=True)
    tester = models.CharField(max_length=200, default="", blank=True)
    note = models.CharField(max_length=2000, default="", blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        indexes = [models.Index(fields=["unit", "-at"], name="inventory_inspection_newest")]
