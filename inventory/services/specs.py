"""Data sheets: write, change, remove."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, TypedDict

from django.db.models import F

from calc.rig.kit import Port as PortFacts
from inventory.assembly import port_to_columns
from inventory.base.changes import Change
from inventory.base.errors import HeldByHistoryError, InvalidError
from inventory.errors import PortInUseError
from inventory.models import SHEETS, Company, Fault, LinkEnd, Port, Spec, UnitPort
from inventory.services.fetching import row_at
from inventory.services.spec_rules import joined_both_ways, refuse_bad_ports, refuse_bad_provenance, refuse_zeros


class SpecFields(TypedDict, total=False):
    """What a spec can be told; a field that is absent stays as it is."""

    name: str
    kind: str
    maker: str
    part_number: str
    weight_kg: float | None
    width_mm: float | None
    depth_mm: float | None
    height_mm: float | None
    rack_units: float | None
    replacement_cost: Decimal | None
    currency: str
    country_of_origin: str
    inspection_interval_days: int | None
    prep_minutes: int | None
    turnaround_minutes: int | None
    provenance: dict[str, str]
    power: Mapping[str, Any] | None
    poe: Mapping[str, Any] | None
    cable: Mapping[str, Any] | None
    network: Mapping[str, Any] | None
    cooling: Mapping[str, Any] | None
    battery: Mapping[str, Any] | None
    optics: Mapping[str, Any] | None
    sound: Mapping[str, Any] | None
    ports: tuple[PortFacts, ...]
    renames: Mapping[str, str]


NOT_COLUMNS = {*SHEETS, "ports", "renames"}


def create_spec(c: Change, *, fields: SpecFields) -> int:
    """Write a new data sheet with its ports and return its id.

    Raises:
        InvalidError: a port or a provenance cannot be used; all are listed.
    """
    if "currency" not in fields:
        fields = {**fields, "currency": Company.objects.values_list("currency", flat=True).get(pk=1)}
    spec = Spec.objects.create(**_columns(fields))
    _write_parts(spec, fields)
    c.touch("spec", spec.pk)
    c.record("spec", spec.pk, "create", spec.name)
    return spec.pk


def edit_spec(c: Change, spec_id: int, *, fields: SpecFields) -> int:
    """Change what ``fields`` names. A sheet merges field by field, null takes it away; ports replace the list by name.

    Raises:
        NotFoundError: there is no such spec.
        InvalidError: a port, a rename or a provenance cannot be used.
        PortInUseError: a port that would go carries a link or is named by an open fault.
    """
    spec = row_at(Spec, spec_id)
    for name, value in _columns(fields).items():
        setattr(spec, name, value)
    spec.version += 1
    spec.save()
    _rename_ports(spec, fields.get("renames", {}))
    _write_parts(spec, fields)
    c.touch("spec", spec.pk)
    c.record("spec", spec.pk, "edit", spec.name, fields=sorted(fields))
    return spec.pk


def delete_spec(c: Change, spec_id: int) -> None:
    """Remove a spec that nothing refers to.

    Raises:
        HeldByHistoryError: units, positions or links are of this spec.
    """
    spec = row_at(Spec, spec_id)
    held = {
        "units": list(spec.units.values_list("tag", flat=True)[:20]),
        "kits": sorted(set(spec.positions.values_list("kit__name", flat=True))),
        "cables": list(spec.cable_in.values_list("kit__name", flat=True)[:20]),
    }
    if any(held.values()):
        raise HeldByHistoryError(f"{spec.name} is in use and cannot be deleted.", held_by=held)
    c.record("spec", spec.pk, "delete", spec.name)
    spec.delete()


def _columns(fields: SpecFields) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if name not in NOT_COLUMNS}


def _write_parts(spec: Spec, fields: SpecFields) -> None:
    refuse_zeros(fields)
    if "ports" in fields:
        _write_ports(spec, joined_both_ways(fields["ports"]))
    for name, model in SHEETS.items():
        if name in fields:
            _write_sheet(spec, model, fields[name])  # type: ignore[literal-required]
    refuse_bad_provenance(spec.provenance, [port.name for port in spec.ports.all()])


def _write_sheet(spec: Spec, model: type[Any], sheet: Mapping[str, Any] | None) -> None:
    if sheet is None:
        model.objects.filter(spec=spec).delete()
    else:
        model.objects.update_or_create(spec=spec, defaults=dict(sheet))


def _write_ports(spec: Spec, ports: tuple[PortFacts, ...]) -> None:
    refuse_bad_ports(ports)
    standing = {port.name: port for port in spec.ports.all()}
    gone = [name for name in standing if name not in {port.name for port in ports}]
    _refuse_ports_in_use(spec, gone)
    spec.ports.filter(name__in=gone).delete()
    fresh: list[Port] = []
    kept: list[Port] = []
    for sort, facts in enumerate(ports):
        row = standing.get(facts.name) or Port(spec=spec)
        for column, value in port_to_columns(facts).items():
            setattr(row, column, value)
        row.sort = sort
        (kept if row.pk else fresh).append(row)
    Port.objects.bulk_create(fresh)
    if kept:
        Port.objects.bulk_update(kept, ["sort", *port_to_columns(ports[0])])


def _refuse_ports_in_use(spec: Spec, names: list[str]) -> None:
    ends = LinkEnd.objects.filter(port_name__in=names, position__spec=spec)
    linked = sorted(set(ends.values_list("link__kit__name", "port_name")))
    damaged = sorted(
        set(UnitPort.objects.filter(port__spec=spec, port__name__in=names).values_list("unit__tag", "port__name"))
    )
    if linked or damaged:
        raise PortInUseError(
            "A port that would go is still used.",
            kits=[{"kit": kit, "port": port} for kit, port in linked],
            units=[{"tag": tag, "port": port} for tag, port in damaged],
        )


def _rename_ports(spec: Spec, renames: Mapping[str, str]) -> None:
    """Carry links, faults and joined ports along with the new names."""
    names = {port.name for port in spec.ports.all()}
    unknown = sorted(set(renames) - names)
    if unknown:
        raise InvalidError.of_field("renames", f"There is no port {', '.join(unknown)}.")
    if taken := sorted(set(renames.values()) & names):
        raise InvalidError.of_field("renames", f"There is a port {', '.join(taken)} already.")
    for old, new in renames.items():
        spec.ports.filter(name=old).update(name=new)
        spec.ports.filter(through=old).update(through=new)
        LinkEnd.objects.filter(position__spec=spec, port_name=old).update(port_name=new)
        Fault.objects.filter(unit__spec=spec, port_name=old).update(port_name=new, version=F("version") + 1)
