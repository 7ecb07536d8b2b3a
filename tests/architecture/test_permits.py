"""Who may do what: each role on each address with each method, against the running router.

The table of permits is checked against one that is written by hand here, from what the roles are: a viewer reads, crew
reports and books, a planner does everything about gear, events and bookings, an owner people and settings.
"""

import pytest

from inventory.base.api.views import ResourceView
from inventory.base.roles import ALL_ROLES, ELECTRICS, PERMITS, ROLES
from tests.architecture.routes import Route, routes
from web.page import Page

OPEN = {
    "api/v1/schema/",
    "api/v1/docs/",
    "health/live/",
    "health/ready/",
    "metrics",
    "begin/<str:key>/",
    "sign-in/",
    "sign-out/",
    "typed/",
    "problems/",
    "problems/<slug:code>",
    "problems/<slug:code>/",
    "docs/",
    "docs/<slug:slug>/",
    "sw.js",
    "offline/",
}
"""Addresses that answer people who are not signed in."""
OPEN_METHODS = {("api/v1/tokens/", "POST")}

BY_A_VIEWER = {"tokens/", "tokens/<slug:token_key>/", "account/", "notices/<row:notice_id>/seen/", "notices/seen/"}
BY_CREW = {
    *("faults/", "units/<row:unit_id>/fault/", "kits/<row:kit_id>/check/"),
    *("findings/<row:finding_id>/accept/", "kits/<row:kit_id>/findings/<row:finding_id>/"),  # what it is about decides
    *("events/<row:event_id>/bookings/", "bookings/", "scans/", "free/"),
    *(
        f"bookings/<row:booking_id>/{verb}"
        for verb in (
            *(
                "",
                "confirm/",
                "loosen/",
                "keep/",
                "challenge/",
                "extend/",
                "swap/",
                "deal-again/",
                "take-back/",
                "follow/",
            ),
            *("choose/", "pin/", "unpin/", "cancel/"),
        )
    ),
}
BY_AN_OWNER = {"users/", "users/<row:user_id>/", "company/", "people/new/", "people/<row:user_id>/", "settings/"}
"""Whose writes need another role than planner. Pages and interface share the rules, so they share the entries."""
SHOWN_TO_PLANNERS = {"components/"}

ROUTES = list(routes())
GUARDED = [
    pytest.param(route, method, id=f"{method} /{route.pattern}")
    for route in ROUTES
    if route.pattern not in OPEN
    for method in sorted(route.handled)
    if (route.pattern, method) not in OPEN_METHODS
]


def least_role(route: Route, method: str) -> str:
    """The hand-written table."""
    place = route.pattern.removeprefix("api/v1/")
    if method == "GET":
        return "viewer"
    for role, places in (("viewer", BY_A_VIEWER), ("crew", BY_CREW), ("owner", BY_AN_OWNER)):
        if place in places:
            return role
    return "planner"


def holders(role: str) -> set[str]:
    """The people of a test who may do what ``role`` is the least for."""
    if role == ELECTRICS:
        return {ELECTRICS}
    known = set(ROLES[ROLES.index(role) :])
    return known | {ELECTRICS} if role in {"viewer", "crew"} else known  # who is electrics here is crew as well


def test_every_address_is_guarded_or_known_to_be_open():
    unguarded = [
        route.pattern
        for route in ROUTES
        if route.pattern not in OPEN
        if not (isinstance(route.view, type) and issubclass(route.view, ResourceView if route.is_interface else Page))
    ]
    assert unguarded == []


@pytest.mark.parametrize("route", [route for route in ROUTES if route.pattern not in OPEN], ids=lambda r: r.pattern)
def test_every_method_has_a_verb_that_the_table_knows(route):
    assert set(route.permits) == route.handled
    assert set(route.permits.values()) <= set(PERMITS)
    assert not getattr(route.view, "open_to_all", False)


def test_every_verb_names_a_role_and_what_it_is_about():
    assert set(PERMITS.values()) <= set(ALL_ROLES)
    assert [verb for verb in PERMITS if verb.count(".") != 1] == []


@pytest.mark.parametrize(("route", "method"), GUARDED)
def test_the_table_asks_for_the_role_that_the_trade_does(route, method):
    expected = {least_role(route, method)}
    if method == "GET" and not route.is_interface:  # a form may be shown to those only who may send it
        expected |= {least_role(route, other) for other in route.handled}
    if route.pattern in SHOWN_TO_PLANNERS:
        expected = {"planner"}
    assert PERMITS[route.permits[method]] in expected


@pytest.mark.django_db
@pytest.mark.parametrize(("route", "method"), GUARDED)
def test_each_role_is_let_in_or_refused_as_the_table_says(route, method, api, client, people):
    may = holders(PERMITS[route.permits[method]])
    for role in (None, *ALL_ROLES):
        status = ask(route, method, role, api, client, people)
        if role is None:
            assert status == (302 if method == "GET" and not route.is_interface else 401)
        elif role in may:
            assert status not in {401, 403}, role
            assert status < 500, role
        else:
            assert status == 403, role


def ask(route, method, role, api, client, people) -> int:
    if route.is_interface:
        arguments = {} if method == "GET" else {"data": {}, "format": "json"}
        answer = getattr(api(role), method.lower())(route.path, **arguments)
        if answer.status_code >= 400:
            assert answer["Content-Type"] == "application/problem+json"
        return answer.status_code
    client.logout()
    if role is not None:
        client.force_login(people[role])
    answer = client.generic(method, route.path)
    if answer.status_code == 302 and role is None:
        assert answer["Location"].startswith("/sign-in/")
    return answer.status_code
