"""Who has what, when: promises, pencils, what is held back and what is short, in one stretch of the calendar."""

from collections.abc import Collection
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import Case, F, IntegerField, OuterRef, Q, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce

from inventory.models import Downtime, Kit, Position
from scheduling.models import Booking, Claim, Shortfall
from scheduling.promises.decide import Period
from scheduling.selectors.programme import live_booking


class KitRowShape(TypedDict):
    id: int
    name: str


class KitStretchShape(TypedDict):
    """A booking of a kit in the stretch."""

    kit: int
    event: int
    name: str
    firm: bool
    starts_at: datetime
    ends_at: datetime
    short: int


class UnitStretchShape(TypedDict):
    """A unit that is promised by itself, not as part of a kit."""

    unit: int
    tag: str
    spec: int
    spec_name: str
    event: int
    name: str
    firm: bool
    starts_at: datetime
    ends_at: datetime


class DownStretchShape(TypedDict):
    """A unit that may not go out, and the kit that it lies in."""

    unit: int
    tag: str
    spec: int
    spec_name: str
    kit: int | None
    cause: str
    note: str
    starts_at: datetime
    ends_at: datetime | None
    """When it ends or is expected to; None when nobody knows."""


class ShortStretchShape(TypedDict):
    """What a booking of a unit, or of a number of a spec, lacks."""

    spec: int
    spec_name: str
    unit: int | None
    tag: str | None
    event: int
    name: str
    quantity: int
    starts_at: datetime
    ends_at: datetime


def kits_in_time(words: str, *, most: int) -> list[KitRowShape]:
    """Return kits that have a case, by name; one statement."""
    rows: Any = _named(Kit.objects.filter(positions__role="case", positions__unit__isnull=False), words, "name")
    return list(rows.order_by("name", "id").values("id", "name")[:most])


def kit_stretches(kits: Collection[int], window: Period, now: datetime) -> list[KitStretchShape]:
    """Return what these kits are booked for, with how much of each booking is short; one statement."""
    lacks = (
        Shortfall.objects.filter(booking=OuterRef("pk"), closed_at__isnull=True)
        .order_by()
        .values("booking")
        .annotate(n=Sum("quantity"))
    )
    live = Q(state="confirmed") | Q(state="pencil", expires_at__gt=now)
    rows: Any = list(
        Booking.objects.filter(live, _in(window), kit__in=kits)
        .order_by("starts_at", "id")
        .values(
            "kit",
            "event",
            "starts_at",
            "ends_at",
            "state",
            name=F("event__name"),
            short=Coalesce(Subquery(lacks.values("n"), output_field=IntegerField()), 0),
        )
    )
    for row in rows:
        row["firm"] = row.pop("state") == "confirmed"
    found: list[KitStretchShape] = rows
    return found


def unit_stretches(words: str, window: Period, now: datetime, *, most: int) -> list[UnitStretchShape]:
    """Return units promised by themselves, by spec and tag; one statement."""
    standing = Q(standing="firm") | Q(standing="soft", booking__expires_at__gt=now)
    rows: Any = list(
        _named(Claim.objects.filter(standing, _in(window), booking__kit__isnull=True), words, "unit__spec__name")
        .order_by("unit__spec__name", "unit__tag", "starts_at")
        .values(
            "unit",
            "standing",
            "starts_at",
            "ends_at",
            tag=F("unit__tag"),
            spec=F("unit__spec"),
            spec_name=F("unit__spec__name"),
            event=F("booking__event"),
            name=F("booking__event__name"),
        )[:most]
    )
    for row in rows:
        row["firm"] = row.pop("standing") == "firm"
    found: list[UnitStretchShape] = rows
    return found


def down_stretches(window: Period, now: datetime, *, most: int) -> list[DownStretchShape]:
    """Return what is held back in the stretch; one statement.

    An end that is expected is believed while it lies ahead; one that has passed is not.
    """
    lies_in = Position.objects.filter(unit=OuterRef("unit")).order_by(
        Case(When(role="case", then=Value(1)), default=Value(0)), "pk"
    )
    open_ended = Q(ends_at__isnull=True) & (
        Q(expected_until__isnull=True) | Q(expected_until__lte=now) | Q(expected_until__gt=window.starts_at)
    )
    rows: Any = (
        Downtime.objects.filter(Q(ends_at__gt=window.starts_at) | open_ended, starts_at__lt=window.ends_at)
        .exclude(unit__state="retired")
        .order_by("unit__spec__name", "unit__tag", "starts_at")
        .values(
            "unit",
            "cause",
            "note",
            "starts_at",
            "ends_at",
            "expected_until",
            tag=F("unit__tag"),
            spec=F("unit__spec"),
            spec_name=F("unit__spec__name"),
            kit=Subquery(lies_in.values("kit_id")[:1]),
        )[:most]
    )
    found: list[DownStretchShape] = []
    for row in rows:
        expected = row.pop("expected_until")
        if row["ends_at"] is None and expected is not None and expected > now:
            row["ends_at"] = expected
        found.append(row)
    return found


def short_stretches(window: Period, now: datetime, *, most: int) -> list[ShortStretchShape]:
    """Return what bookings of units and of numbers of specs lack in the stretch; one statement."""
    rows: Any = (
        Shortfall.objects.filter(
            live_booking(now),
            closed_at__isnull=True,
            booking__kit__isnull=True,
            booking__starts_at__lt=window.ends_at,
            booking__ends_at__gt=window.starts_at,
        )
        .order_by("spec__name", "booking__starts_at", "id")
        .values(
            "spec",
            "unit",
            "quantity",
            spec_name=F("spec__name"),
            tag=F("unit__tag"),
            event=F("booking__event"),
            name=F("booking__event__name"),
            starts_at=F("booking__starts_at"),
            ends_at=F("booking__ends_at"),
        )[:most]
    )
    return list(rows)


def _in(window: Period) -> Q:
    return Q(starts_at__lt=window.ends_at, ends_at__gt=window.starts_at)


def _named(rows: Any, words: str, column: str) -> Any:
    for word in words.split():
        rows = rows.filter(**{f"{column}__icontains": word})
    return rows
