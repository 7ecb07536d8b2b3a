"""Names for what a refusal lists by id: whose show has it, why it is held back."""

from collections.abc import Collection
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from inventory.models import Downtime
from scheduling.models import Booking, Event
from scheduling.rows import open_shortfall, pencilled


class DownShape(TypedDict):
    cause: str
    note: str
    until: datetime | None
    """When it is expected to end, or ends; None: not known."""


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
    ends_at: datetime


class PencilShape(TypedDict):
    """A kit that a show has in pencil."""

    kit: int
    starts_at: datetime
    ends_at: datetime
    event: int
    name: str
    expires_at: datetime | None


def rivals(booking_ids: Collection[int]) -> dict[int, RivalShape]:
    """Return what is known of bookings by id: whose they are, what they want and lack; one statement."""
    return {row["pk"]: _rival(row) for row in _bookings(Q(pk__in=set(booking_ids)))}


def who_has(
    kit_ids: Collection[int], booking_ids: Collection[int], now: datetime
) -> tuple[list[PencilShape], dict[int, RivalShape]]:
    """Return who has kits in pencil from now on, in the order of booking, and what is known of other bookings by id.

    One statement for both.
    """
    in_pencil = pencilled(now) & Q(kit__in=kit_ids, ends_at__gt=now)
    rows = list(_bookings(Q(pk__in=set(booking_ids)) | in_pencil))
    kits = set(kit_ids)
    pencils: list[PencilShape] = [
        {
            "kit": row["kit"],
            "starts_at": row["starts_at"],
            "ends_at": row["ends_at"],
            "event": row["event"],
            "name": row["event__name"],
            "expires_at": row["expires_at"],
        }
        for row in rows
        if row["kit"] in kits and row["expires_at"] is not None
    ]
    return pencils, {row["pk"]: _rival(row) for row in rows}


def _bookings(which: Q) -> QuerySet[Any, Any]:
    lacking = Sum("shortfalls__quantity", filter=open_shortfall("shortfalls"))
    rows = Booking.objects.filter(which).annotate(lacking=lacking).order_by("booked_at", "pk")
    return rows.values(
        "pk",
        "event",
        "event__name",
        "kit",
        "kit__name",
        "spec",
        "quantity",
        "lacking",
        "booked_by__username",
        "starts_at",
        "ends_at",
        "expires_at",
    )


def _rival(row: dict[str, Any]) -> RivalShape:
    return {
        "event": row["event"],
        "name": row["event__name"],
        "wants": None if row["spec"] is None else row["quantity"],
        "short": row["lacking"] or 0,
        "kit_name": row["kit__name"],
        "booker": row["booked_by__username"],
        "ends_at": row["ends_at"],
    }


def names_of_events(event_ids: Collection[int]) -> dict[int, str]:
    """Return names by id; one statement."""
    return dict(Event.objects.filter(pk__in=set(event_ids)).values_list("pk", "name"))


def why_down(downtime_ids: Collection[int]) -> dict[int, DownShape]:
    """Return the cause of each downtime and what was written about it; one statement."""
    rows = Downtime.objects.filter(pk__in=set(downtime_ids))
    found = rows.values_list("pk", "cause", "note", Coalesce("ends_at", "expected_until"))
    return {pk: {"cause": cause, "note": note, "until": until} for pk, cause, note, until in found}
