"""Data sheets as people and programs see them."""

from collections.abc import Sequence
from dataclasses import asdict
from decimal import Decimal
from typing import Annotated, Any, NotRequired, TypedDict

from django.db.models import Case, Count, QuerySet, Value, When

from calc.rig import kit as calc_kit
from calc.rig.sheets import (
    SHEET_TYPES,
    BatterySheet,
    CableSheet,
    CoolingSheet,
    NetworkSheet,
    OpticsSheet,
    PoeSheet,
    PowerSheet,
    SoundSheet,
)
from inventory.assembly import read_specs
from inventory.base.rows import rows_as
from inventory.base.shapes import shape_of
from inventory.models import Port, Spec
from inventory.rows import in_pool

PortPoeShape = TypedDict("PortPoeShape", {"role": str, "class": int | None, "reduced_class_ok": int | None})


class PortPowerShape(TypedDict):
    role: str
    volts_min: float | None
    volts_max: float | None
    watts: float | None
    breaker_a: float | None
    curve: str | None
    rcd_ma: float | None
    leg: str | None


class PortShape(TypedDict):
    name: str
    connector: str
    side: str
    carries: str
    face: str
    through: str | None
    group: str | None
    speed_mbps: float | None
    pairs: int | None
    pinout: str | None
    poe: PortPoeShape | None
    power: PortPowerShape | None


SheetAnswer = dict[str, float | int | bool | str | None]
"""The fields of one sheet, by name."""


class SpecColumns(TypedDict):
    """What every reader sees of a data sheet's own columns."""

    id: int
    version: int
    name: str
    kind: str
    maker: str
    part_number: str
    weight_kg: float | None
    width_mm: float | None
    depth_mm: float | None
    height_mm: float | None
    rack_units: float | None
    country_of_origin: str
    inspection_interval_days: int | None
    prep_minutes: int | None
    turnaround_minutes: int | None
    provenance: dict[str, str]


class SpecRow(SpecColumns):
    """The columns of a data sheet with money, as the database has them."""

    replacement_cost: Decimal | None
    currency: str


class SpecShape(SpecColumns):
    """A data sheet. ``null`` means not known, never zero; a sheet that does not apply is null."""

    replacement_cost: NotRequired[str | None]
    currency: NotRequired[str]
    power: Annotated[SheetAnswer, shape_of(PowerSheet, "PowerShape")] | None
    poe: Annotated[SheetAnswer, shape_of(PoeSheet, "PoeShape")] | None
    cable: Annotated[SheetAnswer, shape_of(CableSheet, "CableShape")] | None
    network: Annotated[SheetAnswer, shape_of(NetworkSheet, "NetworkShape")] | None
    cooling: Annotated[SheetAnswer, shape_of(CoolingSheet, "CoolingShape")] | None
    battery: Annotated[SheetAnswer, shape_of(BatterySheet, "BatteryShape")] | None
    optics: Annotated[SheetAnswer, shape_of(OpticsSheet, "OpticsShape")] | None
    sound: Annotated[SheetAnswer, shape_of(SoundSheet, "SoundShape")] | None
    ports: list[PortShape]


MONEY = ("replacement_cost", "currency")


def spec_rows() -> QuerySet[Spec, SpecRow]:
    """Rows of the list of specs, for filtering and paging."""
    return rows_as(SpecRow, Spec.objects.all())


def show_specs(rows: Sequence[SpecRow], *, money: bool) -> list[SpecShape]:
    """Return the data sheets of these rows; two statements for any number of them."""
    sheets = read_specs([row["id"] for row in rows])
    return [_show(row, sheets[row["id"]], money=money) for row in rows]


def one_spec(spec_id: int, *, money: bool) -> SpecShape | None:
    """Return one data sheet, or None; three statements."""
    found = spec_and_facts(spec_id, money=money)
    return found[0] if found is not None else None


def spec_and_facts(spec_id: int, *, money: bool) -> tuple[SpecShape, calc_kit.Spec] | None:
    """Return one data sheet, and the same as calculation reads it, or None; three statements."""
    row = spec_rows().filter(pk=spec_id).first()
    if row is None:
        return None
    facts = read_specs([spec_id])[spec_id]
    return _show(row, facts, money=money), facts


class PortNameShape(TypedDict):
    """A port of a spec as somebody points at it."""

    name: str
    connector: str
    side: str


def ports_of_spec(spec_id: int) -> list[PortNameShape]:
    """Return the ports of a spec, those outside first; one statement."""
    inside_last = Case(When(face="outside", then=Value(0)), default=Value(1))
    return list(rows_as(PortNameShape, Port.objects.filter(spec=spec_id).order_by(inside_last, "sort", "id")))


class SpecSummaryShape(TypedDict):
    """A data sheet in a list; ``owned`` counts its units in the pool, as availability does."""

    id: int
    name: str
    kind: str
    maker: str
    owned: int


def spec_summaries() -> QuerySet[Spec, SpecSummaryShape]:
    """Rows of the list of data sheets, for filtering and paging."""
    owned = Count("units", filter=in_pool("units"))
    return rows_as(SpecSummaryShape, Spec.objects.annotate(owned=owned))


def show_port(port: calc_kit.Port) -> PortShape:
    """Return one port as the interface writes it: ``class`` and not ``poe_class``."""
    shown = asdict(port)
    if port.poe is not None:
        shown["poe"]["class"] = shown["poe"].pop("poe_class")
    return shown  # type: ignore[return-value]


def _show(row: SpecRow, facts: calc_kit.Spec, *, money: bool) -> SpecShape:
    shown: dict[str, Any] = {name: value for name, value in row.items() if money or name not in MONEY}
    if money:
        cost = row["replacement_cost"]
        shown["replacement_cost"] = None if cost is None else str(cost)
    for name in SHEET_TYPES:
        sheet = getattr(facts, name)
        shown[name] = None if sheet is None else asdict(sheet)
    shown["ports"] = [show_port(port) for port in facts.ports]
    return shown  # type: ignore[return-value]
