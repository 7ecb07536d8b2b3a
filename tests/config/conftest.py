"""Runs of the real service. Where ``DATABASE_URL`` and ``REDIS_URL`` are set, the service uses those servers too."""

import contextlib
import os
import secrets
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.config.processes import Service

DEMO_PASSWORD = "opens every door here"


@pytest.fixture(scope="session")
def database() -> Iterator[dict[str, str]]:
    """The environment that gives a run a database of its own; a run on SQLite has one in its folder."""
    server = os.environ.get("DATABASE_URL", "")
    if not server.startswith("postgres"):
        yield {}
        return
    import psycopg

    name = f"road_cases_run_{secrets.token_hex(6)}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
        yield {"DATABASE_URL": f"{server.rpartition('/')[0]}/{name}"}
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One DATA_DIR for all runs of this session, each after the other: the first start takes longest."""
    return tmp_path_factory.mktemp("service") / "var"


@pytest.fixture
def start(database: dict[str, str], folder: Path) -> Iterator[Callable[..., "Service"]]:
    """Start runs; whatever is left of them when the test is over is killed."""
    import psutil

    from tests.config.processes import Service, are_gone, until

    runs: list[Service] = []

    def start_one(data_dir: Path = folder, **environment: str) -> Service:
        runs.append(Service(data_dir, database | {"DEMO_PASSWORD": DEMO_PASSWORD} | environment).start())
        return runs[-1]

    yield start_one
    for run in runs:
        left = run.family() if run.watched.is_running() else []
        for process in left:
            with contextlib.suppress(psutil.NoSuchProcess):  # it ended by itself meanwhile
                process.kill()
        run.process.wait()
        until(lambda left=left: are_gone(left))


@pytest.fixture(scope="module")
def running(database: dict[str, str], folder: Path) -> Iterator["Service"]:
    """A service that answers to its own address only, for all tests of a module; it must outlive them."""
    from tests.config.processes import Service

    environment = database | {"DEMO_PASSWORD": DEMO_PASSWORD, "ALLOWED_HOSTS": "127.0.0.1"}
    run = Service(folder, environment).start()
    try:
        yield run.until_ready()
        assert run.process.poll() is None, run.complained.read_text()
        assert run.stop() == 0
    except subprocess.TimeoutExpired:
        run.process.kill()
        raise
    finally:
        if run.process.poll() is None:
            run.process.kill()
