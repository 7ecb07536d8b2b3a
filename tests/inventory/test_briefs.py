"""What a kit is for: written, kept with its positions, and checked."""

from dataclasses import replace

import pytest

from calc.rig.brief import Brief, Configuration, Radio
from inventory.assembly import read_kits
from inventory.brief_document import brief_from, document_of
from inventory.checks.drain import drain
from inventory.models import Kit
from tests.calc.checks.kits import NOW
from tests.inventory.gear import Gear

pytestmark = pytest.mark.django_db

EVERYTHING = {
    "outside": [{"carries": "ethernet", "quantity": 2, "connector": "8p8c-rugged"}],
    "segments": [
        {
            "name": "lighting", "vlan": 10, "block": "10.0.10.0/24", "addresses_from": "here",
            "ports": [{"position": "case", "port": "1"}],
        },
    ],
    "venue_blocks": ["192.168.0.0/24"],
    "universes": [{"number": 1, "slots": 512, "hz": 44.0}],
    "streams": [{"name": "show", "mbps": 6.0, "from": {"position": "switch", "port": "5"}, "to": None}],
    "internet_up_mbps": 20.0,
    "radio": {"clients": 10, "client_mbps": 5.0, "rate_mbps": 400.0, "basic_rate_mbps": 6.0},
    "lifts": [{"name": "the stairs", "horizontal_cm": 40.0, "origin_cm": 30.0, "travel_cm": 100.0, "people": 2}],
    "transport": "road",
    "configuration": {"mark": "theatre", "saved_at": "2020-04-30T06:00:00+00:00"},
    "controllers": [{"name": "radio software", "positions": ["switch"], "computers": []}],
    "firmware": [{"position": "switch", "version": "4.2"}],
}  # fmt: skip


@pytest.fixture
def kit(gear: Gear) -> dict:
    switch = gear.switch()
    return gear.kit([{"label": "switch", "spec": switch, "unit": gear.unit(switch)}])


def brief_of(gear: Gear, kit: dict, **fields: object) -> dict:
    return gear.patch(f"/kits/{kit['id']}/", {"brief": fields})["brief"]


def checked(gear: Gear, kit: dict) -> list[str]:
    drain()
    return [finding["code"] for finding in gear.get(f"/kits/{kit['id']}/check/")["findings"]]


def test_everything_that_can_be_asked_is_kept_and_shown(gear: Gear, kit: dict):
    shown = brief_of(gear, kit, **EVERYTHING)
    position = kit["positions"][1]["id"]
    assert shown["segments"][0]["ports"] == [{"position": kit["positions"][0]["id"], "label": "case", "port": "1"}]
    assert shown["streams"][0]["from"] == {"position": position, "label": "switch", "port": "5"}
    assert shown["lifts"][0] == EVERYTHING["lifts"][0] | {
        "asymmetry_deg": 0.0, "lifts_per_min": 0.2, "duration_h": 1.0, "coupling": "good",
    }  # fmt: skip
    assert shown["firmware"] == [{"position": position, "label": "switch", "version": "4.2"}]
    same = ("outside", "venue_blocks", "universes", "internet_up_mbps", "radio", "transport", "configuration")
    assert {name: shown[name] for name in same} == {name: EVERYTHING[name] for name in same}
    assembled = read_kits([kit["id"]])[kit["id"]].brief
    assert assembled is not None
    assert brief_from(document_of(assembled)) == assembled
    assert assembled.streams[0].source.position == position


def test_a_brief_comes_with_a_new_kit_and_its_labels(gear: Gear):
    body = {"name": "K", "case": gear.unit(gear.case()), "brief": {"segments": EVERYTHING["segments"]}}
    assert gear.post("/kits/", body)["brief"]["segments"][0]["name"] == "lighting"


def test_a_brief_is_checked_in_the_background(gear: Gear, kit: dict):
    brief_of(gear, kit, outside=[{"carries": "ethernet", "quantity": 9}], lifts=EVERYTHING["lifts"])
    assert "lid-must-open" in checked(gear, kit)
    assert gear.patch(f"/kits/{kit['id']}/", {"brief": None})["brief"] is None
    assert "lid-must-open" not in checked(gear, kit)


def test_a_changed_brief_raises_the_revision(gear: Gear, kit: dict):
    before = Kit.objects.get(pk=kit["id"]).revision
    brief_of(gear, kit, transport="air")
    assert Kit.objects.get(pk=kit["id"]).revision == before + 1


def test_wiring_that_was_changed_later_makes_a_configuration_stale(gear: Gear, kit: dict):
    brief_of(gear, kit, configuration=EVERYTHING["configuration"])
    assert "config-stale" not in checked(gear, kit)
    ends = {"from": {"position": "case", "port": "1 rear"}, "to": {"position": "switch", "port": "5"}}
    link = gear.post(f"/kits/{kit['id']}/links/", ends)
    assert "config-stale" in checked(gear, kit)
    brief_of(gear, kit, configuration=EVERYTHING["configuration"] | {"saved_at": "2100-01-01T00:00:00Z"})
    assert "config-stale" not in checked(gear, kit)
    before = Kit.objects.get(pk=kit["id"]).wired_at
    gear.patch(f"/kits/{kit['id']}/links/{link['id']}/", {"label": "blue"})
    gear.delete(f"/kits/{kit['id']}/links/{link['id']}/")
    assert Kit.objects.get(pk=kit["id"]).wired_at > before


def test_a_version_read_off_a_unit_is_compared(gear: Gear, kit: dict):
    brief_of(gear, kit, firmware=EVERYTHING["firmware"])
    assert "data-missing" in checked(gear, kit)
    unit = kit["positions"][1]["unit"]
    assert gear.patch(f"/units/{unit}/", {"firmware": "4.1"})["firmware"] == "4.1"
    assert "firmware-drift" in checked(gear, kit)
    gear.patch(f"/units/{unit}/", {"firmware": "4.2"})
    assert "firmware-drift" not in checked(gear, kit)


@pytest.mark.parametrize(
    ("brief", "field"),
    [
        ({"segments": [{"name": "x", "ports": [{"position": "nowhere", "port": "1"}]}]}, "brief.segments.0.ports.0"),
        ({"segments": [{"name": "x", "ports": [{"position": "case", "port": "99"}]}]}, "brief.segments.0.ports.0.port"),
        ({"segments": [{"name": "x", "block": "10.0.0.1/24"}]}, "brief.segments.0.block"),
        ({"segments": [{"name": "x", "vlan": 4095}]}, "brief.segments.0.vlan"),
        ({"venue_blocks": ["10.0.0.0"]}, "brief.venue_blocks"),
        ({"outside": [{"carries": "ethernet", "quantity": 1, "connector": "8p9c"}]}, "brief.outside.0.connector"),
        ({"radio": {"clients": 1, "client_mbps": 1, "basic_rate_mbps": 7}}, "brief.radio.basic_rate_mbps"),
        ({"controllers": [{"name": "c", "positions": [], "computers": [987654]}]}, "brief.controllers.0.computers"),
        ({"firmware": [{"position": 987654, "version": "1"}]}, "brief.firmware.0"),
        ({"transport": "pigeon"}, "brief.transport"),
        ({"colour": "red"}, "brief.colour"),
    ],
)
def test_what_cannot_be_asked_is_refused_and_named(gear: Gear, kit: dict, brief: dict, field: str):
    problem = gear.patch(f"/kits/{kit['id']}/", {"brief": brief}, expect=400)
    assert field in [error["field"] for error in problem["errors"]]
    assert gear.get(f"/kits/{kit['id']}/")["brief"] is None


def test_a_position_that_the_brief_names_stays_until_the_brief_lets_it_go(gear: Gear, kit: dict):
    brief_of(gear, kit, firmware=EVERYTHING["firmware"])
    position = kit["positions"][1]["id"]
    for method, path, body in (
        (gear.delete, f"/kits/{kit['id']}/positions/{position}/", None),
        (gear.put, f"/kits/{kit['id']}/contents/", {"positions": [], "links": []}),
    ):
        problem = method(path, *([body] if body is not None else []), expect=409)
        assert problem["positions"] == [position]
        assert "Change the brief first" in problem["detail"]
    gear.patch(f"/kits/{kit['id']}/positions/{position}/", {"label": "switch A"})
    assert gear.get(f"/kits/{kit['id']}/")["brief"]["firmware"][0]["label"] == "switch A"
    brief_of(gear, kit)
    gear.delete(f"/kits/{kit['id']}/positions/{position}/")


def test_a_draft_is_asked_the_same_of_its_own_positions(gear: Gear, kit: dict):
    brief_of(gear, kit, **EVERYTHING)
    draft = gear.post(f"/kits/{kit['id']}/clone/", {})
    (meant,) = draft["brief"]["firmware"]
    assert meant == {"position": draft["positions"][1]["id"], "label": "switch", "version": "4.2"}
    assert draft["brief"]["segments"][0]["ports"][0]["position"] == draft["positions"][0]["id"]


def test_the_document_holds_every_field_of_a_brief():
    full = Brief(
        radio=Radio(clients=1, client_mbps=1), configuration=Configuration(mark="m", saved_at=NOW), transport="air"
    )
    assert brief_from(document_of(full)) == full
    assert brief_from(document_of(replace(full, radio=None))) != full
