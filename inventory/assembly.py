"""From rows to the kit that calculation knows; the only place where the two meet.

A fixed number of statements, for one kit or for fifty, and no model instances. Related rows are read by
joins, because pages read kits this way too.
"""

import hashlib
import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, fields, is_dataclass
from datetime import datetime
from enum import Enum
from itertools import pairwise
from typing import Any

from django.db.models import OuterRef, Q, Subquery

from calc.errors import BadInput
from calc.rig import kit as calc_kit
from calc.rig.ends import End
from calc.rig.field_table import FIELDS_OF, SIZE
from calc.rig.sheets import SHEET_TYPES
from inventory.brief_document import brief_from
from inventory.errors import ContentsRefusedError
from inventory.models import Company, Inspection, Kit, LinkEnd, Spec, Unit
from inventory.models.inspection import next_due
from inventory.selectors.nesting import ids_inside

KIT_COLUMNS = ("id", "name", "build", "ambient_celsius", "exposed_retention", "wired_at", "brief")
POSITION_COLUMNS = ("id", "label", "role", "spec_id", "unit_id")
UNIT_COLUMNS = ("id", "tag", "spec_id", "state", "firmware", "measured_w")
SPEC_COLUMNS = ("id", "name", "kind", *(field.name for field in FIELDS_OF[SIZE]), "provenance")
PLAIN_PORT_COLUMNS = (
    "name", "connector", "side", "carries", "face", "through", "group", "speed_mbps", "pairs", "pinout",
)  # fmt: skip
POE_COLUMNS = {"role": "poe_role", "poe_class": "poe_class", "reduced_class_ok": "poe_reduced_class_ok"}
POWER_COLUMNS = {
    name: f"power_{name}" for name in ("volts_min", "volts_max", "watts", "breaker_a", "curve", "rcd_ma", "leg")
}
POWER_COLUMNS["role"] = "power_role"


def read_kits(
    kit_ids: Collection[int], *, rules: str | None = None, ambient: float | None = None
) -> dict[int, calc_kit.Kit]:
    """Return the assembled kits, nested ones inside them, by id; ids that are no kit are left out.

    ``rules`` and ``ambient`` (°C) are those of the place where the kits are used, for nested kits too; where they are
    None, the company's rule set and the temperature of each kit apply.

    Four statements at most, whatever the number of kits: plans, links, units, data sheets.
    """
    stated = {"rules": rules, "ambient_celsius": ambient}
    rows = _Rows.read(kit_ids, {name: value for name, value in stated.items() if value is not None})
    assembled: dict[int, calc_kit.Kit] = {}

    def assemble(kit_id: int) -> calc_kit.Kit:
        if kit_id not in assembled:
            assembled[kit_id] = rows.kit(kit_id, assemble)
        return assembled[kit_id]

    return {kit_id: assemble(kit_id) for kit_id in kit_ids if kit_id in rows.kits}


@contextmanager
def calculating(kit: calc_kit.Kit) -> Iterator[None]:
    """Say of which kit it is where calculation refuses to take what is in it.

    Raises:
        ContentsRefusedError: it does: a data sheet names a connector, say, that is in no register any more.
    """
    try:
        yield
    except BadInput as error:
        raise ContentsRefusedError(f"What is in {kit.name} cannot be worked out: {error}") from error


def read_specs(spec_ids: Collection[int]) -> dict[int, calc_kit.Spec]:
    """Return the assembled data sheets by id. One statement."""
    return _specs(_sheet_rows(spec_ids))


def _sheet_rows(spec_ids: Collection[int]) -> dict[int, list[dict[str, Any]]]:
    """Return one row for each port of a spec, at least one, by the id of the spec.

    Each has the spec's sheets joined to it, once too often for most: a second statement costs more. A sheet that does
    not apply has no ``spec_id``, a spec without a port a port without an ``id``.
    """
    sheets = [f"{name}__{field.name}" for name, kind in SHEET_TYPES.items() for field in fields(kind)]
    present = [f"{name}__spec_id" for name in SHEET_TYPES]
    ports = [f"ports__{name}" for name in ("id", *PLAIN_PORT_COLUMNS, *POE_COLUMNS.values(), *POWER_COLUMNS.values())]
    rows = Spec.objects.filter(id__in=spec_ids).order_by("id", "ports__sort", "ports__id")
    found: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for row in _plain(rows.values(*SPEC_COLUMNS, "inspection_interval_days", *present, *sheets, *ports)):
        found[row["id"]].append(row)
    return found


def _specs(rows: Mapping[int, Sequence[Mapping[str, Any]]]) -> dict[int, calc_kit.Spec]:
    return {
        spec_id: calc_kit.Spec(
            **{name: first[name] for name in SPEC_COLUMNS},
            **{name: _sheet(first, name) for name in SHEET_TYPES},
            ports=tuple(_port(row) for row in (first, *others) if row["ports__id"] is not None),
        )
        for spec_id, (first, *others) in rows.items()
    }


def _sheet(row: Mapping[str, Any], name: str) -> Any:
    if row[f"{name}__spec_id"] is None:
        return None
    kind = SHEET_TYPES[name]
    return kind(**{field.name: row[f"{name}__{field.name}"] for field in fields(kind)})


def _port(row: Mapping[str, Any]) -> calc_kit.Port:
    poe = {name: row[f"ports__{column}"] for name, column in POE_COLUMNS.items()}
    power = {name: row[f"ports__{column}"] for name, column in POWER_COLUMNS.items()}
    return calc_kit.Port(
        **{name: row[f"ports__{name}"] for name in PLAIN_PORT_COLUMNS},
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
    positions: dict[int, dict[int, dict[str, Any]]]
    """By kit and id, in the order of the plan."""
    accepts: dict[int, set[int]]
    links: dict[int, list[calc_kit.Link]]
    specs: dict[int, calc_kit.Spec]
    units: dict[int, calc_kit.Unit]
    kit_of_case: dict[int, int]

    @classmethod
    def read(cls, kit_ids: Collection[int], of_the_place: Mapping[str, str | float]) -> "_Rows":
        kits: dict[int, dict[str, Any]] = {}
        positions: dict[int, dict[int, dict[str, Any]]] = defaultdict(dict)
        accepts: dict[int, set[int]] = defaultdict(set)
        for row in _plan_rows(kit_ids):
            kits[row["id"]] = {name: row[name] for name in (*KIT_COLUMNS, "rules")} | dict(of_the_place)
            place = {name: row[f"positions__{name}"] for name in POSITION_COLUMNS}
            if place["id"] is not None:
                positions[row["id"]][place["id"]] = place
            if row["positions__accepts"] is not None:
                accepts[place["id"]].add(row["positions__accepts"])
        places = [(kit_id, place) for kit_id, found in positions.items() for place in found.values()]
        link_rows = _link_rows(kits)
        unit_rows = _unit_rows({place["unit_id"] for _, place in places if place["unit_id"]})
        spec_ids = {place["spec_id"] for _, place in places} | {row["spec_id"] for row in unit_rows}
        spec_ids |= {row["link__cable_spec_id"] for row in link_rows if row["link__cable_spec_id"]}
        sheet_rows = _sheet_rows(spec_ids)
        specs = _specs(sheet_rows)
        intervals = {spec_id: rows[0]["inspection_interval_days"] for spec_id, rows in sheet_rows.items()}
        return cls(
            kits=kits,
            positions=positions,
            accepts=accepts,
            links=_links(link_rows, specs),
            specs=specs,
            units=_units(unit_rows, specs, intervals),
            kit_of_case={
                place["unit_id"]: kit_id for kit_id, place in places if place["role"] == "case" and place["unit_id"]
            },
        )

    def kit(self, kit_id: int, nested: Any) -> calc_kit.Kit:
        row = self.kits[kit_id]
        return calc_kit.Kit(
            **row | {"brief": None if row["brief"] is None else brief_from(row["brief"])},
            positions=tuple(self._position(kit_id, place, nested) for place in self.positions[kit_id].values()),
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


def _plan_rows(kit_ids: Collection[int]) -> list[dict[str, Any]]:
    """Return one row for each position of the kits and of those inside them, and for each further spec it accepts.

    One statement, so that no kit is seen in a place that it has left meanwhile, nor under a rule set that was changed.
    """
    if not kit_ids:
        return []
    places = [f"positions__{name}" for name in POSITION_COLUMNS]
    rows = Kit.objects.filter(id__in=ids_inside(kit_ids)).order_by("id", "positions__sort", "positions__id")
    company_rules = Subquery(Company.objects.values("rules")[:1])
    return _plain(rows.values(*KIT_COLUMNS, *places, "positions__accepts", rules=company_rules))


def _link_rows(kit_ids: Collection[int]) -> list[dict[str, Any]]:
    """Return one row for each end of a link."""
    rows = LinkEnd.objects.filter(link__kit_id__in=kit_ids).order_by("link_id", "end")
    of_link = [f"link__{name}" for name in ("kit_id", "cable_position_id", "cable_spec_id", "label", "colour")]
    return _plain(rows.values("link_id", "end", "position_id", "port_name", *of_link))


def _links(rows: list[dict[str, Any]], specs: Mapping[int, calc_kit.Spec]) -> dict[int, list[calc_kit.Link]]:
    links: dict[int, list[calc_kit.Link]] = defaultdict(list)
    for row, other in pairwise(rows):
        if row["link_id"] != other["link_id"]:
            continue
        links[row["link__kit_id"]].append(
            calc_kit.Link(
                id=row["link_id"],
                **{each["end"]: End(position=each["position_id"], port=each["port_name"]) for each in (row, other)},
                cable=row["link__cable_position_id"],
                cable_spec=specs[row["link__cable_spec_id"]] if row["link__cable_spec_id"] else None,
                label=row["link__label"],
                colour=row["link__colour"],
            )
        )
    return links


def _unit_rows(unit_ids: Collection[int]) -> list[dict[str, Any]]:
    """Return one row for each damage of a unit, and for each inspection at the time of its newest; at least one."""
    newest = Inspection.objects.filter(unit=OuterRef("pk")).order_by("-at").values("at")[:1]
    rows = Unit.objects.filter(
        Q(inspections__isnull=True) | Q(inspections__at=Subquery(newest)), id__in=unit_ids
    ).order_by("id")
    damage = ("port_conditions__port__name", "port_conditions__what")
    return _plain(rows.values(*UNIT_COLUMNS, *damage, "inspections__at", "inspections__passed"))


def _units(
    rows: Iterable[Mapping[str, Any]], specs: Mapping[int, calc_kit.Spec], intervals: Mapping[int, int | None]
) -> dict[int, calc_kit.Unit]:
    columns: dict[int, dict[str, Any]] = {}
    damage: dict[int, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    due: dict[int, datetime | None] = {}
    failed: set[int] = set()
    for row in rows:
        columns[row["id"]] = {name: row[name] for name in UNIT_COLUMNS if name != "spec_id"}
        columns[row["id"]]["spec"] = specs[row["spec_id"]]
        if row["port_conditions__what"] is not None:
            damage[row["id"]][row["port_conditions__port__name"]].add(row["port_conditions__what"])
        at, passed = row["inspections__at"], row["inspections__passed"]
        if passed is False:
            failed.add(row["id"])
        elif passed:
            due[row["id"]] = next_due(at, passed=passed, every_days=intervals[row["spec_id"]])
    return {
        unit_id: calc_kit.Unit(
            **given,
            damage={port: frozenset(kinds) for port, kinds in damage[unit_id].items()},
            inspection_due_at=due.get(unit_id),
            failed_inspection=unit_id in failed,
        )
        for unit_id, given in columns.items()
    }
