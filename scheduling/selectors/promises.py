"""What units are promised to, and what live bookings lack."""

from collections import defaultdict
from collections.abc import Collection
from datetime import datetime
from typing import TypedDict

from django.db.models import Exists, OuterRef, Q, Value

from inventory.base.rows import rows_as
from scheduling.models import Booking, Claim, Shortfall
from scheduling.promises.alternatives import Gap, KitAlternative, UnitAlternative, instead_of
from scheduling.promises.decide import Period
from scheduling.promises.demand import NEEDED_ROLES
from scheduling.rows import live, open_shortfall, unreleased


class PromiseShape(TypedDict):
    """One booking that counts on a unit; ``lacking``: it does not have it, because the unit cannot go out."""

    booking: int
    event: int
    event_name: str
    starts_at: datetime
    ends_at: datetime
    state: str
    kit: int | None
    kit_name: str | None
    lacking: bool


class LiveShortfallShape(TypedDict):
    """One thing that a live booking lacks."""

    shortfall: int
    booking: int
    counted: bool
    """The booking wants a number of a spec: it is reallocated, no unit replaces another by name."""
    event: int
    event_name: str
    starts_at: datetime
    ends_at: datetime
    state: str
    kit: int | None
    kit_name: str | None
    position: int | None
    position_label: str | None
    role: str | None
    spec: int
    spec_name: str
    quantity: int
    reason: str
    unit: int | None
    tag: str | None


class AnsweredShortfallShape(LiveShortfallShape):
    """A shortfall with what could be taken instead."""

    alternatives: list[UnitAlternative]
    kits: list[KitAlternative]
    """Whole kits that could go in place of the booking's, where its kit lacks something that it needs."""


OF_BOOKING = {
    "event": "booking__event",
    "event_name": "booking__event__name",
    "state": "booking__state",
    "kit": "booking__kit",
    "kit_name": "booking__kit__name",
}


class _UnitPromiseRow(PromiseShape):
    unit: int


def promises_of(unit_ids: Collection[int], now: datetime) -> dict[int, list[PromiseShape]]:
    """Return what each unit is promised to from now on, the next first, lost promises too; two statements."""
    wanted = live(now, "booking") & Q(unit__in=unit_ids)
    claims = Claim.objects.filter(wanted, unreleased(), ends_at__gt=now)
    lost = Shortfall.objects.filter(wanted, open_shortfall())
    times = {"starts_at": "booking__starts_at", "ends_at": "booking__ends_at"}
    promises: defaultdict[int, list[PromiseShape]] = defaultdict(list)
    for row in (
        *rows_as(_UnitPromiseRow, claims, lacking=Value(False), **OF_BOOKING),
        *rows_as(_UnitPromiseRow, lost, lacking=Value(True), **times, **OF_BOOKING),
    ):
        promises[row["unit"]].append(_promise(row))
    for of_unit in promises.values():
        of_unit.sort(key=lambda promise: (promise["starts_at"], promise["booking"]))
    return dict(promises)


def _promise(row: _UnitPromiseRow) -> PromiseShape:
    return {
        "booking": row["booking"],
        "event": row["event"],
        "event_name": row["event_name"],
        "starts_at": row["starts_at"],
        "ends_at": row["ends_at"],
        "state": row["state"],
        "kit": row["kit"],
        "kit_name": row["kit_name"],
        "lacking": row["lacking"],
    }


def kit_promises(kit_ids: Collection[int], now: datetime) -> dict[int, PromiseShape]:
    """Return the next show that each kit is booked for; one statement."""
    missing = Shortfall.objects.filter(open_shortfall(), booking=OuterRef("pk"))
    latest_first = rows_as(
        PromiseShape,
        Booking.objects.filter(live(now), kit__in=kit_ids).order_by("-starts_at", "-pk"),
        booking="pk",
        event_name="event__name",
        kit_name="kit__name",
        lacking=Exists(missing),
    )
    return {row["kit"]: row for row in latest_first if row["kit"] is not None}


def shortfalls_beginning(until: datetime, now: datetime) -> list[LiveShortfallShape]:
    """Return what live bookings lack that begin by then, the next first; one statement."""
    return _shortfalls(Q(booking__starts_at__lte=until), now)


def _shortfalls(which: Q, now: datetime) -> list[LiveShortfallShape]:
    rows = Shortfall.objects.filter(which, open_shortfall(), live(now, "booking"))
    return list(
        rows_as(
            LiveShortfallShape,
            rows.order_by("booking__starts_at", "booking_id", "id"),
            shortfall="pk",
            counted=Q(booking__spec__isnull=False),
            starts_at="booking__starts_at",
            ends_at="booking__ends_at",
            position_label="position__label",
            role="position__role",
            spec_name="spec__name",
            tag="unit__tag",
            **OF_BOOKING,
        )
    )


def shortfalls_caused_by(unit_id: int, since: datetime, now: datetime) -> list[AnsweredShortfallShape]:
    """Return the live shortfalls of a unit that went down, and those that opened with it, with alternatives.

    Four statements, and two more where a kit lacks something that it needs.
    """
    shortfalls = _shortfalls(Q(unit=unit_id) | Q(opened_at=since), now)
    wholes = {(lack["kit"], _period(lack)) for lack in shortfalls if lack["kit"] is not None and _is_needed(lack)}
    instead = instead_of([_gap(lack) for lack in shortfalls], wholes, now)
    return [
        {
            **lack,
            "alternatives": instead.units[_gap(lack)],
            "kits": instead.kits.get((lack["kit"] or 0, _period(lack)), []) if _is_needed(lack) else [],
        }
        for lack in shortfalls
    ]


def _is_needed(lack: LiveShortfallShape) -> bool:
    return lack["role"] in NEEDED_ROLES


def _gap(lack: LiveShortfallShape) -> Gap:
    return Gap(lack["spec"], lack["position"], _period(lack))


def _period(lack: LiveShortfallShape) -> Period:
    return Period(lack["starts_at"], lack["ends_at"])
