"""What each page asks of the database: as much for thirty rows of everything as for three, eleven statements at most.

Two of them say who is looking: the session, the person with the roles. Nothing is remembered from one page to the next.
"""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from inventory.base.changes import change
from inventory.services.kits import edit_kit
from scheduling.models import Event
from tests.architecture.routes import routes
from tests.web.busy import Things, break_check, company, due_now
from tests.web.company import stage_case
from tests.web.shows import booked, show
from web.page import Page

pytestmark = pytest.mark.django_db

MOST = 11
PAGES = {
    "/": 9,
    "/find/": 2,
    "/find/?q=lamp": 9,
    "/find/?q=T9999A": 7,
    "/kits/": 4,
    "/kits/?q=lamp": 4,
    "/kits/compare/": 3,
    "/kits/compare/?a={kit_id}&b={other}": 10,
    "/kits/new/": 2,
    "/kits/{kit_id}/": 11,
    "/kits/{kit_id}/draft/": 3,
    "/kits/{kit_id}/edit/": 5,
    "/kits/{kit_id}/use/": 5,
    "/kits/{draft_id}/adopt/": 4,
    "/kits/?retired": 3,
    "/kits/{kit_id}/brief/": 9,
    "/kits/{kit_id}/lid/": 2,
    "/kits/{kit_id}/wiring/": 9,
    "/kits/{kit_id}/findings/{finding_id}/": 5,
    "/kits/{kit_id}/positions/new/": 5,
    "/kits/{kit_id}/positions/{position_id}/": 9,
    "/kits/{kit_id}/positions/{position_id}/type/": 9,
    "/kits/{kit_id}/links/new/": 9,
    "/kits/{kit_id}/links/": 9,
    "/kits/{kit_id}/links/{link_id}/": 9,
    "/kits/{kit_id}/links/{link_id}/remove/": 8,
    "/measuring/": 3,
    "/specs/": 4,
    "/specs/new/": 2,
    "/specs/{spec_id}/": 6,
    "/specs/{spec_id}/edit/": 5,
    "/specs/{spec_id}/numbers/weight_kg/": 5,
    "/specs/{spec_id}/ports/": 5,
    "/specs/{spec_id}/ports/1/": 5,
    "/specs/{spec_id}/ports/named/?name=1": 4,
    "/units/new/": 5,
    "/units/{unit_id}/": 9,
    "/units/{unit_id}/edit/": 7,
    "/units/{unit_id}/state/": 7,
    "/units/{unit_id}/work/": 6,
    "/units/{unit_id}/back/": 6,
    "/units/{lamp_id}/back/": 6,
    "/units/{unit_id}/test/": 4,
    "/units/{unit_id}/fault/": 5,
    "/bench/": 8,
    "/bench/flag/": 2,
    "/bench/flag/?tag=T9999A": 4,
    "/faults/{fault_id}/": 11,
    "/faults/{hurting_id}/": 11,
    "/events/new/": 3,
    "/events/": 4,
    "/events/{event_id}/": 11,
    "/events/{event_id}/short/": 7,
    "/events/{event_id}/edit/": 6,
    "/events/{event_id}/confirm/": 4,
    "/events/{event_id}/close/": 4,
    "/events/{event_id}/cancel/": 4,
    "/events/{event_id}/bookings/": 4,
    "/bookings/{booking_id}/confirm/": 7,
    "/bookings/{pencil_id}/confirm/": 8,
    "/bookings/{booking_id}/": 6,
    "/bookings/{pencil_id}/keep/": 8,
    "/bookings/{pencil_id}/challenge/": 8,
    "/bookings/{pencil_id}/rank/": 8,
    "/bookings/{booking_id}/follow/": 7,
    "/bookings/{booking_id}/loosen/": 7,
    "/bookings/{booking_id}/swap/": 8,
    "/events/{event_id}/copy/": 3,
    "/bookings/{booking_id}/extend/": 7,
    "/bookings/{booking_id}/cancel/": 7,
    "/bookings/{booking_id}/stand-in/": 5,
    "/venues/": 4,
    "/venues/new/": 2,
    "/venues/{venue_id}/": 4,
    "/venues/{venue_id}/edit/": 5,
    "/venues/{venue_id}/circuits/new/": 5,
    "/venues/{venue_id}/circuits/{circuit_id}/": 5,
    "/venues/{venue_id}/circuits/{circuit_id}/remove/": 5,
    "/free/": 10,
    "/free/?{events}": 10,
    "/free/?{events}&show=specs": 8,
    "/free/?{events}&open=k{kit_id}-0": 11,
    "/free/?{events}&open=k{contested}-0": 11,
    "/free/?{events}&show=specs&open=s{dealt}-0": 9,
    "/time/": 7,
    "/time/?zoom=quarter": 7,
    "/people/": 4,
    "/people/new/": 2,
    "/people/{user_id}/": 5,
    "/settings/": 4,
    "/account/": 3,
    "/sign-in/": 2,
    "/problems/": 2,
    "/problems/stale": 2,
    "/problems/stale/": 2,
    "/components/": 2,
    "/docs/": 2,
    "/docs/findings/": 2,
}
"""Address → statements, for an owner, who is shown the most."""
PARTS = {
    "/find/?q=lamp": 9,
    "/kits/{kit_id}/lid/": 11,
    "/kits/{kit_id}/wiring/": 9,
    "/kits/{kit_id}/positions/{position_id}/": 9,
    "/kits/{kit_id}/positions/{position_id}/?leave": 10,
    "/events/{event_id}/short/": 7,
    "/free/?{events}&show=specs": 8,
    "/free/?{events}&open=k{kit_id}-0": 11,
    "/free/?{events}&open=k{contested}-0": 10,
    "/free/?{events}&show=specs&open=s{dealt}-0": 9,
}
"""The same for what a script asks for by itself."""
HTMX = {"HTTP_HX_REQUEST": "true"}


def statements(client: Client, address: str, **headers: str) -> int:
    """Return what an answer costs whoever is the first to ask for it."""
    with CaptureQueriesContext(connection) as asked:
        answer = client.get(address, **headers)
    assert answer.status_code < 400, address
    return len(asked)


BEFORE_ANYBODY = "begin/<str:key>/"
"""The only page that a company with people does not have; ``test_begin`` looks at it."""


def test_every_page_is_counted() -> None:
    pages = {route.pattern for route in routes() if isinstance(route.view, type) and issubclass(route.view, Page)
             and "GET" in route.handled} - {BEFORE_ANYBODY}  # fmt: skip
    counted = "\n".join(address.partition("?")[0] for address in PAGES)
    ways = {page: "/" + re.sub(r"<[^>]+>", r"[^/\\n]+", page) for page in pages}
    assert [page for page, way in ways.items() if not re.search(f"^{way}$", counted, re.MULTILINE)] == []
    assert [address for address, cost in (PAGES | PARTS).items() if cost > MOST] == []


@pytest.mark.parametrize("number", [3, 30])
def test_a_page_costs_what_is_said(reader, people, number: int) -> None:
    things: Things = company(number, people)
    events = Event.objects.order_by("pk").values_list("pk", flat=True)[:3]
    things["events"] = "&".join(f"event={event}" for event in events)
    somebody = reader("owner")
    found = {address: statements(somebody, address.format(**things)) for address in PAGES}
    parts = {address: statements(somebody, address.format(**things), **HTMX) for address in PARTS}
    assert found == PAGES
    assert parts == PARTS


@pytest.mark.parametrize("state", ["done", "queued", "never", "failed"])
def test_a_kit_costs_no_more_in_any_state_of_its_check(reader, state: str) -> None:
    gear = stage_case()
    for name in ("one", "two"):
        booked(show(name, out=3, back=4), kit=gear.kit)
    if state != "never":
        due_now(gear.kit)
    if state == "queued":
        with change(actor_id=None, request_id="touch") as c:
            edit_kit(c, gear.kit, fields={"purpose": "stage right"})
    if state == "failed":
        break_check(gear.kit)
    somebody = reader("owner")
    assert somebody.get(f"/api/v1/kits/{gear.kit}/check/").json()["state"] == (state if state != "never" else "queued")
    assert statements(somebody, f"/kits/{gear.kit}/") <= MOST
    assert statements(somebody, f"/kits/{gear.kit}/lid/", **HTMX) <= MOST


def test_hours_before_anything_is_planned_cost_no_more(reader) -> None:
    kit = stage_case().kit
    address = f"/free/?window=2031-05-05T00:00Z/2031-05-06T00:00Z&open=k{kit}-0"
    assert statements(reader("owner"), address) == 10
    assert statements(reader("owner"), f"{address}&q=nothing") <= MOST
