"""What holds for every page: the policy, who is let in, what a refusal looks like."""

import re
from html.parser import HTMLParser

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver

from inventory.base.errors import BusyError
from inventory.base.problems import problem_types
from inventory.base.roles import PERMITS
from tests.web.reading import text
from web.middleware import RefusedMiddleware
from web.page import Page
from web.urls import urlpatterns

pytestmark = pytest.mark.django_db


def pages(patterns: list[URLPattern | URLResolver] = urlpatterns) -> list[type[Page]]:
    found = []
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            found += pages(pattern.url_patterns)
        else:
            found.append(getattr(pattern.callback, "view_class", None))
    return found


def test_every_page_names_a_permit_for_every_method_it_takes() -> None:
    for view in pages():
        assert issubclass(view, Page)
        methods = {name.upper() for name in ("get", "post") if hasattr(view, name)}
        if not view.open_to_all:
            assert set(view.permits) == methods, view
            assert set(view.permits.values()) <= set(PERMITS), view


def test_the_policy_stands_on_pages_and_on_the_interface(reader) -> None:
    for address in ("/sign-in/", "/problems/", "/docs/", "/nowhere/", "/api/v1/kits/", "/api/v1/nowhere/"):
        policy = reader().get(address).headers["Content-Security-Policy"]
        assert "default-src 'self'" in policy
        assert "unsafe" not in policy


class Sources(HTMLParser):
    """Collects what a page would ask for, and what a strict policy would stop."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: list[str] = []
        self.inline: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        for name in ("src", "href", "action", "srcset", "poster"):
            if given.get(name) and tag != "a":
                self.asked.append(str(given[name]))
        if tag == "style" or "style" in given or (tag == "script" and "src" not in given):
            self.inline.append(self.get_starttag_text() or tag)
        self.inline += [name for name in given if name.startswith(("on", "hx-on"))]


def test_pages_ask_no_other_host_and_hold_no_inline_script_or_style(reader) -> None:
    for address in ("/sign-in/", "/problems/", "/problems/stale", "/docs/", "/docs/findings/", "/nowhere/"):
        read = Sources()
        read.feed(text(reader().get(address)))
        assert read.asked
        assert [each for each in read.asked if not re.match(r"/(?!/)|#", each)] == []
        assert read.inline == []


def test_nobody_is_sent_to_sign_in_and_comes_back_to_where_they_wanted(reader, people) -> None:
    people["viewer"]
    somebody = reader()
    answer = somebody.get("/components/?x=1")
    assert (answer.status_code, answer["Location"]) == (302, "/sign-in/?next=%2Fcomponents%2F%3Fx%3D1")


@pytest.mark.parametrize(
    "address", ["//evil.example/", "https://evil.example/", "/\\evil.example", "javascript:alert(1)"]
)
def test_signing_in_leads_nowhere_else(reader, people, address: str) -> None:
    people["viewer"]
    form = {"username": "viewer", "password": "a long enough password", "next": address}
    answer = reader().post("/sign-in/", form)
    assert (answer.status_code, answer["Location"]) == (303, "/")


def test_a_wrong_password_is_said_and_the_name_stays(reader, people) -> None:
    people["viewer"]
    answer = reader().post("/sign-in/", {"username": "viewer", "password": "wrong", "next": "/docs/"})
    assert answer.status_code == 401
    assert "The name or the password is not right." in text(answer)
    assert 'value="viewer"' in text(answer)
    assert 'name="next" value="/docs/"' in text(answer)


def test_signing_in_too_often_has_to_wait(reader, people, settings) -> None:
    settings.LIMITS = settings.LIMITS | {"logins_per_minute": 2}
    people["viewer"]
    form = {"username": "viewer", "password": "wrong"}
    answers = [reader().post("/sign-in/", form) for _ in range(3)]
    assert [answer.status_code for answer in answers] == [401, 401, 429]
    assert int(answers[2]["Retry-After"]) >= 1


def test_signing_out_takes_a_form(reader) -> None:
    somebody = reader("viewer")
    assert somebody.get("/sign-out/").status_code == 405
    assert somebody.post("/sign-out/")["Location"] == "/sign-in/"
    assert "_auth_user_id" not in somebody.session


def test_what_is_not_there_is_a_page_outside_the_interface(reader) -> None:
    page = reader().get("/nowhere/")
    assert (page.status_code, page["Content-Type"]) == (404, "text/html; charset=utf-8")
    program = reader().get("/api/v1/nowhere/")
    assert (program.status_code, program["Content-Type"]) == (404, "application/problem+json")


def test_a_form_with_an_old_mark_can_be_gone_back_to(people) -> None:
    people["viewer"]
    somebody = Client(enforce_csrf_checks=True)
    somebody.force_login(people["viewer"])
    answer = somebody.post("/components/", {"label": 'a "quoted" <label>'})
    assert answer.status_code == 403
    assert "Back to the form" in text(answer)
    sealed = re.search(r'name="kept" value="([^"]+)"', text(answer))
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', text(answer))
    back = somebody.post("/typed/", {"kept": sealed[1], "csrfmiddlewaretoken": token[1]})
    assert (back.status_code, back["Location"]) == (303, "/components/")
    assert somebody.session["typed"]["values"] == "label=a+%22quoted%22+%3Clabel%3E"


def test_a_defect_is_a_page_that_asks_nothing_of_the_database(rf, django_assert_num_queries) -> None:
    from config.problems import server_error

    request = rf.get("/kits/")
    request.META["X_REQUEST_ID"] = "abc123"
    with django_assert_num_queries(0):
        answer = server_error(request)
    assert answer.status_code == 500
    assert "abc123" in text(answer)


def test_every_type_of_problem_has_its_page(reader) -> None:
    for kind in problem_types():
        page = reader().get(f"/problems/{kind.code}")
        assert page.status_code == 200
        assert kind.title in text(page).replace("&#x27;", "'")
    assert reader().get("/problems/no-such-thing").status_code == 404


def test_every_theme_has_its_page(reader) -> None:
    index = text(reader().get("/docs/"))
    slugs = re.findall(r'href="/docs/([a-z-]+)/"', index)
    assert len(slugs) >= 4
    for slug in slugs:
        assert reader().get(f"/docs/{slug}/").status_code == 200


def test_the_table_of_checks_is_the_register(reader) -> None:
    from calc.checks import CHECKS

    page = text(reader().get("/docs/checks/"))
    assert [code for code in CHECKS if f'id="{code}"' not in page] == []


def test_the_pages_of_the_interface_hold_no_inline_script(reader) -> None:
    page = text(reader().get("/api/v1/docs/"))
    assert re.findall(r"<script(?![^>]*src)", page) == []


def test_a_refusal_that_no_form_takes_up_is_a_page_that_says_what_to_do(rf) -> None:
    middleware = RefusedMiddleware(lambda request: HttpResponse())
    request = rf.post("/kits/1/check/")
    answer = middleware.process_exception(request, BusyError("Somebody has been writing for five seconds."))
    assert answer is not None
    assert (answer.status_code, answer["Retry-After"]) == (503, "2")
    page = text(answer)
    assert "Somebody has been writing for five seconds." in page
    assert BusyError.advice in page
    assert middleware.process_exception(request, ValueError("a defect")) is None
