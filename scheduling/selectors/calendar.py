"""Who has what, when: promises, pencils, what is held back and what is short, in one stretch of the calendar."""

from collections.abc import Collection
from datetime import datetime
from typing import TypedDict, TypeVar

from django.db.models import IntegerField, Model, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from inventory.base.rows import rows_as
from inventory.models import Downtime, Kit
from inventory.rows import believed_end, down_in, has_case, in_pool, packed_in
from scheduling.models import Booking, Claim, Shortfall
from scheduling.promises.decide import Period
from scheduling.rows import confirmed, firm, holding, in_force, open_shortfall, overlapping

ModelT = TypeVar("ModelT", bound=Model)


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
    """A unit that may not go out, and the kit that it is packed in."""

    unit: int
    tag: str
    spec: int
    spec_name: str
    kit: int | None
    cause: str
    note: str
    starts_at: datetime
    ends_at: datetime | None
    """When it ends or is expected to end; None: not known."""


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


class _DowntimeRow(DownStretchShape):
    expected_until: datetime | None


def kits_in_time(words: str, *, most: int) -> list[KitRowShape]:
    """Return kits that have a case, by name; one statement."""
    rows = _named(Kit.objects.filter(has_case()), words, "name").order_by("name", "id")
    return list(rows_as(KitRowShape, rows)[:most])


def kit_stretches(kits: Collection[int], window: Period, now: datetime) -> list[KitStretchShape]:
    """Return what these kits are booked for, with how much of each booking is short; one statement."""
    lacks = (
        Shortfall.objects.filter(open_shortfall(), booking=OuterRef("pk"))
        .order_by()
        .values("booking")
        .annotate(n=Sum("quantity"))
    )
    rows = Booking.objects.filter(in_force(now), overlapping(window), kit__in=kits).order_by("starts_at", "id")
    return list(
        rows_as(
            KitStretchShape,
            rows,
            name="event__name",
            firm=confirmed(),
            short=Coalesce(Subquery(lacks.values("n"), output_field=IntegerField()), 0),
        )
    )


def unit_stretches(words: str, window: Period, now: datetime, *, most: int) -> list[UnitStretchShape]:
    """Return units promised by themselves, by spec and tag; one statement."""
    claims = Claim.objects.filter(holding(now), overlapping(window), booking__kit__isnull=True)
    rows = _named(claims, words, "unit__spec__name").order_by("unit__spec__name", "unit__tag", "starts_at")
    return list(
        rows_as(
            UnitStretchShape,
            rows,
            tag="unit__tag",
            spec="unit__spec",
            spec_name="unit__spec__name",
            event="booking__event",
            name="booking__event__name",
            firm=firm(),
        )[:most]
    )


def down_stretches(window: Period, now: datetime, *, most: int) -> list[DownStretchShape]:
    """Return the downtimes of units in the pool that fall into the stretch; one statement."""
    rows = Downtime.objects.filter(down_in(window.starts_at, window.ends_at, now), in_pool("unit"))
    downtimes = rows_as(
        _DowntimeRow,
        rows.order_by("unit__spec__name", "unit__tag", "starts_at"),
        tag="unit__tag",
        spec="unit__spec",
        spec_name="unit__spec__name",
        kit=Subquery(packed_in("unit").values("kit_id")[:1]),
    )
    return [_down_stretch(downtime, now) for downtime in downtimes[:most]]


def _down_stretch(row: _DowntimeRow, now: datetime) -> DownStretchShape:
    return {
        "unit": row["unit"],
        "tag": row["tag"],
        "spec": row["spec"],
        "spec_name": row["spec_name"],
        "kit": row["kit"],
        "cause": row["cause"],
        "note": row["note"],
        "starts_at": row["starts_at"],
        "ends_at": believed_end(row["ends_at"], row["expected_until"], now),
    }


def short_stretches(window: Period, now: datetime, *, most: int) -> list[ShortStretchShape]:
    """Return what bookings of units and of numbers of specs lack in the stretch; one statement."""
    rows = Shortfall.objects.filter(
        in_force(now, "booking"), open_shortfall(), overlapping(window, "booking"), booking__kit__isnull=True
    )
    return list(
        rows_as(
            ShortStretchShape,
            rows.order_by("spec__name", "booking__starts_at", "id"),
            spec_name="spec__name",
            tag="unit__tag",
            event="booking__event",
            name="booking__event__name",
            starts_at="booking__starts_at",
            ends_at="booking__ends_at",
        )[:most]
    )


def _named(rows: QuerySet[ModelT], words: str, column: str) -> QuerySet[ModelT]:
    for word in words.split():
        rows = rows.filter(**{f"{column}__icontains": word})
    return rows
