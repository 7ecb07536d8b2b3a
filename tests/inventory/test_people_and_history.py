"""People, the company's settings, history, the change feed, drafts and comparison."""

import pytest
from django.db import IntegrityError, transaction
from rest_framework.test import APIClient

from inventory.base.history import changes_after
from inventory.models import Kit
from tests.inventory.gear import Gear

pytestmark = pytest.mark.django_db

GOOD = "long enough to be a password"


@pytest.fixture
def owner(api) -> Gear:
    return Gear(api("owner"))


def test_the_owner_adds_somebody_who_can_sign_in(owner: Gear):
    person = owner.post(
        "/users/", {"username": "nora", "name": "Nora", "password": GOOD, "roles": ["crew", "electrics"]}
    )
    assert person["roles"] == ["crew", "electrics"]
    answer = APIClient().post("/api/v1/tokens/", {"username": "nora", "password": GOOD}, format="json")
    assert answer.status_code == 201


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"password": "short"}, "password"),
        ({"roles": []}, "roles"),
        ({"roles": ["crew", "planner"]}, "roles"),
        ({"roles": ["electrics"]}, "roles"),
        ({"roles": ["king"]}, "roles.0"),
        ({"username": "two words"}, "username"),
        ({"password": "a\x00b" * 10}, "password"),
    ],
)
def test_a_person_that_cannot_be_is_refused_by_field(owner: Gear, body: dict, field: str):
    good = {"username": "nora", "password": GOOD, "roles": ["crew"]}
    assert field in [error["field"] for error in owner.post("/users/", good | body, expect=400)["errors"]]


def test_a_name_is_taken_whatever_its_capitals(owner: Gear):
    owner.post("/users/", {"username": "nora", "password": GOOD, "roles": ["crew"]})
    problem = owner.post("/users/", {"username": "NORA", "password": GOOD, "roles": ["crew"]}, expect=409)
    assert problem["type"] == "/problems/already-there"


def test_whoever_leaves_loses_the_tokens_and_keeps_the_name(owner: Gear, people, token_api):
    client = token_api("crew")
    assert client.get("/api/v1/me/").status_code == 200
    assert owner.patch(f"/users/{people['crew'].pk}/", {"active": False})["active"] is False
    assert client.get("/api/v1/me/").status_code == 401


def test_somebody_has_to_be_owner(owner: Gear, people):
    problem = owner.patch(f"/users/{people['owner'].pk}/", {"roles": ["crew"]}, expect=409)
    assert problem["type"] == "/problems/last-owner"
    assert owner.get(f"/users/{people['owner'].pk}/")["roles"] == ["owner"]


def test_only_the_owner_changes_people_and_settings(gear: Gear, owner: Gear):
    gear.post("/users/", {"username": "nora", "password": GOOD, "roles": ["owner"]}, expect=403)
    gear.patch("/company/", {"rules": "north_america"}, expect=403)
    assert owner.patch("/company/", {"rules": "north_america"})["rules"] == "north_america"
    assert owner.patch("/company/", {"timezone": "Mars/Olympus"}, expect=400)["errors"][0]["field"] == "timezone"


def test_another_rule_set_checks_every_kit_again(gear: Gear, owner: Gear):
    kit = gear.poe_kit((4,))["id"]
    gear.check(kit)
    owner.patch("/company/", {"rules": "north_america"})
    assert gear.get(f"/kits/{kit}/check/")["state"] == "queued"


def test_history_tells_who_changed_what(gear: Gear, people):
    kit = gear.kit()["id"]
    gear.patch(f"/kits/{kit}/", {"purpose": "choir"})
    lines = gear.get(f"/history/?noun=kit&object={kit}")["results"]
    assert [line["verb"] for line in lines] == ["edit", "create"]
    assert {line["name"] for line in lines} == {"planner"}
    assert lines[0]["details"] == {"fields": ["purpose"]}


def test_the_change_feed_goes_on_where_it_stopped(gear: Gear):
    gear.poe_kit((4, 4))
    version, seen, more = 0, [], True
    while more:
        rows, version, more = changes_after(version, most=5)
        seen += [row.pk for row in rows]
    everything = gear.get("/changes/")
    assert seen == [line["id"] for line in everything["results"]] == sorted(seen)
    assert (everything["more"], everything["version"]) == (False, version)
    assert gear.get(f"/changes/?after={version}")["results"] == []


def test_a_clone_is_a_draft_with_the_same_plan(gear: Gear):
    kit = gear.poe_kit((4, 4, 4))
    draft = gear.post(f"/kits/{kit['id']}/clone/", {"name": "Next year"})
    assert draft["case"] is None
    assert [p["unit"] for p in draft["positions"]] == [None] * len(kit["positions"])
    assert [(p["label"], p["spec"], p["role"]) for p in draft["positions"]] == [
        (p["label"], p["spec"], p["role"]) for p in kit["positions"]
    ]
    ends = [(link["from"]["label"], link["from"]["port"], link["to"]["port"]) for link in draft["links"]]
    assert ends == [(link["from"]["label"], link["from"]["port"], link["to"]["port"]) for link in kit["links"]]


def test_a_clone_says_what_it_began_as_until_that_is_deleted(gear: Gear):
    kit = gear.poe_kit((4,))
    assert kit["drafted_from"] is None
    draft = gear.post(f"/kits/{kit['id']}/clone/", {})
    assert draft["drafted_from"] == kit["id"]
    listed = {row["id"]: row["drafted_from"] for row in gear.get("/kits/")["results"]}
    assert listed == {kit["id"]: None, draft["id"]: kit["id"]}
    answer = gear.client.delete(f"/api/v1/kits/{kit['id']}/", headers={"If-Match": f'"{kit["version"]}"'})
    assert answer.status_code == 204, answer.content
    orphan = gear.get(f"/kits/{draft['id']}/")
    assert orphan["drafted_from"] is None
    assert orphan["version"] > draft["version"]


def test_no_kit_is_a_draft_of_itself(gear: Gear):
    kit = Kit.objects.get(pk=gear.kit()["id"])
    other = gear.kit()["id"]
    Kit.objects.filter(pk=kit.pk).update(drafted_from=other)
    with pytest.raises(IntegrityError, match="inventory_kit_not_drafted_from_itself"), transaction.atomic():
        Kit.objects.filter(pk=kit.pk).update(drafted_from=kit)


def test_two_plans_stand_side_by_side(gear: Gear):
    kit = gear.poe_kit((4, 4, 4))
    draft = gear.post(f"/kits/{kit['id']}/clone/", {})
    gear.client.delete(f"/api/v1/kits/{draft['id']}/links/{draft['links'][2]['id']}/")
    gear.client.delete(f"/api/v1/kits/{draft['id']}/positions/{draft['positions'][4]['id']}/")
    sides = gear.get(f"/kits/compare/?a={kit['id']}&b={draft['id']}")
    assert sides["a"]["verdict"] == "stop"
    assert sides["b"]["verdict"] == "nothing-found"
    assert sides["a"]["weight_kg"] - sides["b"]["weight_kg"] == pytest.approx(1.0)
    assert len(sides["only_a"]) == 1
    assert sides["only_b"] == []
    assert sides["a"]["cost"]["unknown"] == 5
    gear.get(f"/kits/compare/?a={kit['id']}&b=999999", expect=404)
    gear.get(f"/kits/compare/?a={kit['id']}", expect=400)
