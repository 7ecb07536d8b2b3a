"""Units: enter, change, retire, remove."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, TypedDict

from inventory.base.changes import Change
from inventory.base.errors import HeldByHistoryError, InvalidError
from inventory.base.models import User
from inventory.errors import FaultOpenError
from inventory.models import Fault, Location, Spec, Tag, Unit
from inventory.models.fault import DowntimeCause
from inventory.models.unit import UnitState
from inventory.rows import open_faults
from inventory.services.downtimes import hold_back, release
from inventory.services.fetching import row_at, row_named
from inventory.services.tags import free_tags, note_tags, refuse_taken_tag, retag


class UnitFields(TypedDict, total=False):
    """What a unit can be told; a field that is absent stays as it is."""

    tag: str
    serial: str | None
    spec: int
    condition: str
    state: str
    location: int | None
    signed_to: int | None
    owner: str
    available_from: datetime | None
    available_until: datetime | None
    firmware: str | None
    measured_w: float | None


REFERENCES: Mapping[str, type[Any]] = {"location": Location, "signed_to": User, "spec": Spec}


def create_units(c: Change, *, fields: UnitFields, quantity: int = 1) -> list[int]:
    """Enter one unit, or several alike with running tags, and return their ids.

    Raises:
        InvalidError: a reference does not exist, or a tag or serial was given for several units.
        TagTakenError: another unit has or had the tag.
    """
    if quantity > 1 and (fields.get("tag") or fields.get("serial")):
        raise InvalidError.of_field("quantity", "Several units cannot share one tag or serial. Leave both out.")
    given = fields.get("tag")
    if given:
        refuse_taken_tag(given)
    columns = _columns(fields) | {"state": UnitState.IN_SERVICE}
    units = [Unit(**columns | {"tag": tag}) for tag in ([given] if given else free_tags(quantity))]
    _refuse_reversed_pool_period(units[0])
    units = _created(units)
    note_tags(units)
    state = fields.get("state", UnitState.IN_SERVICE)
    for unit in units:
        if state != UnitState.IN_SERVICE:
            _change_state(c, unit, state)
        c.record("unit", unit.pk, "create", unit.tag, spec=unit.spec_id)
    c.touch("unit", *(unit.pk for unit in units))
    return [unit.pk for unit in units]


def edit_unit(c: Change, unit_id: int, *, fields: UnitFields) -> int:
    """Change what ``fields`` names. A new tag leaves the old one as an alias.

    Raises:
        NotFoundError: there is no such unit.
        InvalidError: a reference does not exist, the spec differs, or the pool period is reversed.
        TagTakenError: another unit has or had the tag.
    """
    unit = row_at(Unit, unit_id)
    if fields.get("spec", unit.spec_id) != unit.spec_id:
        raise InvalidError.of_field("spec", "A unit keeps its type. Retire it and enter a new one.")
    if (tag := fields.get("tag")) is not None and tag != unit.tag:
        retag(unit, tag)
    for name, value in _columns(fields).items():
        setattr(unit, name, value)
    _refuse_reversed_pool_period(unit)
    unit.version += 1
    unit.save()
    if (state := fields.get("state")) is not None and state != unit.state:
        _change_state(c, unit, state)
    c.touch("unit", unit.pk)
    c.record("unit", unit.pk, "edit", unit.tag, fields=sorted(fields))
    return unit.pk


def delete_unit(c: Change, unit_id: int) -> None:
    """Remove a unit that nothing refers to; otherwise it is to be retired.

    Raises:
        HeldByHistoryError: kits, faults, repairs, inspections, downtimes or promises refer to it.
    """
    unit = row_at(Unit, unit_id)
    held = [
        relation.related_model._meta.verbose_name_plural
        for relation in Unit._meta.related_objects
        if relation.related_model is not Tag
        and relation.related_model._default_manager.filter(**{relation.field.name: unit}).exists()
    ]
    if held:
        raise HeldByHistoryError(
            f"{unit.tag} has a history and cannot be deleted. Retire it.", held_by=[str(name) for name in held]
        )
    c.record("unit", unit.pk, "delete", unit.tag)
    unit.delete()


def _columns(fields: UnitFields) -> dict[str, Any]:
    """Return the plain columns; references are looked up so that a wrong one names its field."""
    columns: dict[str, Any] = {k: v for k, v in fields.items() if k not in {"tag", "state", *REFERENCES}}
    for name, model in REFERENCES.items():
        if name in fields:
            row_id = fields[name]  # type: ignore[literal-required]
            columns[f"{name}_id"] = None if row_id is None else row_named(model, row_id, name).pk
    return columns


def _created(units: list[Unit]) -> list[Unit]:
    if len(units) == 1:
        units[0].save()
        return units
    return Unit.objects.bulk_create(units)


def _refuse_reversed_pool_period(unit: Unit) -> None:
    if unit.available_from and unit.available_until and unit.available_until <= unit.available_from:
        raise InvalidError.of_field("available_until", "A unit leaves the pool after it has come.")


def _change_state(c: Change, unit: Unit, state: str) -> None:
    """Bring a unit into a state by hand: held back without a fault, lost, retired, or back in service."""
    if state == UnitState.HELD_BACK:
        unit.state = UnitState.IN_SERVICE  # from lost or retired too: the downtime then says what it is
        hold_back(c, unit, cause=DowntimeCause.OTHER)
    else:
        if state == UnitState.IN_SERVICE:
            _require_no_fault_in_the_way(unit)
        release(c, unit)
        unit.state = state
    unit.save(update_fields=["state"])


def _require_no_fault_in_the_way(unit: Unit) -> None:
    """Refuse to bring a unit back past a fault that keeps it from use: it would be promised again at once."""
    fault = Fault.objects.filter(open_faults(), unit=unit, usable=False).order_by("reported_at", "pk").first()
    if fault is not None:
        where = f" at {fault.port_name}" if fault.port_name else ""
        raise FaultOpenError(
            f"{unit.tag} has an open fault ({fault.what}{where}) that keeps it from use. Enter its repair, or judge it "
            "usable.",
            fault=fault.pk,
        )
