"""Events as people and programs see them."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from typing import Any, NotRequired, TypedDict

from django.db.models import QuerySet

from inventory.base.rows import rows_as
from scheduling.models import Event, Phase


class PhaseShape(TypedDict):
    """One stretch of an event, half-open."""

    kind: str
    starts_at: datetime
    ends_at: datetime


class EventShape(TypedDict):
    """A show or job."""

    id: int
    version: int
    name: str
    client: NotRequired[str]
    venue: int | None
    state: str
    phases: list[PhaseShape]
    gear_out_at: datetime
    gear_back_at: datetime
    either_or: int | None
    """The choice of dates that it is one of."""


class MovedEventShape(EventShape):
    """An event just changed, with the bookings of others that lost something by it."""

    affected_bookings: list[dict[str, Any]]


def event_rows() -> QuerySet[Event, Any]:
    """Rows of the list of events, for filtering and paging."""
    return Event.objects.values(
        "id", "version", "name", "client", "venue_id", "state", "gear_out_at", "gear_back_at", "either_or_id"
    )


def show_events(rows: Sequence[dict[str, Any]], *, clients: bool) -> list[EventShape]:
    """Return the events of these rows; one statement for any number of them.

    Args:
        rows: From ``event_rows``.
        clients: Whether the reader may see whose show it is.
    """
    phases: defaultdict[int, list[PhaseShape]] = defaultdict(list)
    found = Phase.objects.filter(event__in=[row["id"] for row in rows]).order_by("starts_at", "id")
    for event_id, kind, starts_at, ends_at in found.values_list("event_id", "kind", "starts_at", "ends_at"):
        phases[event_id].append({"kind": kind, "starts_at": starts_at, "ends_at": ends_at})
    return [_show(row, phases[row["id"]], clients=clients) for row in rows]


def phases_of(event_id: int) -> list[PhaseShape]:
    """Return the phases of one event, in the order in which they begin; one statement."""
    return list(rows_as(PhaseShape, Phase.objects.filter(event=event_id).order_by("starts_at", "id")))


def _show(row: dict[str, Any], phases: list[PhaseShape], *, clients: bool) -> EventShape:
    shape: EventShape = {
        "id": row["id"],
        "version": row["version"],
        "name": row["name"],
        "venue": row["venue_id"],
        "state": row["state"],
        "phases": phases,
        "gear_out_at": row["gear_out_at"],
        "gear_back_at": row["gear_back_at"],
        "either_or": row["either_or_id"],
    }
    if clients:
        shape["client"] = row["client"]
    return shape
