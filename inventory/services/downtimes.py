"""Holding units back, and releasing them; the state of a unit follows its open downtimes."""

from datetime import datetime, timedelta

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Downtime, Fault, Unit
from inventory.models.unit import OUT_OF_POOL, UnitState
from inventory.rows import down_at
from inventory.services.fetching import row_at, row_named


def hold_back(
    c: Change,
    unit: Unit,
    *,
    cause: str,
    fault: Fault | None = None,
    note: str = "",
    expected_until: datetime | None = None,
) -> Downtime:
    """Open a downtime from now on, or return the one that is open for the same cause."""
    downtime = Downtime.objects.filter(unit=unit, cause=cause, ends_at__isnull=True).first()
    if downtime is None:
        downtime = Downtime.objects.create(
            unit=unit, cause=cause, starts_at=c.now, fault=fault, note=note, expected_until=expected_until
        )
    _follow_downtimes(c, unit)
    return downtime


def release(c: Change, unit: Unit, *, cause: str | None = None) -> None:
    """End the unit's open downtimes (of one cause, or all of them) now."""
    downtimes = Downtime.objects.filter(unit=unit, ends_at__isnull=True)
    if cause is not None:
        downtimes = downtimes.filter(cause=cause)
    for downtime in downtimes.order_by("pk"):
        # One that begins in this very instant, or later, must still end after it starts.
        downtime.ends_at = max(c.now, downtime.starts_at + timedelta(microseconds=1))
        downtime.version += 1
        downtime.save()
    _follow_downtimes(c, unit)


def open_downtime(
    c: Change,
    *,
    unit_id: int,
    cause: str,
    starts_at: datetime | None,
    ends_at: datetime | None,
    expected_until: datetime | None,
    note: str,
) -> int:
    """Plan or record a period in which a unit may not go out, and return the id.

    Raises:
        InvalidError: there is no such unit, or the period is reversed.
    """
    unit = row_named(Unit, unit_id, "unit")
    start = starts_at or c.now
    for name, end in (("ends_at", ends_at), ("expected_until", expected_until)):
        if end is not None and end <= start:
            raise InvalidError.of_field(name, "It must be after starts_at.")
    downtime = Downtime.objects.create(
        unit=unit, cause=cause, starts_at=start, ends_at=ends_at, expected_until=expected_until, note=note
    )
    _follow_downtimes(c, unit)
    c.record("downtime", downtime.pk, "create", unit.tag, cause=cause)
    return downtime.pk


def end_downtime(c: Change, downtime_id: int, *, ends_at: datetime | None) -> int:
    """End a downtime, now unless an instant is given; the unit is released when no other is open.

    Raises:
        NotFoundError: there is no such downtime.
        InvalidError: it would end before it started.
    """
    downtime = row_at(Downtime, downtime_id)
    end = ends_at or c.now
    if end <= downtime.starts_at:
        raise InvalidError.of_field("ends_at", "A downtime ends after it starts.")
    downtime.ends_at = end
    downtime.version += 1
    downtime.save()
    _follow_downtimes(c, downtime.unit)
    c.record("downtime", downtime.pk, "end", downtime.unit.tag)
    return downtime.pk


def _follow_downtimes(c: Change, unit: Unit) -> None:
    """Set the state that the open downtimes ask for; lost and retired are only changed by hand."""
    if unit.state not in OUT_OF_POOL:
        held = Downtime.objects.filter(down_at(c.now), unit=unit).exists()
        state = UnitState.HELD_BACK if held else UnitState.IN_SERVICE
        if state != unit.state:
            unit.state = state
            unit.version += 1
            unit.save(update_fields=["state", "version"])
    c.touch("unit", unit.pk)
