"""Whatever arrives, the answer is a problem document that says what to do, and never a defect."""

import json

import pytest

from tests.inventory.gear import BASE, Gear

pytestmark = pytest.mark.django_db

DEEP = "[" * 100_000 + "]" * 100_000


def send(gear: Gear, path: str, raw: bytes | str, **headers: str):
    return gear.client.generic("POST", BASE + path, raw, content_type="application/json", headers=headers)


def assert_problem(response, status: int) -> dict:
    assert response.status_code == status, response.content[:500]
    assert response["Content-Type"] == "application/problem+json"
    body = json.loads(response.content)
    assert body["status"] == status
    assert body["type"].startswith("/problems/")
    assert body["title"]
    assert body["detail"]
    return body


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'"text"',
        b"\xff\xfe\x00",
        b'{"name": "\xc3("}',
        b'{"name": NaN}',
        b'{"weight_kg": Infinity}',
        DEEP,
        '{"name": ' + DEEP + "}",
        '{"name": "x", "name": ' * 5,
    ],
)
@pytest.mark.parametrize("path", ["/specs/", "/units/", "/kits/", "/faults/", "/locations/", "/repairs/"])
def test_a_body_that_cannot_be_read(gear: Gear, path: str, raw: bytes | str):
    assert_problem(send(gear, path, raw), 400)


def test_a_body_of_3_mib(gear: Gear):
    body = assert_problem(send(gear, "/specs/", json.dumps({"name": "x" * 3 * 1024 * 1024})), 413)
    assert body["type"] == "/problems/too-large"


def test_a_body_that_is_not_json(gear: Gear):
    response = gear.client.generic("POST", BASE + "/specs/", "name=x", content_type="text/plain")
    assert assert_problem(response, 415)["type"] == "/problems/not-json"


@pytest.mark.parametrize(
    ("path", "body", "field"),
    [
        ("/specs/", {"name": "a\x00b", "kind": "tool"}, "name"),
        ("/specs/", {"name": "\ud800", "kind": "tool"}, "name"),
        ("/specs/", {"name": "", "kind": "tool"}, "name"),
        ("/specs/", {"name": ["x"], "kind": "tool"}, "name"),
        ("/specs/", {"name": {"a": 1}, "kind": "tool"}, "name"),
        ("/specs/", {"name": "x", "kind": "tool", "weight_kg": -1}, "weight_kg"),
        ("/specs/", {"name": "x", "kind": "tool", "weight_kg": 1e300}, "weight_kg"),
        ("/specs/", {"name": "x", "kind": "tool", "weight_kg": True}, "weight_kg"),
        ("/specs/", {"name": "x", "kind": "tool", "prep_minutes": 2**63}, "prep_minutes"),
        ("/specs/", {"name": "x", "kind": "tool", "prep_minutes": 1.5}, "prep_minutes"),
        ("/specs/", {"name": "x", "kind": "tool", "replacement_cost": "1e99"}, "replacement_cost"),
        ("/specs/", {"name": "x", "kind": "tool", "currency": "euro"}, "currency"),
        ("/specs/", {"name": "x", "kind": "tool", "poe": {"budget_w": -65}}, "poe.budget_w"),
        ("/specs/", {"name": "x", "kind": "tool", "poe": {"budget": 65}}, "poe.budget"),
        ("/specs/", {"name": "x", "kind": "tool", "poe": 65}, "poe"),
        ("/specs/", {"name": "x", "kind": "tool", "ports": {}}, "ports"),
        ("/specs/", {"name": "x", "kind": "tool", "provenance": []}, "provenance"),
        ("/specs/", {"name": "x", "kind": "no-such"}, "kind"),
        ("/units/", {"spec": 1, "available_from": "2031-05-01T00:00:00"}, "available_from"),
        ("/units/", {"spec": 1, "available_from": "10000-01-01T00:00:00Z"}, "available_from"),
        ("/units/", {"spec": 1, "available_from": "0001-01-01T00:00:00+14:00"}, "available_from"),
        ("/units/", {"spec": 1, "available_from": 12}, "available_from"),
        ("/units/", {"spec": 1, "quantity": 0}, "quantity"),
        ("/units/", {"spec": 1, "quantity": 10**9}, "quantity"),
        ("/units/", {"spec": 1, "tag": "two words"}, "tag"),
        ("/kits/", {"name": "x", "exposed_retention": "glue"}, "exposed_retention"),
        ("/kits/", {"name": "x", "positions": [{"label": "a"}]}, "positions.0.spec"),
        ("/kits/", {"name": "x", "positions": [{"label": "a", "spec": 0}]}, "positions.0.spec"),
        ("/kits/", {"name": "x", "positions": "all"}, "positions"),
        ("/kits/", {"name": "x", "links": [{"from": 1, "to": 2}]}, "links.0.from"),
    ],
)
def test_a_field_that_cannot_be_used_is_named(gear: Gear, path: str, body: dict, field: str):
    problem = assert_problem(send(gear, path, json.dumps(body)), 400)
    assert field in [error["field"] for error in problem["errors"]]
    for error in problem["errors"]:
        assert error["pointer"].startswith("#")
        assert error["message"]


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("/units/?colour=red", "colour"),
        ("/units/?spec=99999999999999999999", "spec"),
        ("/units/?spec=abc", "spec"),
        ("/units/?spec=1.5", "spec"),
        ("/units/?state=broken", "state"),
        ("/units/?search=%00", "search"),
        ("/units/?ordering=colour", "ordering"),
        ("/units/?cursor=nonsense", "cursor"),
        ("/units/?format=xml", "format"),
        ("/kits/?verdict=clear", "verdict"),
        ("/faults/?open=maybe", "open"),
        ("/users/?active=maybe", "active"),
        ("/kits/1/?x=1", "x"),
        ("/connectors/?page=2", "page"),
    ],
)
def test_a_query_that_cannot_be_used_is_named(gear: Gear, query: str, field: str):
    gear.kit()
    response = gear.client.get(BASE + query.replace("/kits/1/", f"/kits/{gear.kit()['id']}/"))
    problem = assert_problem(response, 400)
    assert [error["field"] for error in problem["errors"]] == [field]


@pytest.mark.parametrize(
    "path",
    ["/kits/99999999999999999999/", "/kits/abc/", "/nowhere/", "/kits/1/nowhere/", "/kits/-1/", "/units/%00/", "/kits"],
)
def test_an_address_that_leads_nowhere(gear: Gear, path: str):
    assert_problem(gear.client.get(BASE + path), 404)


def test_a_method_that_an_address_does_not_take(gear: Gear):
    assert_problem(gear.client.put(BASE + "/kits/", {}, format="json"), 405)


def test_nobody_and_the_wrong_role(gear: Gear, api):
    assert_problem(api().get(BASE + "/kits/"), 401)
    assert_problem(api("viewer").post(BASE + "/kits/", {"name": "K"}, format="json"), 403)


def test_another_form_than_json_is_not_to_be_had(gear: Gear):
    response = gear.client.get(BASE + "/kits/", headers={"Accept": "text/html"})
    assert_problem(response, 406)
