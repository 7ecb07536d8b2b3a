"""Kits, positions and links over the interface."""

import pytest

from inventory.models import Kit, Link, Position
from tests.inventory.gear import Gear

pytestmark = pytest.mark.django_db


def link(a: str, port_a: str, b: str, port_b: str, **more: object) -> dict:
    return {"from": {"position": a, "port": port_a}, "to": {"position": b, "port": port_b}, **more}


def test_a_whole_kit_comes_in_one_body(gear: Gear):
    switch = gear.switch()
    unit = gear.unit(switch)
    kit = gear.kit([{"label": "switch A", "spec": switch, "unit": unit}], [link("case", "1 rear", "switch A", "5")])
    assert [position["label"] for position in kit["positions"]] == ["case", "switch A"]
    assert kit["positions"][1]["role"] == "required"
    ends = kit["links"][0]
    assert ends["from"] == {"position": kit["positions"][0]["id"], "label": "case", "port": "1 rear"}
    assert ends["to"]["label"] == "switch A"


def test_the_whole_kit_or_nothing(gear: Gear):
    switch = gear.switch()
    body = {
        "name": "K",
        "case": gear.unit(gear.case()),
        "positions": [{"label": "switch A", "spec": switch}],
        "links": [link("case", "1 rear", "switch A", "no such hole")],
    }
    problem = gear.post("/kits/", body, expect=400)
    assert problem["errors"][0]["field"] == "links.0.to.port"
    assert not Kit.objects.exists()
    assert not Position.objects.exists()


def test_a_kit_without_a_case_is_a_draft_and_takes_one_later(gear: Gear):
    draft = gear.kit([{"label": "case", "spec": gear.case()}], case=None)
    assert draft["case"] is None
    case = gear.unit(draft["positions"][0]["spec"])
    assert gear.patch(f"/kits/{draft['id']}/", {"case": case})["case"] == case
    assert gear.patch(f"/kits/{draft['id']}/", {"case": None})["case"] is None


def test_a_unit_lies_in_one_place(gear: Gear):
    unit = gear.unit(gear.spec())
    first = gear.kit([{"label": "one", "unit": unit}])
    second = gear.kit()
    problem = gear.post(f"/kits/{second['id']}/positions/", {"label": "one", "unit": unit}, expect=409)
    assert problem["type"] == "/problems/unit-taken"
    assert problem["kit"] == first["id"]


def test_a_unit_twice_in_one_body_is_refused(gear: Gear):
    unit = gear.unit(gear.spec())
    body = {"name": "K", "positions": [{"label": "a", "unit": unit}, {"label": "b", "unit": unit}]}
    assert gear.post("/kits/", body, expect=409)["type"] == "/problems/unit-taken"


def test_a_case_is_of_one_kit(gear: Gear):
    kit = gear.kit()
    problem = gear.post("/kits/", {"name": "K", "case": kit["case"]}, expect=409)
    assert problem["type"] == "/problems/case-taken"


def test_a_lost_unit_is_not_packed(gear: Gear):
    unit = gear.unit(gear.spec(), state="lost")
    kit = gear.kit()
    problem = gear.post(f"/kits/{kit['id']}/positions/", {"label": "one", "unit": unit}, expect=409)
    assert problem["type"] == "/problems/unit-not-usable"


def test_a_kit_does_not_lie_in_itself(gear: Gear):
    outer, inner, innermost = gear.kit(), gear.kit(), gear.kit()
    gear.post(f"/kits/{outer['id']}/positions/", {"label": "inner", "unit": inner["case"]})
    gear.post(f"/kits/{inner['id']}/positions/", {"label": "innermost", "unit": innermost["case"]})
    for kit in (outer, inner, innermost):
        body = {"label": "ring", "unit": outer["case"]}
        problem = gear.post(f"/kits/{kit['id']}/positions/", body, expect=409)
        assert problem["type"] == "/problems/kit-in-itself"
    assert Position.objects.filter(label="ring").count() == 0


def test_two_positions_swap_their_units_in_one_body(gear: Gear):
    spec = gear.spec()
    one, two = gear.units(spec, 2)
    kit = gear.kit([{"label": "a", "spec": spec, "unit": one}, {"label": "b", "spec": spec, "unit": two}])
    swapped = [{"label": "a", "spec": spec, "unit": two}, {"label": "b", "spec": spec, "unit": one}]
    response = gear.client.put(f"/api/v1/kits/{kit['id']}/contents/", {"positions": swapped}, format="json")
    assert response.status_code == 200, response.content
    packed = {position["label"]: position["unit"] for position in response.json()["positions"]}
    assert (packed["a"], packed["b"]) == (two, one)


def test_replacing_contents_keeps_the_case_and_the_ids_of_labels_that_stay(gear: Gear):
    kit = gear.poe_kit((4,))
    kept = {position["label"]: position["id"] for position in kit["positions"]}
    switch = kit["positions"][1]
    body = {"positions": [{"label": "switch A", "spec": switch["spec"], "unit": switch["unit"]}]}
    after = gear.client.put(f"/api/v1/kits/{kit['id']}/contents/", body, format="json").json()
    assert {position["label"]: position["id"] for position in after["positions"]} == {
        "case": kept["case"], "switch A": kept["switch A"],
    }  # fmt: skip
    assert after["links"] == []
    assert after["case"] == kit["case"]


def test_a_port_carries_one_link(gear: Gear):
    kit = gear.poe_kit((4, 4))
    problem = gear.post(f"/kits/{kit['id']}/links/", link("case", "1 rear", "switch A", "1"), expect=409)
    assert problem["type"] == "/problems/port-taken"
    assert problem["link"] == kit["links"][0]["id"]
    gear.post(f"/kits/{kit['id']}/links/", link("case", "1 rear", "switch A", "3"))


def test_a_position_is_named_by_id_or_label(gear: Gear):
    kit = gear.poe_kit((4,))
    case, switch = kit["positions"][0]["id"], kit["positions"][1]["id"]
    body = {"from": {"position": case, "port": "1 rear"}, "to": {"position": switch, "port": "8"}}
    assert gear.post(f"/kits/{kit['id']}/links/", body)["to"]["label"] == "switch A"


@pytest.mark.parametrize(
    ("body", "field"),
    [
        (link("case", "1 rear", "case", "1 rear"), "to"),
        (link("nowhere", "1", "switch A", "5"), "from.position"),
        (link("case", "1 rear", "switch A", "99"), "to.port"),
        (link("case", "1 rear", "switch A", "5", cable="nowhere"), "cable"),
        (link("case", "1 rear", "switch A", "5", cable="case"), "cable"),
        (link("case", "1 rear", "switch A", "5", cable_spec=999_999), "cable_spec"),
        (link("case", "1 rear", "switch A", "5", gauge=1), "gauge"),
        ({"from": {"position": "case", "port": "1 rear"}}, "to"),
        (link("case", "1 rear", True, "5"), "to.position"),
        (link("case", "1 rear", 2**63, "5"), "to.position"),
    ],
)
def test_a_link_that_cannot_be_is_refused_by_field(gear: Gear, body: dict, field: str):
    kit = gear.poe_kit((4,))
    before = Link.objects.count()
    problem = gear.post(f"/kits/{kit['id']}/links/", body, expect=400)
    assert [error["field"] for error in problem["errors"]] == [field]
    assert Link.objects.count() == before


def test_a_link_is_moved_and_taken_away_under_its_id(gear: Gear):
    kit = gear.poe_kit((4,))
    path = f"/kits/{kit['id']}/links/{kit['links'][0]['id']}/"
    moved = gear.patch(path, {"to": {"position": "switch A", "port": "4"}, "colour": "red"})
    assert moved["id"] == kit["links"][0]["id"]
    assert moved["to"]["port"] == "4"
    assert moved["from"] == kit["links"][0]["from"]
    assert gear.client.delete("/api/v1" + path).status_code == 204
    gear.get(path, expect=404)


def test_moving_a_link_to_a_taken_port_leaves_it_where_it_was(gear: Gear):
    kit = gear.poe_kit((4, 4))
    path = f"/kits/{kit['id']}/links/{kit['links'][0]['id']}/"
    problem = gear.patch(path, {"to": {"position": "switch A", "port": "2"}}, expect=409)
    assert problem["type"] == "/problems/port-taken"
    assert gear.get(path)["to"]["port"] == "1"


def test_a_position_with_links_is_not_removed(gear: Gear):
    kit = gear.poe_kit((4,))
    camera = kit["positions"][2]
    path = f"/api/v1/kits/{kit['id']}/positions/{camera['id']}/"
    problem = gear.client.delete(path).json()
    assert problem["type"] == "/problems/held-by-history"
    assert problem["links"] == [kit["links"][0]["id"]]
    gear.client.delete(f"/api/v1/kits/{kit['id']}/links/{kit['links'][0]['id']}/")
    assert gear.client.delete(path).status_code == 204
    assert gear.get(f"/units/{camera['unit']}/")["kit"] is None


def test_packing_and_taking_out_is_one_field(gear: Gear):
    spec = gear.spec()
    kit = gear.kit([{"label": "one", "spec": spec}])
    path = f"/kits/{kit['id']}/positions/{kit['positions'][1]['id']}/"
    unit = gear.unit(spec)
    assert gear.patch(path, {"unit": unit})["tag"] is not None
    assert gear.patch(path, {"unit": None})["unit"] is None
    assert gear.patch(path, {"label": "first"})["label"] == "first"


def test_accepted_stand_ins_stay_until_somebody_names_others(gear: Gear):
    spec, other = gear.spec(), gear.spec()
    kit = gear.kit([{"label": "one", "spec": spec, "accepts": [other]}])
    path = f"/kits/{kit['id']}/positions/{kit['positions'][1]['id']}/"
    assert gear.patch(path, {"unit": gear.unit(other)})["accepts"] == [other]
    assert gear.patch(path, {"accepts": []})["accepts"] == []


def test_a_child_of_another_kit_is_not_found_here(gear: Gear):
    kit, other = gear.poe_kit((4,)), gear.kit()
    for path in (f"positions/{kit['positions'][1]['id']}/", f"links/{kit['links'][0]['id']}/"):
        foreign = f"/api/v1/kits/{other['id']}/{path}"
        for answer in (
            gear.client.get(foreign),
            gear.client.patch(foreign, {}, format="json"),
            gear.client.delete(foreign),
        ):
            assert answer.status_code == 404
            assert answer["Content-Type"] == "application/problem+json"


def test_a_removed_kit_leaves_its_units_loose(gear: Gear):
    kit = gear.poe_kit((4,))
    assert gear.client.delete(f"/api/v1/kits/{kit['id']}/").status_code == 204
    assert gear.get(f"/units/{kit['case']}/")["kit"] is None
