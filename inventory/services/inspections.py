"""In-service tests of units. Local codes and the company's own risk assessment set what is tested and how often."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from inventory.base.changes import Change
from inventory.models import Inspection, Unit
from inventory.models.fault import DowntimeCause
from inventory.services.downtimes import hold_back, release
from inventory.services.fetching import row_named


def record_inspection(
    c: Change,
    *,
    unit_id: int,
    passed: bool,
    at: datetime | None,
    kind: str,
    readings: Sequence[Mapping[str, Any]],
    instrument: str,
    tester: str,
    note: str,
) -> int:
    """Record a test and return its id. A fail holds the unit back; a pass ends what an earlier fail began.

    Raises:
        InvalidError: there is no such unit.
    """
    unit = row_named(Unit, unit_id, "unit")
    inspection = Inspection.objects.create(
        unit=unit,
        kind=kind,
        at=at or c.now,
        passed=passed,
        readings=[dict(reading) for reading in readings],
        instrument=instrument,
        tester=tester,
        note=note,
        recorded_by_id=c.actor_id,
    )
    if passed:
        release(c, unit, cause=DowntimeCause.INSPECTION)
    else:
        hold_back(c, unit, cause=DowntimeCause.INSPECTION, note=note)
    c.touch("unit", unit.pk)
    c.record("inspection", inspection.pk, "record", unit.tag, unit=unit.pk, passed=passed)
    return inspection.pk
