"""One command runs the service and ends it: real processes, real signals."""

import json
import signal
import socket

import psutil
import pytest

from tests.config.conftest import DEMO_PASSWORD
from tests.config.processes import are_gone, until

pytestmark = [pytest.mark.long(60), pytest.mark.broker]

JSON = {"Content-Type": "application/json"}
ONCE = pytest.mark.once
"""Each start takes seconds. On other servers one signal, and the end of the process that uses them most, stand for all:
what is told apart here is done before a server is asked, or by the system."""


@pytest.mark.parametrize(
    "number",
    [pytest.param(signal.SIGINT, marks=ONCE), signal.SIGTERM, pytest.param(signal.SIGHUP, marks=ONCE)],
    ids=lambda number: number.name,
)
def test_a_signal_ends_every_process(start, number):
    run = start().until_ready()
    processes = [run.watched, run.member("worker"), run.member("beat"), run.member("granian"), *run.family()]
    assert run.stop(number) == 0
    assert are_gone(processes)
    assert "Traceback" not in run.complained.read_text()


@ONCE
def test_a_signal_during_preparation_ends_it_as_well(start, tmp_path):
    run = start(tmp_path / "var")
    until(run.data_dir.exists)
    assert run.stop() == 0
    assert are_gone([run.watched])


@pytest.mark.parametrize("name", ["worker", pytest.param("beat", marks=ONCE), pytest.param("granian", marks=ONCE)])
def test_everything_ends_when_one_process_ends(start, name):
    run = start().until_ready()
    processes = run.family()
    run.member(name).kill()
    assert run.ends() == 1
    assert "ended with status -9; everything was stopped." in run.complained.read_text()
    assert are_gone(processes)


if psutil.LINUX:  # no other system ends the children of a process that is killed outright

    @ONCE
    def test_a_killed_supervisor_leaves_nothing_and_the_folder_is_free_again(start):
        run = start().until_ready()
        processes = [*run.family(), run.member("beat")]
        run.process.kill()
        run.ends()
        until(lambda: are_gone(processes))
        assert start().until_ready().stop() == 0


@ONCE
def test_a_taken_port_is_said_in_one_line(start):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        run = start(PORT=str(port))
        assert run.ends() == 1
    refusal = run.complained.read_text()
    assert refusal.startswith(f"PORT={port} on HOST=127.0.0.1 cannot be used: ")
    assert refusal.count("\n") == 1


@ONCE
@pytest.mark.parametrize(
    ("environment", "begins"),
    [
        ({"PORT": "many"}, "PORT='many' cannot be used"),
        ({"DATABASE_URL": "postgres://nobody@127.0.0.1:9/none"}, "The database of DATABASE_URL cannot be used: "),
        ({"REDIS_URL": "redis://127.0.0.1:9/0"}, "The broker of REDIS_URL does not answer: "),
        ({"DATA_DIR": "/proc/nowhere"}, "DATA_DIR='/proc/nowhere' cannot be used: "),
        ({"HOST": "no such host"}, "PORT="),
    ],
)
def test_what_cannot_be_used_is_said_in_one_line(start, environment, begins):
    run = start(**environment)
    assert run.ends() == 1
    refusal = run.complained.read_text()
    assert refusal.startswith(begins)
    assert refusal.count("\n") == 1


def test_a_sign_of_life_of_an_earlier_run_does_not_make_this_one_ready(start):
    start().until_ready().stop()  # leaves a sign of life that is fresh for longer than the next start takes
    run = start()
    worker = run.member("worker")
    worker.suspend()
    answered = until(lambda: reached(run))
    assert answered.status == 503
    assert json.loads(answered.body) == {"ready": False, "lacking": ["worker"]}
    worker.resume()
    run.until_ready()


def reached(run):
    try:
        return run.ask("GET", "/health/ready/")
    except ConnectionError:
        return None


@ONCE
def test_the_given_password_holds_at_every_start(start):
    run = start().until_ready()
    assert f"password: {DEMO_PASSWORD}" in run.said.read_text()
    for username in ("owner", "planner", "crew", "viewer", "electrics"):
        run.token(username, DEMO_PASSWORD)
    run.stop()
    run = start(DEMO_PASSWORD="another").until_ready()
    run.token("owner", "another")
    old = json.dumps({"username": "owner", "password": DEMO_PASSWORD}).encode()
    assert run.ask("POST", "/api/v1/tokens/", old, JSON).status == 401
