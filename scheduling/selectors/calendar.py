"""Who has what, when: promises, pencils, what is held back and what is short, in one stretch of the calendar."""

from collections.abc import Collection
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import F, IntegerField, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from inventory.models import Downtime, Kit
from inventory.rows import believed_end, down_in, has_case, in_pool, packed_in
from scheduling.models import Booking, Claim, Shortfall
from scheduling.promises.decide import Period
from scheduling.rows import confirmed, firm, holding, in_force, open_shortfall, overlapping


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
    rows: Any = _named(Kit.objects.filter(has_case()), words, "name")
    return list(rows.order_by("name", "id").values("id", "name")[:most])


def kit_stretches(kits: Collection[int], window: Period, now: datetime) -> list[KitStretchShape]:
    """Return what these kits are booked for, with how much of each booking is short; one statement."""
    lacks = (
        Shortfall.objects.filter(open_shortfall(), booking=OuterRef("pk"))
        .order_by()
        .values("booking")
        .annotate(n=Sum("quantity"))
    )
    rows: Any = (
        Booking.objects.filter(in_force(now), overlapping(window), kit__in=kits)
        .order_by("starts_at", "id")
        .values(
            "kit",
            "event",
            "starts_at",
            "ends_at",
            firm=confirmed(),
            name=F("event__name"),
            short=Coalesce(Subquery(lacks.values("n"), output_field=IntegerField()), 0),
        )
    )
    return list(rows)


def unit_stretches(words: str, window: Period, now: datetime, *, most: int) -> list[UnitStretchShape]:
    """Return units promised by themselves, by spec and tag; one statement."""
    claims = Claim.objects.filter(holding(now), overlapping(window), booking__kit__isnull=True)
    rows: Any = (
        _named(claims, words, "unit__spec__name")
        .order_by("unit__spec__name", "unit__tag", "starts_at")
        .values(
            "unit",
            "starts_at",
            "ends_at",
            firm=firm(),
            tag=F("unit__tag"),
            spec=F("unit__spec"),
            spec_name=F("unit__spec__name"),
            event=F("booking__event"),
            name=F("booking__event__name"),
        )[:most]
    )
    return list(rows)


def down_stretches(window: Period, now: datetime, *, most: int) -> list[DownStretchShape]:
    """Return the downtimes of units in the pool that fall into the stretch; one statement."""
    rows: Any = (
        Downtime.objects.filter(down_in(window.starts_at, window.ends_at, now), in_pool("unit"))
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
            kit=Subquery(packed_in("unit").values("kit_id")[:1]),
        )[:most]
    )
    found: list[DownStretchShape] = []
    for row in rows:
        row["ends_at"] = believed_end(row["ends_at"], row.pop("expected_until"), now)
        found.append(row)
    return found


def short_stretches(window: Period, now: datetime, *, most: int) -> list[ShortStretchShape]:
    """Return what bookings of units and of numbers of specs lack in the stretch; one statement."""
    rows: Any = (
        Shortfall.objects.filter(
            in_force(now, "booking"),
            open_shortfall(),
            overlapping(window, "booking"),
            booking__kit__isnull=True,
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


def _named(rows: Any, words: str, column: str) -> Any:
    for word in words.split():
        rows = rows.filter(**{f"{column}__icontains": word})
    return rows
