"""Bookings of one show as a page lists them: by name, with what they have and what they lack."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import CharField, F, Q, Value

from inventory.base.rows import rows_as
from inventory.models import Kit, Spec
from inventory.rows import has_case
from scheduling.models import Booking, BookingState, Claim, Shortfall
from scheduling.promises.alternatives import Gap, UnitAlternative, stand_ins
from scheduling.promises.decide import Period
from scheduling.promises.queue import AheadShape, places_of
from scheduling.rows import expired, firm, in_force, open_shortfall, unreleased


class PromisedShape(TypedDict):
    unit: int
    tag: str
    firm: bool


class LineShortfallShape(TypedDict):
    """One thing that a booking lacks, with the booking's period and whoever is in the way."""

    id: int
    booking: int
    counted: bool
    """The booking wants a number of a spec: any unit of it will do."""
    starts_at: datetime
    ends_at: datetime
    spec: int
    spec_name: str
    position: int | None
    position_label: str | None
    unit: int | None
    tag: str | None
    quantity: int
    reason: str
    rival: int | None
    rival_event: int | None
    rival_name: str | None


class ShortfallWithAlternatives(TypedDict):
    lack: LineShortfallShape
    stand_ins: list[UnitAlternative]


class LineShape(TypedDict):
    """One booking by the names of what it wants."""

    id: int
    version: int
    event: int
    event_name: str
    kit: int | None
    kit_name: str | None
    kit_verdict: str | None
    unit: int | None
    tag: str | None
    unit_spec_name: str | None
    spec: int | None
    spec_name: str | None
    quantity: int
    state: str
    expired: bool
    starts_at: datetime
    ends_at: datetime
    follows_event: bool
    outside: bool
    """It has a time of its own that reaches beyond the gear times of its event, or ends before them."""
    expires_at: datetime | None
    booked_by: int | None
    booker: str | None
    promised: list[PromisedShape]
    lacks: list[LineShortfallShape]
    rank: int | None
    """Of a pencil that has not expired: its place among the pencils on its units, 1 first."""
    before: list[AheadShape]
    """Who is ahead of such a pencil, those who have a unit firmly first."""


class ThingShape(TypedDict):
    """Something that can be booked by choosing it from a list."""

    kind: str
    """``kit``, or the kind of a spec."""
    id: int
    name: str


def lines_of_event(event_id: int, now: datetime) -> list[LineShape]:
    """Return the bookings of one event, cancelled ones last; four statements for any number."""
    return _lines(Q(event=event_id), now)


def line_of(booking_id: int, now: datetime) -> LineShape | None:
    """Return one booking, or None when there is no such booking; four statements."""
    return next(iter(_lines(Q(pk=booking_id), now)), None)


def _lines(which: Q, now: datetime) -> list[LineShape]:
    rows: list[Any] = list(
        Booking.objects.filter(which)
        .order_by("id")
        .values(
            "id",
            "version",
            "event",
            "kit",
            "unit",
            "spec",
            "quantity",
            "state",
            "starts_at",
            "ends_at",
            "follows_event",
            "expires_at",
            "booked_by",
            expired=expired(now),
            in_force=in_force(now),
            outside=~Q(starts_at__lte=F("event__gear_out_at"), ends_at__gte=F("event__gear_back_at"))
            & Q(follows_event=False),
            event_name=F("event__name"),
            kit_name=F("kit__name"),
            kit_verdict=F("kit__verdict"),
            tag=F("unit__tag"),
            unit_spec_name=F("unit__spec__name"),
            spec_name=F("spec__name"),
            booker=F("booked_by__username"),
        )
    )
    wanting = [row["id"] for row in rows if row.pop("in_force")]
    promised, lacks = _promised(wanting), defaultdict(list)
    for lack in _shortfalls(Q(booking__in=wanting), now):
        lacks[lack["booking"]].append(lack)
    pencils = [row["id"] for row in rows if row["state"] == BookingState.PENCIL and not row["expired"]]
    places = places_of(pencils, now)
    for row in rows:
        row["promised"], row["lacks"] = promised[row["id"]], lacks[row["id"]]
        place = places.get(row["id"])
        row["rank"], row["before"] = (None, []) if place is None else (place.rank, place.before)
    return sorted(rows, key=lambda row: (row["state"] == BookingState.CANCELLED, row["id"]))


def _promised(bookings: Collection[int]) -> defaultdict[int, list[PromisedShape]]:
    promised: defaultdict[int, list[PromisedShape]] = defaultdict(list)
    rows = Claim.objects.annotate(is_firm=firm()).filter(unreleased(), booking__in=bookings).order_by("unit__tag")
    for booking, unit, tag, is_firm in rows.values_list("booking_id", "unit_id", "unit__tag", "is_firm"):
        promised[booking].append({"unit": unit, "tag": tag, "firm": is_firm})
    return promised


def shortfalls_of_event(event_id: int, now: datetime) -> list[LineShortfallShape]:
    """Return what the event's bookings in force lack, in the order in which it was found; one statement."""
    return _shortfalls(Q(booking__event=event_id), now)


def _shortfalls(which: Q, now: datetime) -> list[LineShortfallShape]:
    rows = Shortfall.objects.filter(which, in_force(now, "booking"), open_shortfall()).order_by("id")
    return list(
        rows_as(
            LineShortfallShape,
            rows,
            counted=Q(booking__spec__isnull=False),
            starts_at="booking__starts_at",
            ends_at="booking__ends_at",
            spec_name="spec__name",
            position_label="position__label",
            tag="unit__tag",
            rival_event="rival__event",
            rival_name="rival__event__name",
        )
    )


def with_alternatives(lacks: Sequence[LineShortfallShape], now: datetime) -> list[ShortfallWithAlternatives]:
    """Return alternatives for each shortfall; three statements for any number."""
    gaps = [Gap(lack["spec"], lack["position"], Period(lack["starts_at"], lack["ends_at"])) for lack in lacks]
    return [{"lack": lack, "stand_ins": units} for lack, units in zip(lacks, stand_ins(gaps, now), strict=True)]


def things() -> list[ThingShape]:
    """Return every kit that has a case, and every spec, by kind and name; one statement."""
    kits = Kit.objects.filter(has_case()).values("id", "name", thing=Value("kit", output_field=CharField()))
    specs = Spec.objects.values("id", "name", thing=F("kind"))
    by_kind = sorted(kits.union(specs, all=True), key=lambda row: (row["thing"] != "kit", row["thing"], row["name"]))
    return [{"kind": row["thing"], "id": row["id"], "name": row["name"]} for row in by_kind]
