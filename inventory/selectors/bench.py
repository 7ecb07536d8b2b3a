"""What broke, what keeps a unit from going out, and what has to be tested: as the pages of units and the bench ask."""

from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from inventory.base.history import HistoryShape, history_rows, show_history
from inventory.models import Downtime, Fault, Inspection, Port, Tag, Unit
from inventory.models.fault import DowntimeCause
from inventory.models.inspection import next_due
from inventory.models.unit import UnitState
from inventory.rows import in_pool, not_over, open_faults
from inventory.selectors.whereabouts import WhereaboutsShape, show_whereabouts, whereabouts


class UnitRecordShape(WhereaboutsShape):
    """One unit with all that is kept of it."""

    aliases: list[str]
    location: int | None
    signed_to: int | None
    available_from: datetime | None
    available_until: datetime | None
    measured_w: float | None
    tested_at: datetime | None
    test_passed: bool | None
    test_due_at: datetime | None


class FaultRecordShape(TypedDict):
    """A fault with who flagged it and, once it is closed, the work that closed it."""

    id: int
    version: int
    unit: int
    tag: str
    unit_state: str
    port: str | None
    connector: str | None
    side: str | None
    what: str
    usable: bool
    note: str
    by: str | None
    at: datetime
    closed_at: datetime | None
    work: str | None
    cost: str | None
    minutes: int | None


class OutageShape(TypedDict):
    """A period in which a unit may not go out, running or to come."""

    id: int
    unit: int
    cause: str
    starts_at: datetime
    ends_at: datetime | None
    expected_until: datetime | None
    note: str


class DueShape(TypedDict):
    """A unit whose test is due or failed; ``due_at`` null: the newest one failed, or there never was one."""

    unit: int
    tag: str
    spec: int
    spec_name: str
    tested_at: datetime | None
    passed: bool | None
    due_at: datetime | None


def unit_record(unit_id: int) -> UnitRecordShape | None:
    """Return one unit, or None; two statements."""
    rows = whereabouts().filter(pk=unit_id).annotate(**{name: F(column) for name, column in KEPT.items()})
    row = _tested(rows).first()
    if row is None:
        return None
    aliases = Tag.objects.filter(unit=unit_id).exclude(tag=row["tag"]).order_by("tag").values_list("tag", flat=True)
    return {
        **show_whereabouts([row])[0],
        "aliases": list(aliases),
        "location": row["place"],
        "signed_to": row["holder"],
        "available_from": row["since"],
        "available_until": row["until"],
        "measured_w": row["draw"],
        "tested_at": row["tested_at"],
        "test_passed": row["test_passed"],
        "test_due_at": _due(row["tested_at"], row["test_passed"], row["every"]),
    }


KEPT = {
    "every": "spec__inspection_interval_days",
    "place": "location_id",
    "holder": "signed_to_id",
    "since": "available_from",
    "until": "available_until",
    "draw": "measured_w",
}
"""Name in the row → column of what a list of units does not show."""


def fault_record(fault_id: int, *, money: bool) -> FaultRecordShape | None:
    """Return a fault, or None; one statement."""
    return next(iter(_fault_records(Q(pk=fault_id), money=money)), None)


def faults_of(units: Collection[int], *, money: bool) -> list[FaultRecordShape]:
    """Return the faults of units, open ones first and then the newest closed; one statement."""
    return _fault_records(Q(unit__in=units), money=money)


def open_faults_of(units: Collection[int]) -> list[FaultRecordShape]:
    """Return the faults of units that are not mended, without money; one statement."""
    return _fault_records(Q(unit__in=units) & open_faults(), money=False)


def _fault_records(which: Q, *, money: bool) -> list[FaultRecordShape]:
    rows = Fault.objects.filter(which).order_by(F("closed_at").desc(nulls_first=True), "reported_at", "pk")
    port = Port.objects.filter(spec=OuterRef("unit__spec"), name=OuterRef("port_name"))
    named: Any = rows.values(
        "id",
        "version",
        "what",
        "usable",
        "note",
        "closed_at",
        unit_pk=F("unit_id"),
        tag=F("unit__tag"),
        unit_state=F("unit__state"),
        port=F("port_name"),
        connector=Subquery(port.values("connector")[:1]),
        side=Subquery(port.values("side")[:1]),
        by=F("reported_by__username"),
        at=F("reported_at"),
        work=F("repair__note"),
        cost=F("repair__cost"),
        currency=F("repair__currency"),
        minutes=F("repair__minutes"),
    )
    return [_fault(row, money=money) for row in named]


def outages(units: Collection[int], now: datetime) -> list[OutageShape]:
    """Return periods in which units do not go out, that run or are to come, the first first; one statement."""
    rows = Downtime.objects.filter(not_over(now), unit__in=units).order_by("starts_at", "pk")
    return [
        {
            "id": row.pk,
            "unit": row.unit_id,
            "cause": row.cause,
            "starts_at": row.starts_at,
            "ends_at": row.ends_at,
            "expected_until": row.expected_until,
            "note": row.note,
        }
        for row in rows
    ]


def besides_faults(periods: Iterable[OutageShape]) -> list[OutageShape]:
    """Return the periods that no fault explains: a fault is listed by itself."""
    return [period for period in periods if period["cause"] != DowntimeCause.FAULT]


AT_THE_BENCH = ("fault", "repair", "downtime", "inspection")
"""Nouns of the history whose entries carry the tag of a unit."""


def unit_history(unit_id: int, tags: Collection[str], *, most: int) -> list[HistoryShape]:
    """Return what was done to a unit and what happened to it at the bench, newest first; one statement."""
    of_it = Q(noun="unit", object_id=unit_id) | Q(noun__in=AT_THE_BENCH, label__in=tags)
    return show_history(list(history_rows().filter(of_it)[:most]))


def units_on_the_bench() -> list[WhereaboutsShape]:
    """Return units that are held back or have an open fault, by tag; one statement."""
    rows = whereabouts().filter(in_pool())
    return show_whereabouts(list(rows.filter(Q(state=UnitState.HELD_BACK) | Q(open_faults__gt=0)).order_by("tag")))


def tests_due(until: datetime) -> list[DueShape]:
    """Return units whose newest test failed, or that have to be tested by then, most urgent first; one statement."""
    kept: Any = Unit.objects.filter(in_pool()).order_by("tag")
    rows = _tested(
        kept.values("pk", "tag", "spec_id", every=F("spec__inspection_interval_days"), spec_name=F("spec__name"))
    )
    found: list[DueShape] = []
    for row in rows.filter(Q(every__isnull=False) | Q(test_passed=False)):
        due_at = _due(row["tested_at"], row["test_passed"], row["every"])
        if due_at is None or due_at <= until:
            found.append(
                {
                    "unit": row["pk"],
                    "tag": row["tag"],
                    "spec": row["spec_id"],
                    "spec_name": row["spec_name"],
                    "tested_at": row["tested_at"],
                    "passed": row["test_passed"],
                    "due_at": due_at,
                }
            )
    return sorted(found, key=_urgency)


def _urgency(due: DueShape) -> tuple[int, float]:
    """Failed first, then those that are due by their date, then those that were never tested."""
    if due["passed"] is False:
        return (0, 0.0)
    return (1, due["due_at"].timestamp()) if due["due_at"] is not None else (2, 0.0)


def _tested(rows: QuerySet[Unit, dict[str, Any]]) -> QuerySet[Unit, dict[str, Any]]:
    """Add the newest test of each unit, and the columns of its record."""
    newest = Inspection.objects.filter(unit=OuterRef("pk")).order_by("-at", "-pk")
    tested: QuerySet[Unit, dict[str, Any]] = rows.annotate(
        tested_at=Subquery(newest.values("at")[:1]), test_passed=Subquery(newest.values("passed")[:1])
    )
    return tested


def _due(at: datetime | None, passed: bool | None, every_days: int | None) -> datetime | None:
    return None if at is None else next_due(at, passed=bool(passed), every_days=every_days)


def _fault(row: dict[str, Any], *, money: bool) -> FaultRecordShape:
    cost = row.pop("cost")
    currency = row.pop("currency")
    shown: FaultRecordShape = {"unit": row.pop("unit_pk"), "cost": None, **row}  # type: ignore[typeddict-item]
    if money and cost is not None:
        shown["cost"] = f"{cost} {currency}"
    return shown
