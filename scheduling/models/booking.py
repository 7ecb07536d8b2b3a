from django.conf import settings
from django.db import models
from django.db.models import Q

from inventory.base.columns import at_least, choices, ends_after_start, one_of
from inventory.models import Kit, Spec, Unit
from scheduling.models.event import Event


class BookingState(models.TextChoices):
    PENCIL = "pencil"
    CONFIRMED = "confirmed"
    CANCELLED = "cancelled"


PROOFS = ("free", "bound", "exact", "undecided")
"""How sure the last decision is: as things lay, by counting, by an exact search, or not sure at all."""


class Booking(models.Model):
    """A kit, a unit, or a number of one spec wanted for an event."""

    event = models.ForeignKey(Event, on_delete=models.PROTECT, related_name="bookings")
    kit = models.ForeignKey(Kit, on_delete=models.PROTECT, null=True, related_name="bookings")
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, null=True, related_name="bookings")
    spec = models.ForeignKey(Spec, on_delete=models.PROTECT, null=True, related_name="bookings")
    quantity = models.PositiveIntegerField(default=1)
    state = models.CharField(max_length=10, choices=choices(BookingState))
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    follows_event = models.BooleanField()
    """Whether it moves when the gear times of its event move."""
    expires_at = models.DateTimeField(null=True)
    """A pencil is gone from this instant on, whether or not anything has tidied it away."""
    from_kits = models.BooleanField(default=False)
    """Whether units that are packed in kits may be dealt to it."""
    proof = models.CharField(max_length=10, choices=choices(PROOFS), default="free")
    booked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    booked_at = models.DateTimeField()
    ranked_at = models.DateTimeField()
    """Its place among the pencils that claim the same units: the earlier one is ahead. When it was booked, until a
    planner ranks it."""
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="scheduling_booking_wants_one_thing",
                condition=Q(kit__isnull=False, unit__isnull=True, spec__isnull=True)
                | Q(kit__isnull=True, unit__isnull=False, spec__isnull=True)
                | Q(kit__isnull=True, unit__isnull=True, spec__isnull=False),
            ),
            models.CheckConstraint(
                name="scheduling_booking_counts_specs_only", condition=Q(spec__isnull=False) | Q(quantity=1)
            ),
            models.CheckConstraint(
                name="scheduling_booking_only_specs_strip_kits", condition=Q(spec__isnull=False) | Q(from_kits=False)
            ),
            models.CheckConstraint(
                name="scheduling_booking_pencil_expires",
                condition=~Q(state=BookingState.PENCIL) | Q(expires_at__isnull=False),
            ),
            one_of("scheduling_booking_state_known", "state", BookingState),
            one_of("scheduling_booking_proof_known", "proof", PROOFS),
            at_least("scheduling_booking_quantity_positive", "quantity", 1),
            ends_after_start("scheduling_booking_ends_after_start", "starts_at", "ends_at"),
        ]
        indexes = [
            models.Index(
                fields=["kit", "ends_at"], condition=~Q(state=BookingState.CANCELLED), name="scheduling_booking_of_kit"
            ),
            models.Index(
                fields=["spec"], condition=~Q(state=BookingState.CANCELLED), name="scheduling_booking_of_spec"
            ),
            models.Index(
                fields=["expires_at"], condition=Q(state=BookingState.PENCIL), name="scheduling_booking_pencils"
            ),
        ]
