from django.db import models
from django.db.models import Q

from inventory.base.columns import choices, ends_after_start, one_of
from inventory.base.no_overlap import NoOverlap
from inventory.models import Position, Unit
from scheduling.models.booking import Booking


class ClaimStanding(models.TextChoices):
    SOFT = "soft"
    FIRM = "firm"
    RELEASED = "released"


class Claim(models.Model):
    """One unit promised to one booking for one period. Released claims stay as the memory of what was promised."""

    booking = models.ForeignKey(Booking, on_delete=models.PROTECT, related_name="claims")
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="claims")
    position = models.ForeignKey(Position, on_delete=models.SET_NULL, null=True, related_name="+")
    """Where the unit lay in the booked kit when it was claimed."""
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    standing = models.CharField(max_length=10, choices=choices(ClaimStanding))
    dealt = models.BooleanField()
    """Chosen by the service for a booking of a number of a spec; it may be dealt again until it is pinned."""
    pinned_at = models.DateTimeField(null=True)
    pinned_why = models.CharField(max_length=40, default="", blank=True)
    stray = models.BooleanField(default=False)
    """The unit is out with the booking although the booked kit no longer contains it."""
    released_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            NoOverlap(
                name="scheduling_claim_firm_alone",
                of="unit",
                starts="starts_at",
                ends="ends_at",
                only=("standing", ClaimStanding.FIRM.value),
            ),
            models.UniqueConstraint(
                name="scheduling_claim_unit_once_a_booking",
                fields=["booking", "unit"],
                condition=~Q(standing=ClaimStanding.RELEASED),
            ),
            models.CheckConstraint(
                name="scheduling_claim_released_when",
                condition=Q(standing=ClaimStanding.RELEASED, released_at__isnull=False)
                | (~Q(standing=ClaimStanding.RELEASED) & Q(released_at__isnull=True)),
            ),
            models.CheckConstraint(
                name="scheduling_claim_only_firm_ones_stray", condition=Q(stray=False) | ~Q(standing=ClaimStanding.SOFT)
            ),
            one_of("scheduling_claim_standing_known", "standing", ClaimStanding),
            ends_after_start("scheduling_claim_ends_after_start", "starts_at", "ends_at"),
        ]
        indexes = [
            models.Index(
                fields=["unit", "starts_at", "ends_at"],
                condition=~Q(standing=ClaimStanding.RELEASED),
                name="scheduling_claim_of_unit",
            ),
            models.Index(
                fields=["ends_at", "starts_at"],
                condition=~Q(standing=ClaimStanding.RELEASED),
                name="scheduling_claim_in_time",
            ),
        ]
