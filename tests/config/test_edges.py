"""What the outermost doors answer: problem documents (RFC 9457), from the real server, whatever is thrown at it."""

import http.client
import json
from contextlib import closing

import pytest

from tests.config.conftest import DEMO_PASSWORD
from tests.config.processes import BY_THEN_S

pytestmark = pytest.mark.long(10)

MIB = 1024 * 1024
SPECS = "/api/v1/specs/"


@pytest.fixture(scope="module")
def signed(running):
    return {"Authorization": f"Token {running.token('planner', DEMO_PASSWORD)}", "Content-Type": "application/json"}


def test_a_foreign_host_name_is_refused(running):
    problem = running.ask("GET", "/api/v1/specs/", headers={"Host": "elsewhere.example"}).problem
    assert (problem["type"], problem["status"]) == ("/problems/bad-host", 400)


@pytest.mark.parametrize("path", ["/api/v1/nothing/", "/api/v1/specs", "/api/", "/api/v1/specs/0x1/"])
def test_an_unknown_address_of_the_interface_is_a_problem(running, path):
    assert running.ask("GET", path).problem["type"] == "/problems/not-found"


def test_nobody_is_asked_to_sign_in(running):
    answer = running.ask("GET", SPECS)
    assert answer.problem["type"] == "/problems/not-signed-in"
    assert answer.headers["www-authenticate"].startswith("Token")


def test_a_method_that_is_not_there(running, signed):
    assert running.ask("DELETE", SPECS, headers=signed).problem["type"] == "/problems/method-not-allowed"


def test_a_body_of_another_kind(running, signed):
    answer = running.ask("POST", SPECS, b"name=x", signed | {"Content-Type": "application/x-www-form-urlencoded"})
    assert (answer.problem["type"], answer.status) == ("/problems/not-json", 415)


@pytest.mark.parametrize(
    "body",
    [
        b"{",
        b'{"name": NaN}',
        b'{"name": Infinity}',
        b'{"name": "\xff\xfe"}',
        b"[" * 100_000,
        b'{"a":' * 100_000,
        b'{"name": 1e999}',
        b'{"name": ' + b"9" * 100_000 + b"}",
        b'{"name": "\\ud800", "kind": "tool"}',
        b'{"name": "a\\u0000b", "kind": "tool"}',
        b"\x00",
        b"null",
        b"[]",
    ],
    ids=lambda body: body[:16].decode(errors="replace") + f"... {len(body)} bytes",
)
def test_a_body_that_cannot_be_used(running, signed, body):
    answer = running.ask("POST", SPECS, body, signed)
    assert (answer.problem["status"], answer.status) == (400, 400)
    assert answer.headers["x-request-id"]


@pytest.mark.parametrize("size", [2 * MIB + 1, 3 * MIB, 15 * MIB])
def test_a_body_above_the_limit_is_read_to_the_end_so_that_the_refusal_arrives(running, signed, size):
    assert running.ask("POST", SPECS, b" " * size, signed).problem["type"] == "/problems/too-large"


def test_a_body_at_the_limit_is_read(running, signed):
    spec = json.dumps({"name": "At the limit", "kind": "tool"}).encode()
    assert running.ask("POST", SPECS, spec + b" " * (2 * MIB - len(spec)), signed).status == 201


def test_a_body_in_chunks_is_read_like_any_other(running, signed):
    halves = iter([b'{"name": "In two halves", ', b'"kind": "tool"}'])
    answer = running.ask("POST", SPECS, halves, signed)
    assert answer.status == 201, answer.body
    assert json.loads(answer.body)["name"] == "In two halves"


def test_a_body_in_chunks_above_the_limit_is_refused(running, signed):
    answer = running.ask("POST", SPECS, (b" " * 65536 for _ in range(3 * 16)), signed)
    assert answer.problem["type"] == "/problems/too-large"


@pytest.mark.parametrize(
    "path",
    [
        "/api/v1/specs/?search=%00",
        "/api/v1/specs/?search=%ff%fe",
        "/api/v1/specs/?nonsense=1",
        "/api/v1/specs/?ordering=password",
        "/api/v1/specs/?cursor=nonsense",
    ],
)
def test_a_query_that_cannot_be_used(running, signed, path):
    answer = running.ask("GET", path, headers=signed)
    assert answer.status in {200, 400}
    assert answer.status == 200 or answer.problem["type"] == "/problems/invalid"


def test_ids_beyond_what_a_database_holds_are_not_found(running, signed):
    for number in (2**63, 10**30):
        assert running.ask("GET", f"{SPECS}{number}/", headers=signed).problem["status"] == 404


def test_a_given_request_id_comes_back_unless_it_is_not_plain(running):
    assert running.ask("GET", SPECS, headers={"X-Request-ID": "from-the-van.1"}).headers["x-request-id"] == (
        "from-the-van.1"
    )
    assert running.ask("GET", SPECS, headers={"X-Request-ID": "<b>"}).headers["x-request-id"] != "<b>"


def test_a_connection_is_kept_over_a_refusal(running, signed):
    with closing(http.client.HTTPConnection("127.0.0.1", running.port, timeout=BY_THEN_S)) as connection:
        for body in (b" " * (3 * MIB), b"{}"):
            connection.request("POST", SPECS, body, signed)
            response = connection.getresponse()
            assert response.headers["Content-Type"] == "application/problem+json"
            response.read()
    assert response.status == 400


def test_probes_and_figures_are_open_to_all(running):
    assert json.loads(running.ask("GET", "/health/live/").body) == {"live": True}
    ready = running.ask("GET", "/health/ready/")
    assert (ready.status, json.loads(ready.body)) == (200, {"ready": True, "lacking": []})
    figures = running.ask("GET", "/metrics")
    assert figures.headers["content-type"].startswith("application/openmetrics-text; version=1.0.0")
    assert b"road_cases_worker_answers 1\n" in figures.body
    assert figures.body.endswith(b"# EOF\n")


def test_the_reference_needs_no_outside_host(running):
    page = running.ask("GET", "/api/v1/docs/")
    assert page.status == 200
    assert b"http://" not in page.body.replace(b"http://127.0.0.1", b"")
    assert b"https://" not in page.body
