"""What broke, and what was done about it."""

from collections.abc import Collection
from decimal import Decimal

from django.db.models import QuerySet

from inventory.base.changes import Change
from inventory.base.errors import FieldProblem, InvalidError
from inventory.models import Company, Downtime, Fault, Port, Repair, Unit, UnitPort
from inventory.models.fault import DowntimeCause
from inventory.rows import down_at, open_faults
from inventory.services.downtimes import end_downtime, hold_back, release
from inventory.services.fetching import row_at, row_named, rows_named
from inventory.services.hazards import is_hazard, require_electrics, require_test

USABLE_ALL_THE_SAME = frozenset({"latch", "shell", "label"})
"""Damage with which a unit still does its work: it holds less firmly, or is hard to read."""


def report_fault(c: Change, *, unit_id: int, what: str, port: str | None, usable: bool | None, note: str) -> int:
    """Record a fault and return its id. Not usable: the unit is held back until the bench releases it.

    Damage that can hurt somebody keeps the unit from use whatever ``usable`` says.

    Raises:
        InvalidError: the unit or the port does not exist, or port damage names no port.
    """
    unit = row_named(Unit, unit_id, "unit")
    row = _port(unit, port)
    fault = Fault.objects.create(
        unit=unit,
        port_name=port,
        what=what,
        usable=not is_hazard(unit, what, row) and (what in USABLE_ALL_THE_SAME if usable is None else usable),
        note=note,
        reported_by_id=c.actor_id,
        reported_at=c.now,
    )
    if row is not None and what != "other":
        UnitPort.objects.create(unit=unit, port=row, what=what, fault=fault)
    if not fault.usable:
        hold_back(c, unit, cause=DowntimeCause.FAULT, fault=fault, note=note)
    c.touch("unit", unit.pk)
    c.record("fault", fault.pk, "report", unit.tag, what=what, port=port, usable=fault.usable, unit=unit.pk)
    return fault.pk


def judge_fault(c: Change, fault_id: int, *, usable: bool | None, note: str | None, electrics: bool = False) -> int:
    """Change what is thought of an open fault: whether the unit can be used with it, and the note.

    Raises:
        NotFoundError: there is no such fault.
        InvalidError: the fault is closed.
        ForElectricsError: it can hurt somebody, and a person for electrics has to release the unit with a reason.
    """
    fault = row_at(Fault, fault_id)
    if fault.closed_at is not None:
        raise InvalidError.of_field("usable", "The fault is closed. Report a new one.")
    if usable and not fault.usable:
        require_electrics(fault, electrics=electrics, reason=note or "")
    if note is not None:
        fault.note = note
    if usable is not None and usable != fault.usable:
        fault.usable = usable
    fault.version += 1
    fault.save()
    if not fault.usable:
        hold_back(c, fault.unit, cause=DowntimeCause.FAULT, fault=fault, note=fault.note)
    elif not _unusable_faults(fault.unit).exists():
        release(c, fault.unit, cause=DowntimeCause.FAULT)
    c.touch("unit", fault.unit_id)
    c.record("fault", fault.pk, "judge", fault.unit.tag, usable=fault.usable)
    return fault.pk


def record_repair(
    c: Change,
    *,
    unit_id: int,
    fault_ids: Collection[int] | None,
    note: str,
    cost: Decimal | None,
    currency: str | None,
    minutes: int | None,
    waiver: str = "",
) -> int:
    """Record work at the bench and return its id; it closes the named faults, or all open ones when none is named.

    When no fault is left that keeps the unit from its work, the unit is back in service. ``waiver`` says why damage
    that can hurt somebody needs no test; history keeps it.

    Raises:
        InvalidError: the unit does not exist, or a fault is not an open one of this unit.
        TestNeededError: such damage is repaired, and no passed test is on record since it was reported.
    """
    unit = row_named(Unit, unit_id, "unit")
    faults = _faults_to_close(unit, fault_ids)
    require_test(c, unit, faults, waiver=waiver)
    repair = Repair.objects.create(
        unit=unit,
        note=note,
        cost=cost,
        currency=currency or Company.objects.values_list("currency", flat=True).get(pk=1),
        minutes=minutes,
        by_id=c.actor_id,
        at=c.now,
    )
    for fault in faults:
        fault.closed_at, fault.repair = c.now, repair
        fault.version += 1
        fault.save()
    UnitPort.objects.filter(fault__in=faults).delete()
    if not _unusable_faults(unit).exists():
        release(c, unit, cause=DowntimeCause.FAULT)
        release(c, unit, cause=DowntimeCause.REPAIR)
    c.touch("unit", unit.pk)
    closed = [fault.pk for fault in faults]
    c.record("repair", repair.pk, "create", unit.tag, unit=unit.pk, faults=closed, waiver=waiver)
    return repair.pk


def return_to_service(c: Change, unit_id: int, *, note: str, waiver: str = "") -> None:
    """Close every open fault of a unit by one repair, and end whatever else holds it back.

    A failed test goes on holding it back: a passed one ends that.

    Raises:
        NotFoundError: there is no such unit.
        TestNeededError: as for a repair.
    """
    unit = row_at(Unit, unit_id)
    if unit.faults.filter(open_faults()).exists():
        record_repair(
            c, unit_id=unit_id, fault_ids=None, note=note, cost=None, currency=None, minutes=None, waiver=waiver
        )
    running = Downtime.objects.filter(down_at(c.now), unit=unit, starts_at__lt=c.now).exclude(
        cause=DowntimeCause.INSPECTION
    )
    for downtime_id in running.order_by("pk").values_list("pk", flat=True):
        end_downtime(c, downtime_id, ends_at=None)


def _port(unit: Unit, name: str | None) -> Port | None:
    if name is None:
        return None
    port = unit.spec.ports.filter(name=name).first()
    if port is None:
        raise InvalidError.of_field("port", f"{unit.spec.name} has no port {name}.", code="does-not-exist")
    return port


def _unusable_faults(unit: Unit) -> QuerySet[Fault]:
    return unit.faults.filter(open_faults(), usable=False)


def _faults_to_close(unit: Unit, fault_ids: Collection[int] | None) -> list[Fault]:
    if fault_ids is None:
        return list(unit.faults.filter(open_faults()).order_by("pk"))
    faults = rows_named(Fault, fault_ids, "faults")
    wrong = [fault for fault in faults.values() if fault.unit_id != unit.pk or fault.closed_at is not None]
    if wrong:
        raise InvalidError(
            "Some faults cannot be closed by this repair.",
            errors=[
                FieldProblem(
                    field="faults", code="invalid", message=f"Fault {fault.pk} is not an open one of {unit.tag}."
                )
                for fault in wrong
            ],
        )
    return [faults[key] for key in sorted(faults)]
