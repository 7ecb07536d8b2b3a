"""What every page about one show reads first."""

from zoneinfo import ZoneInfo

from django.http import Http404
from django.utils import timezone

from scheduling.models import EventState
from scheduling.selectors.programme import ShowShape, one_show

OVER = frozenset(EventState) - frozenset(EventState.open())
"""States of an event in which nothing is booked for it any more."""


def read_show(event_id: int) -> ShowShape:
    """Return a show; one statement.

    Raises:
        Http404: there is no such event.
    """
    show = one_show(event_id, timezone.now())
    if show is None:
        raise Http404(f"There is no event {event_id}.")
    return show


def address_of(event_id: int) -> str:
    return f"/events/{event_id}/"


def another_clock(show: ShowShape) -> str:
    """Return the zone of the venue where its clocks differ from those of the store at the show."""
    zone = show["venue_zone"]
    if zone is None:
        return ""
    at = show["gear_out_at"]
    same = at.astimezone(ZoneInfo(zone)).utcoffset() == at.astimezone(ZoneInfo(show["zone"])).utcoffset()
    return "" if same else zone
