"""Names for what a refusal lists by id: whose show has it, why it is held back."""

from collections.abc import Collection
from typing import TypedDict

from django.db.models import Sum

from inventory.models import Downtime
from scheduling.models import Booking, Event
from scheduling.rows import open_shortfall


class DownShape(TypedDict):
    cause: str
    note: str


class RivalShape(TypedDict):
    """A booking that is in the way."""

    event: int
    name: str
    wants: int | None
    """How many units of a spec; None where it wants a kit, or a unit by name."""
    short: int
    """How many things it lacks itself."""
    kit_name: str | None
    booker: str | None


def rivals(booking_ids: Collection[int]) -> dict[int, RivalShape]:
    """Return what is known of bookings by id: whose they are, what they want and lack; one statement."""
    lacking = Sum("shortfalls__quantity", filter=open_shortfall("shortfalls"))
    rows = (
        Booking.objects.filter(pk__in=set(booking_ids))
        .annotate(lacking=lacking)
        .values_list("pk", "event", "event__name", "spec", "quantity", "lacking", "kit__name", "booked_by__username")
    )
    return {
        pk: {
            "event": event,
            "name": name,
            "wants": None if spec is None else quantity,
            "short": lacking or 0,
            "kit_name": kit,
            "booker": booker,
        }
        for pk, event, name, spec, quantity, lacking, kit, booker in rows
    }


def names_of_events(event_ids: Collection[int]) -> dict[int, str]:
    """Return names by id; one statement."""
    return dict(Event.objects.filter(pk__in=set(event_ids)).values_list("pk", "name"))


def why_down(downtime_ids: Collection[int]) -> dict[int, DownShape]:
    """Return the cause of each downtime and what was written about it; one statement."""
    rows = Downtime.objects.filter(pk__in=set(downtime_ids)).values_list("pk", "cause", "note")
    return {pk: {"cause": cause, "note": note} for pk, cause, note in rows}
