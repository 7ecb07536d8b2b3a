"""Shows that gear is promised to, for the tests of pages; planned and booked through the services."""

from datetime import datetime, timedelta

from django.utils import timezone

from scheduling.services.events import create_event
from scheduling.services.ordering import book
from scheduling.services.powers import Powers
from tests.web.company import write

EVERYTHING = Powers(others=True, shortfalls=True)


def moment(days: float) -> datetime:
    """Return a whole minute that many days from now."""
    return (timezone.now() + timedelta(days=days)).replace(second=0, microsecond=0)


def show(name: str = "Harvest choirs", *, out: float = 1, back: float = 2, state: str = "confirmed", **fields) -> int:
    given = {"name": name, "state": state, "gear_out_at": moment(out), "gear_back_at": moment(back), **fields}
    return write(None, lambda c: create_event(c, fields=given))


def booked(event: int, *, state: str = "confirmed", **wanted) -> int:
    """Book a ``kit``, a ``unit``, or a ``quantity`` of a ``spec``; what cannot be had stands as a shortfall."""
    fields = {"state": state, "accept_shortfalls": True, **wanted}
    return write(None, lambda c: book(c, event_id=event, fields=fields, powers=EVERYTHING))
