"""Units, tags and places over the interface."""

import pytest
from stdnum.iso7064 import mod_37_36

from tests.inventory.gear import Gear

pytestmark = pytest.mark.django_db


def test_a_tag_is_given_with_a_check_character_of_iso_7064(gear: Gear):
    """ISO/IEC 7064, system MOD 37,36; judged by the library python-stdnum."""
    unit = gear.get(f"/units/{gear.unit(gear.spec())}/")
    assert mod_37_36.is_valid(unit["tag"])
    swapped = unit["tag"][:3] + unit["tag"][4] + unit["tag"][3] + unit["tag"][5:]
    assert swapped == unit["tag"] or not mod_37_36.is_valid(swapped)


def test_twelve_alike_get_twelve_tags(gear: Gear):
    answer = gear.post("/units/", {"spec": gear.spec(), "quantity": 12})
    assert len({unit["tag"] for unit in answer["units"]}) == 12


def test_running_tags_step_over_a_tag_that_is_taken(gear: Gear):
    spec = gear.spec()
    first, second = gear.post("/units/", {"spec": spec, "quantity": 2})["units"]
    number = int(second["tag"][1:-1]) + 1
    body = f"T{number:04d}"
    taken = body + mod_37_36.calc_check_digit(body)
    gear.unit(spec, tag=taken)
    assert gear.get(f"/units/{gear.unit(spec)}/")["tag"] not in {first["tag"], second["tag"], taken}


def test_a_retired_tag_stays_an_alias_for_ever(gear: Gear):
    spec = gear.spec()
    unit = gear.unit(spec, tag="OLD-1")
    gear.patch(f"/units/{unit}/", {"tag": "NEW-1"})
    assert gear.get("/units/?tag=OLD-1")["results"][0]["id"] == unit
    assert gear.get(f"/units/{unit}/")["aliases"] == ["OLD-1"]
    problem = gear.post("/units/", {"spec": spec, "tag": "OLD-1"}, expect=409)
    assert problem["type"] == "/problems/tag-taken"
    assert problem["unit"] == unit


def test_a_unit_can_take_its_own_old_tag_again(gear: Gear):
    unit = gear.unit(gear.spec(), tag="A")
    gear.patch(f"/units/{unit}/", {"tag": "B"})
    again = gear.patch(f"/units/{unit}/", {"tag": "A"})
    assert again["tag"] == "A"
    assert again["aliases"] == ["B"]


def test_a_serial_is_once_a_spec_and_may_be_missing_often(gear: Gear):
    spec, other = gear.spec(), gear.spec()
    gear.unit(spec, serial="S1")
    gear.unit(other, serial="S1")
    gear.units(spec, 2)
    assert gear.post("/units/", {"spec": spec, "serial": "S1"}, expect=409)["type"] == "/problems/already-there"


def test_several_units_cannot_share_a_tag(gear: Gear):
    problem = gear.post("/units/", {"spec": gear.spec(), "quantity": 2, "tag": "A"}, expect=400)
    assert problem["errors"][0]["field"] == "quantity"


@pytest.mark.parametrize(
    "body", [{"spec": 999_999}, {"spec": 2**63}, {"spec": "one"}, {"spec": True}, {"spec": None}, {}]
)
def test_an_unknown_spec_is_refused_by_field(gear: Gear, body: dict):
    problem = gear.post("/units/", body, expect=400)
    assert [error["field"] for error in problem["errors"]] == ["spec"]


def test_a_unit_keeps_its_spec(gear: Gear):
    unit = gear.unit(gear.spec())
    assert gear.patch(f"/units/{unit}/", {"spec": gear.spec()}, expect=400)["errors"][0]["field"] == "spec"


def test_a_pool_period_is_not_reversed(gear: Gear):
    period = {"available_from": "2031-05-02T00:00:00Z", "available_until": "2031-05-01T00:00:00Z"}
    problem = gear.post("/units/", {"spec": gear.spec(), **period}, expect=400)
    assert problem["errors"][0]["field"] == "available_until"


def test_the_state_follows_what_a_person_says(gear: Gear):
    unit = gear.unit(gear.spec())
    assert gear.patch(f"/units/{unit}/", {"state": "held-back"})["state"] == "held-back"
    assert gear.get(f"/downtimes/?unit={unit}")["results"][0]["ends_at"] is None
    assert gear.patch(f"/units/{unit}/", {"state": "in-service"})["state"] == "in-service"
    assert gear.get(f"/downtimes/?unit={unit}")["results"][0]["ends_at"] is not None
    assert gear.patch(f"/units/{unit}/", {"state": "retired"})["state"] == "retired"
    assert gear.patch(f"/units/{unit}/", {"state": "held-back"})["state"] == "held-back"


def test_lists_filter_by_what_is_asked(gear: Gear):
    spec, other = gear.spec(), gear.spec()
    shelf = gear.post("/locations/", {"name": "Shelf 3"})["id"]
    here = gear.unit(spec, location=shelf)
    gear.unit(other)
    kit = gear.kit([{"label": "one", "unit": gear.unit(spec)}])
    assert [unit["id"] for unit in gear.get(f"/units/?location={shelf}")["results"]] == [here]
    assert len(gear.get(f"/units/?spec={spec}")["results"]) == 2
    assert len(gear.get(f"/units/?kit={kit['id']}")["results"]) == 2
    assert gear.get("/units/?state=lost")["results"] == []
    assert gear.get("/units/?search=nowhere")["results"] == []


def test_a_unit_says_which_kit_it_is_in(gear: Gear):
    loose = gear.unit(gear.spec())
    packed = gear.unit(gear.spec())
    kit = gear.kit([{"label": "one", "unit": packed}])
    assert gear.get(f"/units/{loose}/")["kit"] is None
    assert gear.get(f"/units/{packed}/")["kit"] == kit["id"]
    assert gear.get(f"/units/{kit['case']}/")["kit"] == kit["id"]


def test_a_unit_with_a_history_is_not_deleted(gear: Gear):
    unit = gear.unit(gear.spec())
    gear.post("/faults/", {"unit": unit, "what": "other"})
    assert gear.client.delete(f"/api/v1/units/{unit}/").json()["type"] == "/problems/held-by-history"
    fresh = gear.unit(gear.spec())
    assert gear.client.delete(f"/api/v1/units/{fresh}/").status_code == 204
    gear.get(f"/units/{fresh}/", expect=404)


def test_locations_form_a_tree_without_rings(gear: Gear):
    room = gear.post("/locations/", {"name": "Store"})["id"]
    shelf = gear.post("/locations/", {"name": "Shelf", "parent": room})["id"]
    assert gear.patch(f"/locations/{room}/", {"parent": shelf}, expect=400)["errors"][0]["field"] == "parent"
    assert gear.client.delete(f"/api/v1/locations/{room}/").json()["type"] == "/problems/held-by-history"
    assert gear.patch(f"/locations/{shelf}/", {"parent": None})["parent"] is None
    assert gear.client.delete(f"/api/v1/locations/{room}/").status_code == 204
