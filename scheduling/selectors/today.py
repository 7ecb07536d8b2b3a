"""What needs attention now: one statement for each question of the first page."""

from datetime import datetime
from typing import TypedDict

from django.db.models import Exists, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce

from inventory.base.models.checked import CheckState
from inventory.base.rows import rows_as
from inventory.models import Acceptance, Check, Company, Downtime, Finding, Kit, Spec, Unit
from inventory.models.unit import UnitState
from inventory.rows import acceptance_holds, down_at
from scheduling.models import Booking, Claim, Event, Shortfall
from scheduling.rows import confirmed, live, not_cancelled, open_shortfall, takes_bookings, unreleased
from scheduling.selectors.programme import ShowShape, show_rows


class BeginningsShape(TypedDict):
    """The company's time zone, and whether it has anything yet of what it works with."""

    zone: str
    specs: bool
    units: bool
    kits: bool
    events: bool


class StoppedKitShape(TypedDict):
    """A kit that is promised soon although its newest check says stop, which is not accepted."""

    kit: int
    kit_name: str
    event: int
    event_name: str
    starts_at: datetime
    message: str


class OverdueShape(TypedDict):
    """A confirmed booking that should be back, of an event that is still open."""

    event: int
    event_name: str
    ends_at: datetime
    name: str
    quantity: int


class _DownShape(TypedDict):
    unit: int
    tag: str
    spec_name: str
    cause: str
    note: str
    what: str | None
    port: str | None
    expected_until: datetime | None


class _DowntimeRow(_DownShape):
    claimed_at: datetime | None
    lacked_at: datetime | None


class HeldShape(_DownShape):
    """A unit that may not go out, why, and the next show that counts on it or has to do without."""

    next_at: datetime | None
    lacking: bool


def beginnings() -> BeginningsShape:
    """Return which kinds of records the company has entered; one statement."""
    return rows_as(
        BeginningsShape,
        Company.objects.filter(pk=1),
        zone="timezone",
        specs=Exists(Spec.objects.all()),
        units=Exists(Unit.objects.all()),
        kits=Exists(Kit.objects.all()),
        events=Exists(Event.objects.all()),
    ).get()


def dock(since: datetime, until: datetime, now: datetime) -> list[ShowShape]:
    """Return the shows whose gear leaves or comes back in between; one statement."""
    leaving = Q(gear_out_at__gte=since, gear_out_at__lt=until)
    coming = Q(gear_back_at__gte=since, gear_back_at__lt=until)
    return list(show_rows(now).filter(leaving | coming, not_cancelled()).order_by("gear_out_at", "id"))


def stopped_kits(until: datetime, now: datetime) -> list[StoppedKitShape]:
    """Return kits with a stop that nobody accepted and that are promised to begin by then; one statement."""
    newest = (
        Check.objects.filter(kit=OuterRef("check_run__kit"), state=CheckState.DONE).order_by("-id").values("id")[:1]
    )
    accepted = Acceptance.objects.filter(
        acceptance_holds(now), kit=OuterRef("check_run__kit"), fingerprint=OuterRef("fingerprint")
    )
    worst = (
        Finding.objects.filter(
            ~Exists(accepted), severity="stop", check_run__kit=OuterRef("kit"), check_run=Subquery(newest)
        )
        .order_by("sort")
        .values("message")[:1]
    )
    promised = Booking.objects.filter(live(now), kit__verdict="stop", starts_at__lte=until)
    stopped = promised.annotate(message=Subquery(worst)).filter(message__isnull=False).order_by("starts_at", "id")
    return list(rows_as(StoppedKitShape, stopped, kit_name="kit__name", event_name="event__name"))


def overdue(now: datetime) -> list[OverdueShape]:
    """Return what should be back by the calendar, the longest overdue first; one statement."""
    rows = Booking.objects.filter(confirmed(), takes_bookings("event"), ends_at__lte=now).order_by("ends_at", "id")
    name = Coalesce("kit__name", "unit__tag", "spec__name")
    return list(rows_as(OverdueShape, rows, event_name="event__name", name=name))


def held_back(now: datetime) -> list[HeldShape]:
    """Return what may not go out now, the next show first; one statement."""
    claims = Claim.objects.filter(live(now, "booking"), unreleased(), unit=OuterRef("unit"), ends_at__gt=now)
    lacks = Shortfall.objects.filter(live(now, "booking"), open_shortfall(), unit=OuterRef("unit"))
    downtimes = rows_as(
        _DowntimeRow,
        Downtime.objects.filter(down_at(now), unit__state=UnitState.HELD_BACK).order_by("starts_at", "pk"),
        tag="unit__tag",
        spec_name="unit__spec__name",
        what="fault__what",
        port="fault__port_name",
        claimed_at=Subquery(claims.order_by("starts_at").values("starts_at")[:1]),
        lacked_at=Subquery(lacks.order_by("booking__starts_at").values("booking__starts_at")[:1]),
    )
    held = [_held(row) for row in downtimes]
    return sorted(held, key=lambda unit: unit["next_at"].timestamp() if unit["next_at"] else float("inf"))


def _held(row: _DowntimeRow) -> HeldShape:
    return {
        "unit": row["unit"],
        "tag": row["tag"],
        "spec_name": row["spec_name"],
        "cause": row["cause"],
        "note": row["note"],
        "what": row["what"],
        "port": row["port"],
        "expected_until": row["expected_until"],
        "next_at": row["lacked_at"] or row["claimed_at"],
        "lacking": row["lacked_at"] is not None,
    }
