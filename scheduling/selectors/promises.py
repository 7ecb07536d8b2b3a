"""What units are promised to, and whom the lack of one hurts."""

from collections import defaultdict
from collections.abc import Collection
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import Exists, F, OuterRef, Q

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


class LackShape(TypedDict):
    """What one live booking lacks, and which units that are free then could stand in."""

    shortfall: int
    booking: int
    counted: bool
    """The booking wants a number of a spec: it is dealt again, no unit stands in by name."""
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


class HurtShape(LackShape):
    alternatives: list[UnitAlternative]
    kits: list[KitAlternative]
    """Whole kits that could go in place of the booking's, where its kit lacks something that it needs."""


OF_BOOKING = {
    "event": F("booking__event_id"),
    "event_name": F("booking__event__name"),
    "state": F("booking__state"),
    "kit": F("booking__kit_id"),
    "kit_name": F("booking__kit__name"),
}


def promises_of(unit_ids: Collection[int], now: datetime) -> dict[int, list[PromiseShape]]:
    """Return what each unit is promised to from now on, the next first, lost promises too; two statements."""
    still = live(now, "booking") & Q(unit__in=unit_ids)
    columns = ("unit_id", "booking_id", "starts_at", "ends_at")
    claims: Any = Claim.objects.filter(still, unreleased(), ends_at__gt=now).values(*columns, **OF_BOOKING)
    lacks: Any = Shortfall.objects.filter(still, open_shortfall()).values(
        "unit_id", "booking_id", starts_at=F("booking__starts_at"), ends_at=F("booking__ends_at"), **OF_BOOKING
    )
    found: defaultdict[int, list[PromiseShape]] = defaultdict(list)
    for rows, lacking in ((claims, False), (lacks, True)):
        for row in rows:
            promise = row | {"booking": row["booking_id"], "lacking": lacking}
            found[row["unit_id"]].append(_named(PromiseShape, promise))
    for promises in found.values():
        promises.sort(key=lambda promise: (promise["starts_at"], promise["booking"]))
    return dict(found)


def kit_promises(kit_ids: Collection[int], now: datetime) -> dict[int, PromiseShape]:
    """Return the next show that each kit is booked for; one statement."""
    rows: Any = (
        Booking.objects.filter(live(now), kit__in=kit_ids)
        .order_by("-starts_at", "-pk")
        .values(
            "event",
            "starts_at",
            "ends_at",
            "state",
            "kit",
            booking=F("pk"),
            event_name=F("event__name"),
            kit_name=F("kit__name"),
            lacking=Exists(Shortfall.objects.filter(open_shortfall(), booking=OuterRef("pk"))),
        )
    )
    return {row["kit"]: row for row in rows}


def shortfalls_beginning(until: datetime, now: datetime) -> list[LackShape]:
    """Return what live bookings lack that begin by then, the next first; one statement."""
    return _shortfalls(Q(booking__starts_at__lte=until), now)


def _shortfalls(which: Q, now: datetime) -> list[LackShape]:
    rows: Any = (
        Shortfall.objects.filter(which, open_shortfall(), live(now, "booking"))
        .order_by("booking__starts_at", "booking_id", "id")
        .values(
            "booking_id",
            "position_id",
            "spec_id",
            "quantity",
            "reason",
            "unit_id",
            shortfall=F("pk"),
            counted=Q(booking__spec__isnull=False),
            starts_at=F("booking__starts_at"),
            ends_at=F("booking__ends_at"),
            position_label=F("position__label"),
            role=F("position__role"),
            spec_name=F("spec__name"),
            tag=F("unit__tag"),
            **OF_BOOKING,
        )
    )
    return [_lack(row) for row in rows]


def hurt_by(unit_id: int, since: datetime, now: datetime) -> list[HurtShape]:
    """Return who lacks a unit, or lost something at the moment that it went down, with what could stand in.

    Four statements, and two more where a kit lacks something that it needs.
    """
    found = _shortfalls(Q(unit=unit_id) | Q(opened_at=since), now)
    wholes = {(lack["kit"], _period(lack)) for lack in found if lack["kit"] is not None and _is_needed(lack)}
    instead = instead_of([_gap(lack) for lack in found], wholes, now)
    return [
        {
            **lack,
            "alternatives": instead.units[_gap(lack)],
            "kits": instead.kits.get((lack["kit"] or 0, _period(lack)), []) if _is_needed(lack) else [],
        }
        for lack in found
    ]


def _is_needed(lack: LackShape) -> bool:
    return lack["role"] in NEEDED_ROLES


def _gap(lack: LackShape) -> Gap:
    return Gap(lack["spec"], lack["position"], _period(lack))


def _period(lack: LackShape) -> Period:
    return Period(lack["starts_at"], lack["ends_at"])


def _lack(row: dict[str, Any]) -> LackShape:
    lack: LackShape = _named(
        LackShape, row | {name: row[f"{name}_id"] for name in ("booking", "position", "spec", "unit")}
    )
    return lack


def _named(shape: Any, row: dict[str, Any]) -> Any:
    """Return the columns that a shape names, and no others."""
    return {name: row[name] for name in shape.__annotations__}
