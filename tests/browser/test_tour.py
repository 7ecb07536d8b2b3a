"""Every page of the demo company: who can use it, and what it weighs."""

import gzip
from functools import cache
from urllib.parse import urlsplit

import pytest
from django.contrib.staticfiles import finders
from django.urls import Resolver404, URLPattern, URLResolver, resolve
from playwright.sync_api import Page

from fixtures import demo
from fixtures import people as staff
from inventory.base.changes import change
from inventory.base.models import User
from inventory.base.people import reset_passwords
from inventory.checks.drain import drain
from tests.browser.axe import misfits, violations
from tests.browser.conftest import Visit
from tests.browser.tour import Stop, tour
from tests.browser.walk import go
from tests.service import PASSWORD
from web.urls import urlpatterns

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True), pytest.mark.long(50)]

PARTS = 2
"""The tour is gone in parts, so that two workers share it."""
FIRST_LOAD, AFTER = 150_000, 40_000
"""What a page weighs at most, as it is sent, with an empty cache and with the files that every page shares. [bytes]
The limits are the project's own."""


@pytest.fixture
def company(live_server, people) -> list[Stop]:
    demo.tell()
    drain()
    with change(actor_id=None, request_id="tour") as c:
        reset_passwords(c, usernames=staff.LOGINS, password=PASSWORD)
    people.update({user.username: user for user in User.objects.all()})
    return tour()


@pytest.mark.parametrize("part", range(PARTS))
def test_every_page_can_be_used_by_everybody_and_weighs_little(visit: Visit, company: list[Stop], part: int) -> None:
    """WCAG 2.0 to 2.2, A and AA, and best practice, as axe-core finds them; 44 px for a thumb; 150 KB, then 40 KB."""
    assert set(routes(urlpatterns)) - {route_of(stop) for stop in company} == SENT_ONLY
    whole = sorted((stop for stop in company if not stop.wrap), key=lambda stop: stop.alike)
    stops = whole[part::PARTS]
    wrong: list[str] = []
    for who in dict.fromkeys(stop.who for stop in stops):
        page = visit(who or None)
        for stop in stops:
            if stop.who == who:
                found = [*reached(page, stop), *(misfits if stop.alike else violations)(page), *too_heavy(page)]
                wrong += [f"{stop.name}, {stop.address}: {each}" for each in found]
    assert not wrong, "\n".join(wrong)


def reached(page: Page, stop: Stop) -> list[str]:
    status = go(page, stop)
    return [] if status == stop.status else [f"answered {status}, not {stop.status}"]


def too_heavy(page: Page) -> list[str]:
    asked: list[tuple[str, int]] = page.evaluate(
        "performance.getEntries().filter(each => each.encodedBodySize).map(each => [each.name, each.encodedBodySize])"
    )
    own = sum(size for url, size in asked if "/static/" not in url)
    shared = sum(file_weight(urlsplit(url).path) for url in {url for url, _ in asked} if "/static/" in url)
    assert own
    assert shared
    heavy = [f"{own} bytes with the shared files there"] if own > AFTER else []
    return [*heavy, f"{own + shared} bytes at first"] if own + shared > FIRST_LOAD else heavy


@cache
def file_weight(path: str) -> int:
    """Return what a shared file weighs as the service sends it: compressed, where that makes it smaller. [bytes]"""
    found = finders.find(path.removeprefix("/static/"))
    assert isinstance(found, str)
    with open(found, "rb") as file:
        content = file.read()
    return min(len(content), len(gzip.compress(content)))


def route_of(stop: Stop) -> str | None:
    try:
        return resolve(stop.address.partition("?")[0]).route
    except Resolver404:
        return None


SENT_ONLY = {
    "sign-out/",  # a button, and then the page to sign in
    "begin/<str:key>/",  # before there is anybody; test_first_use goes there
    "notices/seen/",  # a button of the first page
    "faults/<row:fault_id>/move/",  # a button of the fault
    "specs/<row:spec_id>/ports/named/",  # leads to the port
    "typed/",  # leads back to what was typed
    "kits/<row:kit_id>/check/",  # a button, and then the kit
    "problems/<slug:code>/",  # the same as without a stroke
}


def routes(patterns: list[URLPattern | URLResolver]) -> list[str]:
    found = []
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            found += routes(pattern.url_patterns)
        else:
            found.append(str(pattern.pattern))
    return found
