"""The real service for tests: started as an operator starts it, asked over HTTP, watched in the system's own list."""

import http.client
import json
import os
import select
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psutil

ROOT = Path(__file__).resolve().parents[2]
BY_THEN_S = 240.0
"""A deadline and not an expectation: it only ends a test that would wait for ever. [s]"""
KEPT_FROM_CALLER = {"PATH", "HOME", "LANG", "TMPDIR", "DATABASE_URL", "REDIS_URL"}


@dataclass
class Answer:
    status: int
    headers: Mapping[str, str]
    body: bytes

    @property
    def problem(self) -> Any:
        """The problem document; anything else fails the test."""
        assert self.headers["content-type"] == "application/problem+json", (self.status, self.body[:300])
        document = json.loads(self.body)
        assert document["status"] == self.status
        return document


@dataclass
class Service:
    """One run of the supervisor in a folder of its own."""

    data_dir: Path
    environment: dict[str, str] = field(default_factory=dict)
    port: int = field(default_factory=lambda: free_port())

    def start(self) -> "Service":
        """Start it; whatever it says goes to files beside the folder."""
        given = {name: value for name, value in os.environ.items() if name in KEPT_FROM_CALLER}
        given |= {"DEMO": "1", "DATA_DIR": str(self.data_dir), "PORT": str(self.port)} | self.environment
        with self.said.open("w") as out, self.complained.open("w") as err:
            command = [sys.executable, "-m", "config.supervisor"]
            self.process = subprocess.Popen(
                command, cwd=ROOT, env=given, stdout=out, stderr=err, preexec_fn=_listen_to_hangup
            )
        self.watched = psutil.Process(self.process.pid)
        return self

    def until_ready(self) -> "Service":
        def is_ready() -> bool:
            assert self.process.poll() is None, (self.process.returncode, self.complained.read_text())
            return "Ready at " in self.said.read_text()

        until(is_ready)
        return self

    @property
    def said(self) -> Path:
        return self.data_dir.with_suffix(f".{self.port}.out")

    @property
    def complained(self) -> Path:
        return self.data_dir.with_suffix(f".{self.port}.err")

    def family(self) -> list[psutil.Process]:
        """Return every process of this run, the supervisor first."""
        return [self.watched, *self.watched.children(recursive=True)]

    def member(self, word: str) -> psutil.Process:
        """Return the oldest process of the run that has this word in its command."""
        return until(lambda: next((one for one in self.family() if word in one.cmdline()), None))

    def ends(self) -> int:
        """Wait for the end of the supervisor and return its exit status."""
        return self.process.wait(BY_THEN_S)

    def stop(self, number: int = signal.SIGTERM) -> int:
        self.process.send_signal(number)
        return self.ends()

    def ask(self, method: str, path: str, body: Any = None, headers: Mapping[str, str] | None = None) -> Answer:
        """Send one request and return the answer; a body that is an iterator goes out in chunks."""
        with closing(http.client.HTTPConnection("127.0.0.1", self.port, timeout=BY_THEN_S)) as connection:
            connection.request(method, path, body, dict(headers or {}))
            response = connection.getresponse()
            answered = {name.lower(): value for name, value in response.headers.items()}
            return Answer(response.status, answered, response.read())

    def token(self, username: str, password: str) -> str:
        sent = json.dumps({"username": username, "password": password}).encode()
        answer = self.ask("POST", "/api/v1/tokens/", sent, {"Content-Type": "application/json"})
        assert answer.status == 201, answer.body
        return str(json.loads(answer.body)["token"])


def _listen_to_hangup() -> None:
    """Undo what a run started by ``nohup`` would pass on to its children: that SIGHUP is ignored."""
    signal.signal(signal.SIGHUP, signal.SIG_DFL)


def until(condition: Callable[[], Any]) -> Any:
    """Return what the condition answers as soon as it is true; fail when that is not by the deadline."""
    deadline = time.monotonic() + BY_THEN_S
    while not (found := condition()):
        assert time.monotonic() < deadline, "waited in vain"
        select.select([], [], [], 0.02)
    return found


def are_gone(processes: list[psutil.Process]) -> bool:
    """Say whether none of them is left; a process that only waits to be reaped is gone."""
    return not any(one.is_running() and one.status() != psutil.STATUS_ZOMBIE for one in processes)


def free_port() -> int:
    with socket.socket() as trial:
        trial.bind(("127.0.0.1", 0))
        return int(trial.getsockname()[1])
