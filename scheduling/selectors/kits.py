"""Bookings of kits: their own, and those of the kits that contain them."""

from datetime import datetime
from typing import TypedDict

from django.db.models import OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from inventory.base.rows import rows_as
from inventory.selectors.nesting import ids_around
from scheduling.models import Booking, Shortfall
from scheduling.rows import live, open_shortfall


class KitBookingShape(TypedDict):
    """One live booking that takes a kit out: its own, or of a kit around it."""

    booking: int
    kit: int
    kit_name: str
    event: int
    event_name: str
    state: str
    starts_at: datetime
    ends_at: datetime
    expires_at: datetime | None
    short: int
    """How many things it lacks."""


def bookings_around(kit_id: int, now: datetime) -> list[KitBookingShape]:
    """Return the live bookings of a kit and of the kits around it, the next first; one statement."""
    lacks = Shortfall.objects.filter(open_shortfall(), booking=OuterRef("pk")).order_by().values("booking")
    rows = Booking.objects.filter(live(now), kit__in=ids_around([kit_id])).order_by("starts_at", "pk")
    return list(
        rows_as(
            KitBookingShape,
            rows,
            booking="pk",
            kit_name="kit__name",
            event_name="event__name",
            short=Coalesce(Subquery(lacks.annotate(n=Sum("quantity")).values("n")), 0),
        )
    )
