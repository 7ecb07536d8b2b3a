"""The shows as a page lists them: where, when, how much is booked, and whether something is short."""

from collections.abc import Collection
from datetime import datetime
from typing import TypedDict

from django.db.models import Count, OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from inventory.base.models import Ledger
from inventory.base.rows import rows_as
from inventory.models import Company
from scheduling.models import Booking, Event, Shortfall
from scheduling.rows import confirmed, in_force, open_shortfall, pencilled, takes_bookings


class ShowShape(TypedDict):
    """One show, with the company's time zone and ledger, so that no page asks for them by themselves."""

    id: int
    version: int
    name: str
    client: str
    state: str
    venue: int | None
    venue_name: str | None
    venue_zone: str | None
    gear_out_at: datetime
    gear_back_at: datetime
    confirmed: int
    """Bookings that are confirmed."""
    pencilled: int
    """Bookings in pencil that have not expired."""
    either_or_name: str | None
    """The choice of dates that it is one of."""
    short: int
    """How many things its bookings in force lack; of a past show, what it went without."""
    zone: str
    ledger: int
    """Of the whole company, as the row is read."""


def show_rows(now: datetime) -> QuerySet[Event, ShowShape]:
    """Rows of shows, for filtering and paging; each is a ``ShowShape``."""
    bookings = Booking.objects.filter(event=OuterRef("pk")).order_by().values("event")
    lacks = (
        Shortfall.objects.filter(in_force(now, "booking"), open_shortfall(), booking__event=OuterRef("pk"))
        .order_by()
        .values("booking__event")
    )
    return rows_as(
        ShowShape,
        Event.objects.all(),
        either_or_name="either_or__name",
        venue_name="venue__name",
        venue_zone="venue__timezone",
        confirmed=Coalesce(Subquery(bookings.filter(confirmed()).annotate(n=Count("pk")).values("n")), 0),
        pencilled=Coalesce(Subquery(bookings.filter(pencilled(now)).annotate(n=Count("pk")).values("n")), 0),
        short=Coalesce(Subquery(lacks.annotate(n=Sum("quantity")).values("n")), 0),
        zone=Subquery(Company.objects.values("timezone")[:1]),
        ledger=Subquery(Ledger.objects.values("version")[:1]),
    )


def one_show(event_id: int, now: datetime) -> ShowShape | None:
    """Return one show, or None when there is no such event; one statement."""
    return show_rows(now).filter(pk=event_id).first()


def shows_to_choose(now: datetime, chosen: Collection[int], *, most: int) -> list[ShowShape]:
    """Return the next shows that gear can be booked for, and those chosen already, in time; one statement."""
    next_ones = (
        Event.objects.filter(takes_bookings(), gear_back_at__gt=now).order_by("gear_out_at", "id").values("pk")[:most]
    )
    rows = show_rows(now).filter(Q(pk__in=Subquery(next_ones)) | Q(pk__in=chosen))
    return list(rows.order_by("gear_out_at", "id"))
