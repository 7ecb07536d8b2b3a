"""The whole OpenAPI document, fuzzed: never a defect, every error a problem document, every answer as described."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.service import People

pytestmark = [pytest.mark.django_db, pytest.mark.long(20)]

EXAMPLES = 15
DOCUMENT = Path(__file__).resolve().parents[2] / "config" / "openapi.json"
BASE = "/api/v1"


def operations() -> dict[str, list[tuple[str, str]]]:
    """Return (method, path) of everything that the committed document describes, by resource."""
    by_resource: dict[str, list[tuple[str, str]]] = {}
    for path, methods in json.loads(DOCUMENT.read_text())["paths"].items():
        resource = path.removeprefix(BASE).split("/")[1]
        by_resource.setdefault(resource, []).extend((method, path) for method in methods)
    return {resource: found for resource, found in by_resource.items() if resource != "schema"}


@pytest.fixture
def application() -> Iterator[Any]:
    """The service as a server calls it; like Django's own test client, it keeps the test's connection open."""
    from django.core import signals
    from django.core.wsgi import get_wsgi_application
    from django.db import close_old_connections

    application = get_wsgi_application()
    both = (signals.request_started, signals.request_finished)
    for signal in both:
        signal.disconnect(close_old_connections)
    yield application
    for signal in both:
        signal.connect(close_old_connections)


@pytest.fixture(scope="module")
def ids(django_db_setup, django_db_blocker) -> Iterator[dict[str, int]]:
    """Rows that addresses can hit: the name of a path parameter → an id.

    They are made once: the transaction of each test lies inside this one, so each finds them as they were.
    """
    from django.test import TestCase
    from rest_framework.test import APIClient

    with django_db_blocker.unblock():
        atomics = TestCase._enter_atomics()
        planner = APIClient()
        planner.force_authenticate(user=People()["planner"])
        yield rows(planner)
        TestCase._rollback_atomics(atomics)


def rows(planner: Any) -> dict[str, int]:
    from tests.inventory.gear import Gear

    gear = Gear(planner)
    kit = gear.poe_kit((4, 4, 4))
    check = gear.check(kit["id"])
    times = {"gear_out_at": "2031-05-01T06:00:00Z", "gear_back_at": "2031-05-02T06:00:00Z"}
    event = gear.post("/events/", {"name": "E", **times})
    booking = gear.post("/bookings/", {"event": event["id"], "kit": kit["id"]})
    unit = kit["positions"][2]["unit"]
    return {
        "kit_id": kit["id"],
        "position_id": kit["positions"][1]["id"],
        "link_id": kit["links"][0]["id"],
        "spec_id": kit["positions"][1]["spec"],
        "unit_id": unit,
        "finding_id": check["findings"][0]["id"],
        "location_id": gear.post("/locations/", {"name": "Shelf"})["id"],
        "fault_id": gear.post("/faults/", {"unit": unit, "what": "other"})["id"],
        "repair_id": gear.post("/repairs/", {"unit": unit, "faults": []})["id"],
        "downtime_id": gear.post("/downtimes/", {"unit": unit, "starts_at": "2031-05-05T00:00:00Z"})["id"],
        "inspection_id": gear.post("/inspections/", {"unit": unit, "passed": True})["id"],
        "venue_id": gear.post("/venues/", {"name": "Hall", "timezone": "Europe/Zurich"})["id"],
        "event_id": event["id"],
        "booking_id": booking["id"],
    }


@pytest.fixture(scope="module")
def described() -> Any:
    """The document as it is read; reading it looks for constants in the whole code."""
    import schemathesis

    return schemathesis.openapi.from_dict(json.loads(DOCUMENT.read_text()))


@pytest.mark.parametrize("resource", sorted(operations()))
def test_no_call_breaks_and_every_error_is_a_problem(
    resource: str, people: People, ids: dict[str, int], described: Any, application: Any
):
    from knox.models import AuthToken

    described.app = application
    headers = {"Authorization": f"Token {AuthToken.objects.create(user=people['owner'])[1]}"}
    for method, path in operations()[resource]:
        fuzz(described[path][method], ids, headers)


def fuzz(operation: Any, ids: dict[str, int], headers: dict[str, str]) -> None:
    """Send what the document allows to one operation, and hold the answers against the document."""
    from hypothesis import HealthCheck, Phase, given, settings
    from schemathesis.checks import not_a_server_error
    from schemathesis.specs.openapi.checks import response_schema_conformance

    @given(case=operation.as_strategy())
    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def holds(case: Any) -> None:
        case.path_parameters = hit(case.path_parameters, ids)
        response = case.call(headers=headers)
        case.validate_response(response, checks=[not_a_server_error, response_schema_conformance])
        if response.status_code >= 400:
            assert response.headers["content-type"] == ["application/problem+json"]
            body = json.loads(response.content)
            assert body["status"] == response.status_code
            assert body["type"].startswith("/problems/")

    holds()


def hit(drawn: dict[str, Any] | None, ids: dict[str, int]) -> dict[str, Any]:
    """Return the address with most of its ids replaced by such as exist; every fourth stays as it was drawn."""
    parameters = dict(drawn or {})
    if sum(len(str(value)) for value in parameters.values()) % 4:
        parameters |= {name: ids[name] for name in parameters if name in ids}
    return parameters
