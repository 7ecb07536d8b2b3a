"""From rows to the kit that calculation knows; the only place where the two meet.

A fixed number of statements, for one kit or for fifty, and no model instances.
"""

import hashlib
import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import datetime
from enum import Enum
from typing import Any

from django.db.models import Max

from calc import kit as calc_kit
from inventory.brief_document import brief_from
from inventory.models import (
    Inspection,
    Kit,
    Link,
    LinkEnd,
    Port,
    Position,
    Spec,
    Unit,
    UnitPort,
)
from inventory.models.inspection import next_due
from inventory.selectors.nesting import kits_inside

SHEET_TYPES: dict[str, type[Any]] = {
    "power": calc_kit.PowerSheet,
    "poe": calc_kit.PoeSheet,
    "cable": calc_kit.CableSheet,
    "network": calc_kit.NetworkSheet,
    "cooling": calc_kit.CoolingSheet,
    "battery": calc_kit.BatterySheet,
}
SPEC_COLUMNS = ("id", "name", "kind", "weight_kg", "width_mm", "depth_mm", "height_mm", "provenance")
PLAIN_PORT_COLUMNS = (
    "name", "connector", "side", "carries", "face", "through", "group", "speed_mbps", "pairs", "pinout",
)  # fmt: skip
POE_COLUMNS = {"role": "poe_role", "poe_class": "poe_class", "reduced_class_ok": "poe_reduced_class_ok"}
POWER_COLUMNS = {name: f"power_{name}" for name in ("volts_min", "volts_max", "watts", "breaker_a", "curve", "rcd_ma")}
POWER_COLUMNS["role"] = "power_role"


def read_kits(kit_ids: Collection[int]) -> dict[int, calc_kit.Kit]:
    """Return the assembled kits, nested ones inside them, by id; ids that are no kit are left out.

    Eleven statements at most, whatever the number of kits.
    """
    inside = kits_inside(kit_ids)
    every = set().union(*inside.values()) if inside else set()
    rows = _Rows.read(every)
    assembled: dict[int, calc_kit.Kit] = {}

    def assemble(kit_id: int) -> calc_kit.Kit:
        if kit_id not in assembled:
            assembled[kit_id] = rows.kit(kit_id, assemble)
        return assembled[kit_id]

    return {kit_id: assemble(kit_id) for kit_id in inside}


def read_specs(spec_ids: Collection[int]) -> dict[int, calc_kit.Spec]:
    """Return the assembled data sheets by id. Two statements."""
    return _specs(_spec_rows(spec_ids))


def _spec_rows(spec_ids: Collection[int]) -> list[dict[str, Any]]:
    """Return one row a spec with all its sheets joined; a sheet that does not apply has no ``spec_id``."""
    sheets = [f"{name}__{field.name}" for name, kind in SHEET_TYPES.items() for field in fields(kind)]
    present = [f"{name}__spec_id" for name in SHEET_TYPES]
    rows = Spec.objects.filter(id__in=spec_ids).values(*SPEC_COLUMNS, "inspection_interval_days", *present, *sheets)
    return _plain(rows)


def _specs(rows: Iterable[Mapping[str, Any]]) -> dict[int, calc_kit.Spec]:
    ports: dict[int, list[calc_kit.Port]] = defaultdict(list)
    ids = [row["id"] for row in rows]
    for port in _plain(Port.objects.filter(spec_id__in=ids).order_by("sort", "id").values()):
        ports[port["spec_id"]].append(port_from_row(port))
    return {
        row["id"]: calc_kit.Spec(
            **{name: row[name] for name in SPEC_COLUMNS},
            **{name: _sheet(row, name) for name in SHEET_TYPES},
            ports=tuple(ports[row["id"]]),
        )
        for row in rows
    }


def _sheet(row: Mapping[str, Any], name: str) -> Any:
    if row[f"{name}__spec_id"] is None:
        return None
    kind = SHEET_TYPES[name]
    return kind(**{field.name: row[f"{name}__{field.name}"] for field in fields(kind)})


def port_from_row(row: Mapping[str, Any]) -> calc_kit.Port:
    """Return calculation's port for one row of the table of ports."""
    poe = {name: row[column] for name, column in POE_COLUMNS.items()}
    power = {name: row[column] for name, column in POWER_COLUMNS.items()}
    return calc_kit.Port(
        **{name: row[name] for name in PLAIN_PORT_COLUMNS},
        poe=calc_kit.PortPoe(**poe) if poe["role"] else None,
        power=calc_kit.PortPower(**power) if power["role"] else None,
    )


def port_to_columns(port: calc_kit.Port) -> dict[str, Any]:
    """Return the columns of the table of ports for calculation's port."""
    columns: dict[str, Any] = {name: getattr(port, name) for name in PLAIN_PORT_COLUMNS}
    columns |= {column: getattr(port.poe, name, None) for name, column in POE_COLUMNS.items()}
    columns |= {column: getattr(port.power, name, None) for name, column in POWER_COLUMNS.items()}
    return columns


def fingerprint(kit: calc_kit.Kit) -> str:
    """Return a digest of everything that the checks of this kit can see."""
    return hashlib.sha256(json.dumps(_canonical(kit), sort_keys=True).encode()).hexdigest()


def _canonical(value: Any) -> Any:
    if is_dataclass(value):
        return {field.name: _canonical(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): _canonical(inner) for key, inner in value.items()}
    if isinstance(value, (set, frozenset)):
        return sorted(_canonical(item) for item in value)
    if isinstance(value, (list, tuple)):
        return [_canonical(item) for item in value]
    if isinstance(value, datetime):
        return value.isoformat()
    return value.value if isinstance(value, Enum) else value


def _plain(rows: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return rows as plain dictionaries, whose columns calculation's dataclasses check by keyword."""
    return [dict(row) for row in rows]


@dataclass(frozen=True, slots=True)
class _Rows:
    """Everything that the kits of one reading consist of."""

    kits: dict[int, dict[str, Any]]
    positions: dict[int, list[dict[str, Any]]]
    accepts: dict[int, set[int]]
    links: dict[int, list[calc_kit.Link]]
    specs: dict[int, calc_kit.Spec]
    units: dict[int, calc_kit.Unit]
    kit_of_case: dict[int, int]

    @classmethod
    def read(cls, kit_ids: set[int]) -> "_Rows":
        kits = {
            row["id"]: row
            for row in _plain(
                Kit.objects.filter(id__in=kit_ids).values(
                    "id", "name", "build", "ambient_celsius", "exposed_retention", "wired_at", "brief"
                )
            )
        }
        positions: dict[int, list[dict[str, Any]]] = defaultdict(list)
        for row in _plain(Position.objects.filter(kit_id__in=kit_ids).order_by("sort", "id").values()):
            positions[row["kit_id"]].append(row)
        flat = [row for rows in positions.values() for row in rows]
        accepts: dict[int, set[int]] = defaultdict(set)
        through = Position.accepts.through.objects.filter(position__kit_id__in=kit_ids)
        for position_id, spec_id in through.values_list("position_id", "spec_id"):
            accepts[position_id].add(spec_id)
        packed = Unit.objects.filter(positions__kit_id__in=kit_ids).distinct()
        unit_rows = {row["id"]: row for row in _plain(packed.values())}
        link_rows = _link_rows(kit_ids)
        spec_ids = {row["spec_id"] for row in flat} | {row["spec_id"] for row in unit_rows.values()}
        spec_ids |= {row["cable_spec_id"] for row in link_rows if row["cable_spec_id"]}
        spec_rows = _spec_rows(spec_ids)
        specs = _specs(spec_rows)
        intervals = {row["id"]: row["inspection_interval_days"] for row in spec_rows}
        return cls(
            kits=kits,
            positions=positions,
            accepts=accepts,
            links=_links(link_rows, specs),
            specs=specs,
            units=_units(unit_rows, specs, intervals),
            kit_of_case={row["unit_id"]: row["kit_id"] for row in flat if row["role"] == "case" and row["unit_id"]},
        )

    def kit(self, kit_id: int, nested: Any) -> calc_kit.Kit:
        row = self.kits[kit_id]
        return calc_kit.Kit(
            **row | {"brief": None if row["brief"] is None else brief_from(row["brief"])},
            positions=tuple(self._position(kit_id, position, nested) for position in self.positions[kit_id]),
            links=tuple(self.links[kit_id]),
        )

    def _position(self, kit_id: int, row: Mapping[str, Any], nested: Any) -> calc_kit.Position:
        inner = self.kit_of_case.get(row["unit_id"]) if row["role"] != "case" else None
        return calc_kit.Position(
            id=row["id"],
            label=row["label"],
            role=row["role"],
            spec=self.specs[row["spec_id"]],
            accepts=frozenset(self.accepts[row["id"]]),
            unit=self.units[row["unit_id"]] if row["unit_id"] else None,
            nested=nested(inner) if inner is not None and inner != kit_id else None,
        )


def _link_rows(kit_ids: set[int]) -> list[dict[str, Any]]:
    rows = _plain(Link.objects.filter(kit_id__in=kit_ids).values())
    ends: dict[int, dict[str, calc_kit.End]] = defaultdict(dict)
    columns = ("link_id", "end", "position_id", "port_name")
    for link_id, end, position_id, port in LinkEnd.objects.filter(link__kit_id__in=kit_ids).values_list(*columns):
        ends[link_id][end] = calc_kit.End(position=position_id, port=port)
    for row in rows:
        row |= ends[row["id"]]
    return rows


def _links(rows: list[dict[str, Any]], specs: Mapping[int, calc_kit.Spec]) -> dict[int, list[calc_kit.Link]]:
    links: dict[int, list[calc_kit.Link]] = defaultdict(list)
    for row in rows:
        links[row["kit_id"]].append(
            calc_kit.Link(
                id=row["id"],
                a=row["a"],
                b=row["b"],
                cable=row["cable_position_id"],
                cable_spec=specs[row["cable_spec_id"]] if row["cable_spec_id"] else None,
                label=row["label"],
                colour=row["colour"],
            )
        )
    return links


def _units(
    rows: Mapping[int, Mapping[str, Any]], specs: Mapping[int, calc_kit.Spec], intervals: Mapping[int, int | None]
) -> dict[int, calc_kit.Unit]:
    damage: dict[int, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for unit_id, port, what in UnitPort.objects.filter(unit_id__in=rows).values_list("unit_id", "port__name", "what"):
        damage[unit_id][port].add(what)
    due, failed = _inspections(rows, intervals)
    return {
        unit_id: calc_kit.Unit(
            id=unit_id,
            tag=row["tag"],
            spec=specs[row["spec_id"]],
            state=row["state"],
            firmware=row["firmware"],
            measured_w=row["measured_w"],
            damage={port: frozenset(kinds) for port, kinds in damage[unit_id].items()},
            inspection_due_at=due.get(unit_id),
            failed_inspection=unit_id in failed,
        )
        for unit_id, row in rows.items()
    }


def _inspections(
    units: Mapping[int, Mapping[str, Any]], intervals: Mapping[int, int | None]
) -> tuple[dict[int, datetime], set[int]]:
    """Return when each unit is due again, and which failed their newest inspection."""
    due: dict[int, datetime] = {}
    failed: set[int] = set()
    newest = Inspection.objects.filter(unit_id__in=units).annotate(newest=Max("unit__inspections__at"))
    for unit_id, at, passed, last in newest.values_list("unit_id", "at", "passed", "newest"):
        if at != last:
            continue
        if not passed:
            failed.add(unit_id)
        again = next_due(at, passed=passed, every_days=intervals[units[unit_id]["spec_id"]])
        if again is not None:
            due[unit_id] = again
    return due, failed
