"""Runs the whole service on one machine: ``python -m config.supervisor``.

Web, worker and beat are its children, each a process group of its own. When it is told to stop (Ctrl-C, TERM, HUP), or
when any of them ends, all of them end; when it is killed outright, Linux ends them. Nothing outlives it.
"""

import contextlib
import ctypes
import fcntl
import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from http import HTTPStatus
from io import TextIOWrapper
from pathlib import Path
from types import FrameType
from typing import NoReturn

import django

from config.environment import PROJECT_DIR, Environment, EnvironmentInvalidError, make_data_dir, read_environment

READY_WITHIN_S = 120.0
ENDS_WITHIN_S = 6.0
"""How long a child may finish what it does before it is killed. [s]"""
LOOK_EVERY_S = 0.1
STOPPING = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
DIES_WITH_PARENT = 1  # PR_SET_PDEATHSIG of Linux' prctl

Child = subprocess.Popen[bytes]


class CannotRunError(Exception):
    """Why the service does not run; the message is one line."""


class StoppedError(Exception):
    """Somebody asked the service to stop."""


def main() -> int:
    """Prepare, run, and end everything; return the exit status: 0 after a wanted stop, else 1."""
    for number in STOPPING:
        if number != signal.SIGHUP or signal.getsignal(number) is not signal.SIG_IGN:  # nohup wants it to go on
            signal.signal(number, _stop)
    try:
        environment = read_environment()
        with _sole_run_in(environment.data_dir) as lock:
            _refuse_taken_port(environment)
            _run(environment, lock)
    except (EnvironmentInvalidError, CannotRunError) as error:
        print(error, file=sys.stderr, flush=True)
        return 1
    except StoppedError:
        print("Stopped.", flush=True)
        return 0


def _run(environment: Environment, lock: TextIOWrapper) -> NoReturn:
    """Run until somebody stops the service or a child ends."""
    sign_in = _prepare(environment)
    children: dict[str, Child] = {}
    try:
        for name, command in _commands(environment).items():
            children[name] = _start(command, lock)
        _wait_until_ready(environment, children)
        print(f"Ready at {_address(environment)}/", *([sign_in] if sign_in else []), "Ctrl-C ends it.", sep="\n")
        sys.stdout.flush()
        while True:
            _refuse_ended(children)
            time.sleep(LOOK_EVERY_S)
    finally:
        _end(list(children.values()))


def _prepare(environment: Environment) -> str | None:
    """Make ready what children rely on; return the line about signing in, if there is one to print."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    from django.core.exceptions import ImproperlyConfigured
    from django.db import DatabaseError, connections
    from kombu.exceptions import OperationalError

    from config import prepare
    from inventory.base import pulse
    from inventory.checks.bell import ring

    try:
        prepare.migrate()
        sign_in = (
            prepare.tell_the_company(environment)
            if environment.demo
            else prepare.first_owner_line(_address(environment))
        )
        pulse.forget()
        # The worker's first sign of life is its answer to this: then the way to it is known to work as well.
        ring()
    except (DatabaseError, ImproperlyConfigured) as error:
        raise CannotRunError(f"The database of DATABASE_URL cannot be used: {_one_line(error)}") from error
    except OperationalError as error:
        raise CannotRunError(f"The broker of REDIS_URL does not answer: {_one_line(error)}") from error
    finally:
        connections.close_all()
    prepare.collect_static()
    return sign_in


def _commands(environment: Environment) -> dict[str, list[str]]:
    # Counters of the rate limits are per process without Redis, so there is one web process then.
    workers = os.cpu_count() or 1 if environment.redis_url else 1
    # Django's checks would load every page, and neither of these serves one; `make lint` runs the checks.
    celery = ["celery", "--quiet", "--app", "config", "--skip-checks"]
    return {
        "web": [
            *("granian", "--interface", "wsgi", "--no-ws", "--log-level", "warning"),
            *("--host", environment.host, "--port", str(environment.port)),
            *("--workers", str(workers), "--blocking-threads", "2", "config.wsgi:application"),
        ],
        "worker": [
            *(*celery, "worker", "--pool", "solo", "--loglevel", "WARNING"),
            *("--without-gossip", "--without-mingle", "--without-heartbeat"),
        ],
        "beat": [*celery, "beat", "--loglevel", "WARNING", "--pidfile", ""],
    }


def _start(command: list[str], lock: TextIOWrapper) -> Child:
    return subprocess.Popen(
        [sys.executable, "-m", *command],
        cwd=PROJECT_DIR,
        stdin=subprocess.DEVNULL,
        process_group=0,
        pass_fds=(lock.fileno(),),  # the folder counts as in use until the last of them is gone
        preexec_fn=_die_with_parent if sys.platform == "linux" else None,
    )


def _die_with_parent() -> None:
    ctypes.CDLL(None).prctl(DIES_WITH_PARENT, signal.SIGTERM)


def _wait_until_ready(environment: Environment, children: dict[str, Child]) -> None:
    deadline = time.monotonic() + READY_WITHIN_S
    while lacking := _lacking(environment):
        _refuse_ended(children)
        if time.monotonic() > deadline:
            raise CannotRunError(f"Not ready within {READY_WITHIN_S:.0f} s; lacking: {', '.join(lacking)}.")
        time.sleep(LOOK_EVERY_S)


def _lacking(environment: Environment) -> list[str]:
    host = environment.allowed_hosts[0].lstrip(".")
    request = urllib.request.Request(  # noqa: S310 - our own address
        f"{_address(environment)}/health/ready/", headers={} if host == "*" else {"Host": host}
    )
    try:
        with urllib.request.urlopen(request, timeout=5) as answer:  # noqa: S310 - our own address
            return list(json.load(answer)["lacking"])
    except urllib.error.HTTPError as error:
        if error.code != HTTPStatus.SERVICE_UNAVAILABLE:
            raise CannotRunError(f"The web process answers {error.code} when asked whether it is ready.") from error
        return list(json.load(error)["lacking"])
    except OSError:
        return ["web"]


def _refuse_ended(children: dict[str, Child]) -> None:
    for name, child in children.items():
        if (status := _status(child)) is not None:
            raise CannotRunError(f"The {name} process ended with status {status}; everything was stopped.")


def _status(child: Child) -> int | None:
    """Return how a child ended, None while it runs; its number stays taken, so that nobody else's group has it."""
    if not hasattr(os, "waitid"):
        return child.poll()
    ended = os.waitid(os.P_PID, child.pid, os.WEXITED | os.WNOHANG | os.WNOWAIT)
    if ended is None:
        return None
    return ended.si_status if ended.si_code == os.CLD_EXITED else -ended.si_status


def _end(children: list[Child]) -> None:
    """End all children: ask, wait, kill; and whatever they may have left in their groups."""
    for number in STOPPING:
        signal.signal(number, signal.SIG_IGN)
    for child in children:
        if _status(child) is None:
            os.kill(child.pid, signal.SIGTERM)
    deadline = time.monotonic() + ENDS_WITHIN_S
    while any(_status(child) is None for child in children) and time.monotonic() < deadline:
        time.sleep(LOOK_EVERY_S)
    for child in children:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(child.pid, signal.SIGKILL)
        child.wait()


@contextlib.contextmanager
def _sole_run_in(data_dir: Path) -> Iterator[TextIOWrapper]:
    """Hold the folder's lock, which the system takes back when this process is gone, however it ends."""
    make_data_dir(data_dir)
    with (data_dir / "running").open("a+") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise CannotRunError(
                f"Already running on DATA_DIR={str(data_dir)!r}: stop that one first, or give other DATA_DIR and PORT."
            ) from error
        yield lock


def _refuse_taken_port(environment: Environment) -> None:
    where = f"PORT={environment.port} on HOST={environment.host}"
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            environment.host, environment.port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        with socket.socket(family, kind, protocol) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind(address)
    except OSError as error:
        raise CannotRunError(f"{where} cannot be used: {error.strerror}. Give another PORT or HOST.") from error


def _address(environment: Environment) -> str:
    """Return where this machine reaches the service."""
    host = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(environment.host, environment.host)  # noqa: S104 - compared only
    return f"http://[{host}]:{environment.port}" if ":" in host else f"http://{host}:{environment.port}"


def _one_line(error: Exception) -> str:
    return " ".join(str(error).split())


def _stop(number: int, frame: FrameType | None) -> NoReturn:
    raise StoppedError


if __name__ == "__main__":
    sys.exit(main())
