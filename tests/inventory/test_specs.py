"""Data sheets over the interface."""

from dataclasses import fields

import pytest
from django.db import models

from calc.rig import kit as calc_kit
from calc.rig.field_table import FIELDS, FIELDS_OF
from calc.rig.fields import Field, Takes
from calc.rig.sheets import SHEET_TYPES
from inventory.api import ports as inputs
from inventory.assembly import read_specs
from inventory.models import SHEETS
from inventory.selectors import specs as shapes
from tests.inventory.gear import Gear

pytestmark = pytest.mark.django_db

MAINS_OUT = {"name": "out", "connector": "c13", "side": "socket", "carries": "mains"}


def test_a_line_makes_ports_and_switched_ones_share_a_group(gear: Gear):
    spec = gear.post(
        "/specs/", {"name": "Switch", "kind": "switch", "ports_text": "1-4 8p8c 1G class4 out; 5-8 8p8c 1G"}
    )
    assert [port["name"] for port in spec["ports"]] == ["1", "2", "3", "4", "5", "6", "7", "8"]
    assert spec["ports"][0]["poe"] == {"role": "source", "class": 4, "reduced_class_ok": None}
    assert spec["ports"][4]["poe"] is None
    assert len({port["group"] for port in spec["ports"]}) == 1


def test_what_nobody_said_is_null_and_not_zero(gear: Gear):
    spec = gear.post("/specs/", {"name": "Thing", "kind": "other"})
    assert spec["weight_kg"] is None
    assert spec["power"] is None


def test_unread_text_is_refused_with_its_column(gear: Gear):
    body = {"name": "Switch", "kind": "switch", "ports_text": "1-4 8p8c 1G class9 out"}
    problem = gear.post("/specs/", body, expect=400)
    assert problem["type"] == "/problems/invalid"
    assert problem["errors"][0]["field"] == "ports_text"
    assert problem["column"] == 13


@pytest.mark.parametrize(
    ("port", "field"),
    [
        ({"connector": "no-such"}, "ports.0.connector"),
        ({"through": "9"}, "ports.0.through"),
        ({"through": "1"}, "ports.0.through"),
        ({"carries": "audio", "poe": {"role": "source", "class": 4}}, "ports.0.poe"),
        ({"poe": {"role": "source", "class": 9}}, "ports.0.poe.class"),
        ({"power": {"role": "load", "watts": -1}}, "ports.0.power.watts"),
        ({"power": {"role": "load", "volts_min": 57, "volts_max": 48}}, "ports.0.power.volts_max"),
        ({"colour": "red"}, "ports.0.colour"),
    ],
)
def test_a_port_that_cannot_be_is_refused_by_field(gear: Gear, port: dict, field: str):
    good = {"name": "1", "connector": "8p8c", "side": "socket", "carries": "ethernet"}
    problem = gear.post("/specs/", {"name": "X", "kind": "switch", "ports": [good | port]}, expect=400)
    assert [error["field"] for error in problem["errors"]] == [field]
    assert gear.get("/specs/")["results"] == []


def test_all_bad_ports_are_listed_at_once(gear: Gear):
    bad = {"name": "1", "connector": "no-such", "side": "socket", "carries": "ethernet"}
    problem = gear.post("/specs/", {"name": "X", "kind": "switch", "ports": [bad, bad]}, expect=400)
    assert {error["field"] for error in problem["errors"]} == {
        "ports.0.connector", "ports.1.connector", "ports.0.name", "ports.1.name",
    }  # fmt: skip


def test_a_sheet_merges_and_null_takes_it_away(gear: Gear):
    spec = gear.switch(65)
    assert gear.patch(f"/specs/{spec}/", {"poe": {"budget_w": 120}})["poe"] == {
        "budget_w": 120.0, "allotment": "class", "efficiency": None,
    }  # fmt: skip
    assert gear.patch(f"/specs/{spec}/", {"poe": None})["poe"] is None


def test_a_port_named_at_one_end_is_joined_at_both(gear: Gear):
    spec = gear.get(f"/specs/{gear.case()}/")
    joined = {port["name"]: port["through"] for port in spec["ports"]}
    assert joined["1"] == "1 rear"
    assert joined["1 rear"] == "1"


def test_a_linked_port_cannot_go_but_can_be_renamed_with_its_link(gear: Gear):
    kit = gear.poe_kit((4,))
    switch = kit["positions"][1]["spec"]
    problem = gear.patch(f"/specs/{switch}/", {"ports_text": "2-4 8p8c 1G class4 out"}, expect=409)
    assert problem["type"] == "/problems/port-in-use"
    assert problem["kits"] == [{"kit": kit["name"], "port": "1"}]
    gear.patch(f"/specs/{switch}/", {"renames": {"1": "hole 1"}})
    assert gear.get(f"/kits/{kit['id']}/")["links"][0]["to"]["port"] == "hole 1"


def test_provenance_names_numbers_that_exist(gear: Gear):
    spec = gear.switch()
    assert gear.patch(f"/specs/{spec}/", {"provenance": {"poe.budget_w": "label"}})["provenance"] == {
        "poe.budget_w": "label"
    }
    problem = gear.patch(f"/specs/{spec}/", {"provenance": {"poe.budget": "label", "weight_kg": "guess"}}, expect=400)
    assert {error["field"] for error in problem["errors"]} == {"provenance.poe.budget", "provenance.weight_kg"}


def test_a_spec_in_use_is_retired_with_its_units_and_not_deleted(gear: Gear):
    spec = gear.switch()
    gear.unit(spec)
    response = gear.client.delete(f"/api/v1/specs/{spec}/")
    assert response.status_code == 409
    assert response.json()["type"] == "/problems/held-by-history"
    assert gear.client.delete(f"/api/v1/specs/{gear.device()}/").status_code == 204


def test_a_viewer_sees_no_money(gear: Gear, api):
    spec = gear.spec(replacement_cost="120.50", currency="CHF")
    assert gear.get(f"/specs/{spec}/")["replacement_cost"] == "120.50"
    seen = api("viewer").get(f"/api/v1/specs/{spec}/").json()
    assert "replacement_cost" not in seen
    assert "currency" not in seen


COLUMN_OF = {
    Takes.NUMBER: models.FloatField,
    Takes.WHOLE: models.IntegerField,
    Takes.YES_OR_NO: models.BooleanField,
    Takes.TEXT: models.CharField,
}
"""What a field takes → the kind of column that keeps it."""


@pytest.mark.parametrize("sheet", sorted(SHEET_TYPES))
def test_each_field_of_a_sheet_has_its_column_and_no_column_is_without_a_field(sheet: str):
    columns = {column.name: column for column in SHEETS[sheet]._meta.get_fields() if column.name != "spec"}
    assert list(columns) == [field.name for field in FIELDS_OF[sheet]]
    for field in FIELDS_OF[sheet]:
        column = columns[field.name]
        assert isinstance(column, COLUMN_OF[field.takes]), field.path
        assert column.null, field.path
        if field.takes is Takes.TEXT:
            assert column.max_length >= field.most, field.path
            assert tuple(value for value, _ in column.choices or ()) == field.choices, field.path


@pytest.mark.parametrize("field", [field for field in FIELDS.values() if field.takes in {Takes.NUMBER, Takes.WHOLE}])
def test_the_interface_takes_the_bounds_of_a_field_and_nothing_beyond(gear: Gear, field: Field):
    spec = gear.switch()

    def sent(value: float) -> dict[str, object]:
        return {field.sheet: {field.name: value}} if field.sheet else {field.name: value}

    least = field.least if field.least or field.may_be_zero else min(1, field.most)
    for value in (least, field.most):
        kept = gear.patch(f"/specs/{spec}/", sent(value))
        assert (kept[field.sheet] if field.sheet else kept)[field.name] == value
    for value in (field.least - 1, field.most + 1):
        errors = gear.patch(f"/specs/{spec}/", sent(value), expect=400)["errors"]
        assert [error["field"] for error in errors] == [field.path]


def test_a_port_has_the_same_fields_in_calculation_interface_and_answer():
    facts = {field.name for field in fields(calc_kit.Port)}
    assert facts == set(inputs.PortInput().fields) == set(shapes.PortShape.__annotations__)
    power = {field.name for field in fields(calc_kit.PortPower)}
    assert power == set(inputs.PortPowerInput().fields) == set(shapes.PortPowerShape.__annotations__)


def test_the_leg_of_an_outlet_reaches_calculation(gear: Gear):
    spec = gear.spec("distro", ports_text="1 c13 230V L2; 2 c13 230V")
    assert [port.power and port.power.leg for port in read_specs([spec])[spec].ports] == ["L2", None]
    ports = gear.get(f"/specs/{spec}/")["ports"]
    assert [port["power"]["leg"] for port in ports] == ["L2", None]
    ports[0]["power"]["leg"] = "L4"
    errors = gear.patch(f"/specs/{spec}/", {"ports": ports}, expect=400)["errors"]
    assert [error["field"] for error in errors] == ["ports.0.power.leg"]


def test_what_was_entered_reaches_calculation_unchanged(gear: Gear):
    sheets = {
        "power": {"rated_a": 1.6, "at_volts": 100, "power_factor": 0.95, "leakage_ma": 0.75, "protection_class": "I"},
        "cable": {"length_m": 5, "awg": 24, "stranded": True, "category": "5e", "pairs": 4},
        "network": {"managed": True, "vlans": False},
        "cooling": {"fan_m3h": 9, "max_ambient_celsius": 45},
        "battery": {"volts": 11.1, "amp_hours": 10},
    }
    spec = gear.spec("supply", **sheets, ports_text="in c14 100-240V 160W; out dc-5.5x2.1 54V out")
    facts = read_specs([spec])[spec]
    for name, sheet in sheets.items():
        for field_name, value in sheet.items():
            assert getattr(getattr(facts, name), field_name) == value
    assert facts.ports[0].power == calc_kit.PortPower(role="load", volts_min=100, volts_max=240, watts=160)


@pytest.mark.parametrize(
    ("fields", "path"),
    [
        ({"width_mm": 0}, "width_mm"),
        ({"power": {"rated_a": 0, "at_volts": 230}}, "power.rated_a"),
        ({"cable": {"coiled_a": 0}}, "cable.coiled_a"),
        ({"battery": {"volts": 0}}, "battery.volts"),
        ({"ports": [MAINS_OUT | {"power": {"role": "source", "breaker_a": 0}}]}, "ports.0.power.breaker_a"),
        ({"ports": [MAINS_OUT | {"power": {"role": "source", "volts_max": 0}}]}, "ports.0.power.volts_max"),
        ({"ports": [MAINS_OUT | {"speed_mbps": 0}]}, "ports.0.speed_mbps"),
    ],
)
def test_a_zero_that_no_thing_has_is_refused(gear: Gear, fields: dict, path: str):
    """It would be divided by; what nobody knows is left out."""
    problem = gear.post("/specs/", {"name": "x", "kind": "distro"} | fields, expect=400)
    assert [error["field"] for error in problem["errors"]] == [path]
    assert "Leave it out" in problem["errors"][0]["message"]


def test_a_zero_that_means_something_is_kept(gear: Gear):
    nothing = {"power": {"leakage_ma": 0, "max_w": 0}, "weight_kg": 0, "cable": {"length_m": 0}}
    shown = gear.get(f"/specs/{gear.spec(**nothing)}/")
    assert (shown["power"]["leakage_ma"], shown["power"]["max_w"], shown["weight_kg"]) == (0, 0, 0)
