"""Runs every test of the project, on every database that answers, and says on which: ``python -m tests.everything``.

``TEST_DATABASE_URL`` and ``TEST_REDIS_URL`` name the servers to ask; without them, those of this machine. The tests
make databases of their own there and drop them.
"""

import os
import subprocess
import sys
import time
from pathlib import Path

import psycopg
import redis

ROOT = Path(__file__).resolve().parent.parent
BIN = Path(sys.executable).parent
POSTGRESQL = os.environ.get("TEST_DATABASE_URL", "postgres://postgres@127.0.0.1:5432/postgres")
REDIS = os.environ.get("TEST_REDIS_URL", "redis://127.0.0.1:6379/15")
OPERATORS = ("DATABASE_URL", "REDIS_URL", "DATA_DIR", "DEMO", "DEMO_PASSWORD", "DJANGO_SETTINGS_MODULE")
"""What an operator may have set for a service that runs here; the tests run on what they choose themselves."""
NOT_COMPILED = "PYTHONDONTWRITEBYTECODE"
"""Set in many a container, for images to stay small. The tests start Python a hundred times and more, and compiling
all that is imported takes longer each time than importing it."""

Step = tuple[str, list[str], dict[str, str]]
"""Name, command of the virtual environment, environment on top."""

LINT: list[Step] = [
    ("format", ["ruff", "format", "--check", "."], {}),
    ("lint", ["ruff", "check", "."], {}),
    ("types", ["mypy", "config", "fixtures", "web", "scheduling", "inventory", "calc"], {}),
    ("imports", ["lint-imports"], {}),
    ("migrations", ["python", "manage.py", "makemigrations", "--check", "--dry-run"], {}),
]
PYTEST = ["pytest", "-q", "-n", "2", "--durations", "8", "--durations-min", "5"]
BY_TEST = ["--dist", "worksteal"]
BY_FILE = ["--dist", "loadfile", "--no-loadscope-reorder"]
"""What a file makes once for all its tests (a running service, the demo company) is made by one worker only."""

CALC: Step = ("calc", [*PYTEST, *BY_TEST, "-p", "no:django", "tests/calc", "tests/rigs"], {})
RATES: Step = ("rates over whole rigs", ["python", "-m", "tests.rigs.rates"], {})
PAGES: Step = ("pages in a browser", [*PYTEST, *BY_TEST, "tests/browser", "-m", "browser"], {})
"""Once, on SQLite: what a browser shows does not hang on the database. A step of its own, because the browser's driver
keeps a loop running in the process of the tests."""


def service(where: str, servers: dict[str, str]) -> Step:
    """Return the step that tests the service on these servers; what they have no part in runs without any only."""
    which = "not browser and not once" if servers else "not browser"
    return (
        f"service on {where}",
        [*PYTEST, *BY_FILE, "tests", "--ignore=tests/calc", "--ignore=tests/rigs", "-m", which],
        servers,
    )


def main(only_lint: bool) -> int:
    """Run the steps, all of them even if some fail; return the exit status."""
    steps, ran_on, missing = ([*LINT], [], []) if only_lint else everything()
    failed = [step[0] for step in steps if not passes(step)]
    print()
    if ran_on:
        print(f"RAN ON: {', '.join(ran_on)}")
    for reason in missing:
        print(f"NOT RUN ON {reason}")
    print(f"FAILED: {', '.join(failed)}" if failed else "Everything passed.")
    return 1 if failed else 0


def everything() -> tuple[list[Step], list[str], list[str]]:
    """Return the steps, what they run on, and what does not answer and why."""
    servers: dict[str, str] = {}
    missing = []
    if reason := postgresql_refuses():
        missing.append(f"PostgreSQL ({POSTGRESQL}): {reason}")
    else:
        servers["DATABASE_URL"] = POSTGRESQL
    if reason := redis_refuses():
        missing.append(f"Redis ({REDIS}): {reason}")
    else:
        servers["REDIS_URL"] = REDIS
    steps = [*LINT, CALC, RATES, service("SQLite", {}), PAGES]
    ran_on = ["SQLite", *({"DATABASE_URL": "PostgreSQL", "REDIS_URL": "Redis"}[name] for name in servers)]
    if servers:
        steps.append(service(" and ".join(ran_on[1:]), servers))
    return steps, ran_on, missing


def postgresql_refuses() -> str | None:
    """Return why tests cannot make a database there, or None."""
    try:
        with psycopg.connect(POSTGRESQL, connect_timeout=3) as connection:
            row = connection.execute(
                "SELECT rolsuper OR rolcreatedb FROM pg_roles WHERE rolname = current_user"
            ).fetchone()
    except psycopg.Error as error:
        return " ".join(str(error).split())
    return None if row and row[0] else "this user may not make databases"


def redis_refuses() -> str | None:
    try:
        redis.Redis.from_url(REDIS, socket_connect_timeout=3, socket_timeout=3).ping()
    except redis.RedisError as error:
        return str(error)
    return None


def passes(step: Step) -> bool:
    name, command, extra = step
    print(f"\n=== {name}", flush=True)
    started = time.monotonic()
    environment = {key: value for key, value in os.environ.items() if key not in (*OPERATORS, NOT_COMPILED)}
    result = subprocess.run(
        [str(BIN / command[0]), *command[1:]],
        cwd=ROOT,
        env=environment | {"SECRET_KEY": "only for tests"} | extra,
    )
    print(
        f"=== {name}: {'FAILED' if result.returncode else 'passed'} in {time.monotonic() - started:.0f} s", flush=True
    )
    return result.returncode == 0


if __name__ == "__main__":
    sys.exit(main(only_lint=sys.argv[1:] == ["lint"]))
