from django.db import models

from inventory.base.columns import choices, ends_after_start, one_of
from scheduling.models.either_or import EitherOr
from scheduling.models.venue import Venue


class EventState(models.TextChoices):
    ENQUIRY = "enquiry"
    CONFIRMED = "confirmed"
    CLOSED = "closed"
    CANCELLED = "cancelled"

    @classmethod
    def open(cls) -> tuple["EventState", ...]:
        """Return the states in which an event can still be changed, and gear be booked for it."""
        return cls.ENQUIRY, cls.CONFIRMED


class PhaseKind(models.TextChoices):
    PREP = "prep"
    LOAD_IN = "load-in"
    SHOW = "show"
    LOAD_OUT = "load-out"
    RETURN = "return"


class Event(models.Model):
    """A show or job, from the hour its gear leaves to the hour it is back."""

    name = models.CharField(max_length=200)
    client = models.CharField(max_length=200, default="", blank=True)
    venue = models.ForeignKey(Venue, on_delete=models.PROTECT, null=True, related_name="events")
    state = models.CharField(max_length=12, choices=choices(EventState), default=EventState.ENQUIRY)
    either_or = models.ForeignKey(EitherOr, on_delete=models.SET_NULL, null=True, related_name="events")
    """The choice of dates that this event is one of."""
    gear_out_at = models.DateTimeField()
    gear_back_at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("scheduling_event_state_known", "state", EventState),
            ends_after_start("scheduling_event_back_after_out", "gear_out_at", "gear_back_at"),
            models.UniqueConstraint(
                name="scheduling_event_one_date_taken",
                fields=["either_or"],
                condition=models.Q(
                    either_or__isnull=False, state__in=[EventState.CONFIRMED.value, EventState.CLOSED.value]
                ),
            ),
        ]
        indexes = [models.Index(fields=["gear_out_at", "id"], name="scheduling_event_in_time")]

    def __str__(self) -> str:
        return self.name


class Phase(models.Model):
    """One stretch of an event."""

    event = models.ForeignKey(Event, on_delete=models.CASCADE, related_name="phases")
    kind = models.CharField(max_length=10, choices=choices(PhaseKind))
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()

    class Meta:
        ordering = ["starts_at", "id"]
        constraints = [
            one_of("scheduling_phase_kind_known", "kind", PhaseKind),
            ends_after_start("scheduling_phase_ends_after_start", "starts_at", "ends_at"),
        ]
