"""Faults, repairs, downtimes and inspections as people and programs see them."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, NotRequired, TypedDict

from django.db.models import QuerySet

from inventory.models import Downtime, Fault, Inspection, Repair


class FaultShape(TypedDict):
    """Something that broke on a unit. Closed by a repair."""

    id: int
    version: int
    unit: int
    tag: str
    unit_state: str
    port: str | None
    what: str
    usable: bool
    note: str
    reported_by: int | None
    reported_at: datetime
    closed_at: datetime | None
    repair: int | None


class ReportedFaultShape(FaultShape):
    """A fault just reported, with the bookings that lost something by it."""

    affected_bookings: list[dict[str, Any]]


class RepairShape(TypedDict):
    id: int
    version: int
    unit: int
    tag: str
    unit_state: str
    faults: list[int]
    note: str
    cost: NotRequired[str | None]
    currency: NotRequired[str]
    minutes: int | None
    by: int | None
    at: datetime


class DowntimeShape(TypedDict):
    """A period in which a unit may not go out; open until ``ends_at`` is set."""

    id: int
    version: int
    unit: int
    tag: str
    unit_state: str
    cause: str
    starts_at: datetime
    ends_at: datetime | None
    expected_until: datetime | None
    fault: int | None
    note: str


class InspectionShape(TypedDict):
    id: int
    version: int
    unit: int
    tag: str
    unit_state: str
    kind: str
    at: datetime
    passed: bool
    readings: list[Any]
    instrument: str
    tester: str
    note: str
    recorded_by: int | None


def fault_rows() -> QuerySet[Fault]:
    """Rows of the list of faults, for filtering and paging."""
    return Fault.objects.select_related("unit")


def repair_rows() -> QuerySet[Repair]:
    return Repair.objects.select_related("unit").prefetch_related("faults")


def downtime_rows() -> QuerySet[Downtime]:
    return Downtime.objects.select_related("unit")


def inspection_rows() -> QuerySet[Inspection]:
    return Inspection.objects.select_related("unit")


def show_faults(rows: Sequence[Fault]) -> list[FaultShape]:
    return [
        {
            "id": row.pk,
            "version": row.version,
            "unit": row.unit_id,
            "tag": row.unit.tag,
            "unit_state": row.unit.state,
            "port": row.port_name,
            "what": row.what,
            "usable": row.usable,
            "note": row.note,
            "reported_by": row.reported_by_id,
            "reported_at": row.reported_at,
            "closed_at": row.closed_at,
            "repair": row.repair_id,
        }
        for row in rows
    ]


def show_repairs(rows: Sequence[Repair], *, money: bool) -> list[RepairShape]:
    return [_show_repair(row, money=money) for row in rows]


def show_downtimes(rows: Sequence[Downtime]) -> list[DowntimeShape]:
    return [
        {
            "id": row.pk,
            "version": row.version,
            "unit": row.unit_id,
            "tag": row.unit.tag,
            "unit_state": row.unit.state,
            "cause": row.cause,
            "starts_at": row.starts_at,
            "ends_at": row.ends_at,
            "expected_until": row.expected_until,
            "fault": row.fault_id,
            "note": row.note,
        }
        for row in rows
    ]


def show_inspections(rows: Sequence[Inspection]) -> list[InspectionShape]:
    return [
        {
            "id": row.pk,
            "version": row.version,
            "unit": row.unit_id,
            "tag": row.unit.tag,
            "unit_state": row.unit.state,
            "kind": row.kind,
            "at": row.at,
            "passed": row.passed,
            "readings": row.readings,
            "instrument": row.instrument,
            "tester": row.tester,
            "note": row.note,
            "recorded_by": row.recorded_by_id,
        }
        for row in rows
    ]


def _show_repair(row: Repair, *, money: bool) -> RepairShape:
    shown: RepairShape = {
        "id": row.pk,
        "version": row.version,
        "unit": row.unit_id,
        "tag": row.unit.tag,
        "unit_state": row.unit.state,
        "faults": [fault.pk for fault in row.faults.all()],
        "note": row.note,
        "minutes": row.minutes,
        "by": row.by_id,
        "at": row.at,
    }
    if money:
        shown["cost"] = None if row.cost is None else str(row.cost)
        shown["currency"] = row.currency
    return shown
