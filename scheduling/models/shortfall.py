from django.db import models
from django.db.models import Q

from inventory.base.columns import at_least, choices, one_of
from inventory.models import Position, Spec, Unit
from scheduling.models.booking import Booking
from scheduling.models.claim import Claim

SHORTFALL_REASONS = (
    "conflict",
    "held-back",
    "late",
    "empty-position",
    "out-of-pool",
    "not-enough",
    "taken-on-site",
)
CLOSED_HOW = ("filled", "replaced", "not-wanted", "cancelled")


class Shortfall(models.Model):
    """What a booking lacks, and why. Stand-ins are computed when it is read, never stored."""

    booking = models.ForeignKey(Booking, on_delete=models.PROTECT, related_name="shortfalls")
    spec = models.ForeignKey(Spec, on_delete=models.PROTECT, related_name="shortfalls")
    position = models.ForeignKey(Position, on_delete=models.SET_NULL, null=True, related_name="+")
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, null=True, related_name="shortfalls")
    """The unit that is missed; when it comes free again the shortfall is filled with it."""
    claim = models.ForeignKey(Claim, on_delete=models.PROTECT, null=True, related_name="shortfalls")
    """The claim beside which it is open: the unit is on site, and cannot be used."""
    quantity = models.PositiveIntegerField(default=1)
    reason = models.CharField(max_length=16, choices=choices(SHORTFALL_REASONS))
    rival = models.ForeignKey(Booking, on_delete=models.PROTECT, null=True, related_name="+")
    opened_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True)
    closed_how = models.CharField(max_length=12, choices=choices(CLOSED_HOW), null=True)

    class Meta:
        constraints = [
            one_of("scheduling_shortfall_reason_known", "reason", SHORTFALL_REASONS),
            one_of("scheduling_shortfall_closed_how_known", "closed_how", CLOSED_HOW, null=True),
            models.CheckConstraint(
                name="scheduling_shortfall_closed_somehow",
                condition=Q(closed_at__isnull=True, closed_how__isnull=True)
                | Q(closed_at__isnull=False, closed_how__isnull=False),
            ),
            models.CheckConstraint(
                name="scheduling_shortfall_names_one_unit", condition=Q(unit__isnull=True) | Q(quantity=1)
            ),
            models.UniqueConstraint(
                name="scheduling_shortfall_one_beside_a_claim",
                fields=["claim"],
                condition=Q(claim__isnull=False, closed_at__isnull=True),
            ),
            at_least("scheduling_shortfall_quantity_positive", "quantity", 1),
        ]
        indexes = [
            models.Index(fields=["booking"], condition=Q(closed_at__isnull=True), name="scheduling_shortfall_open"),
            models.Index(fields=["unit"], condition=Q(closed_at__isnull=True), name="scheduling_shortfall_of_unit"),
        ]
