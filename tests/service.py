"""The service under test: its environment and database, its people by role, and clients that speak for them.

``DATABASE_URL`` and ``REDIS_URL`` choose the database and the counters; without them everything lies in a folder of
this run's own. Two runs at once, or two workers of one run, never share a database or a folder.
"""

import os
import shutil
import tempfile
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from rest_framework.test import APIClient

    from inventory.base.models import User

PASSWORD = "a long enough password"
WIDE_OPEN = "1000000"
FOLDER = pytest.StashKey[Path]()
DATABASE_FIXTURES = {"db", "transactional_db", "live_server"}


def prepare(config: pytest.Config) -> None:
    """Give Django its environment before anything reads the settings, then what only tests want."""
    folder = Path(tempfile.mkdtemp(prefix="road-cases-"))
    config.stash[FOLDER] = folder
    os.environ.update(
        DJANGO_SETTINGS_MODULE="config.settings",
        DATA_DIR=str(folder),
        SECRET_KEY="only for tests",
        RATE_PER_S=WIDE_OPEN,
        RATE_BURST=WIDE_OPEN,
        LOGINS_PER_MINUTE=WIDE_OPEN,
    )
    from django.conf import settings

    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    # Pages are tested without collecting static files first.
    settings.STORAGES = settings.STORAGES | {
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    }
    settings.STATIC_ROOT.mkdir()
    _name_the_database(settings.DATABASES["default"], folder, _run_name(config))
    # The rows are the queue; a test that is about the bell itself starts a broker of its own.
    settings.CELERY_BROKER_URL = "memory://"
    settings.CELERY_BROKER_TRANSPORT_OPTIONS = {}
    # Workers of this run inherit the environment; with this name in it they would load the settings before their own
    # folder is known.
    del os.environ["DJANGO_SETTINGS_MODULE"]


def _name_the_database(database: dict[str, Any], folder: Path, run: str) -> None:
    if database["ENGINE"].endswith("sqlite3"):
        database["TEST"] = {"NAME": str(folder / "test.sqlite3")}
    else:
        database["TEST"] = {"NAME": f"test_road_cases_{run}"}
        database["OPTIONS"]["options"] = "-c synchronous_commit=off"


def _run_name(config: pytest.Config) -> str:
    """One name for all workers of a run; pytest-django adds the worker's own suffix."""
    shared: str = getattr(config, "workerinput", {}).get("testrunuid") or uuid.uuid4().hex
    return shared[:12]


def pytest_unconfigure(config: pytest.Config) -> None:
    shutil.rmtree(config.stash[FOLDER], ignore_errors=True)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if not _may_hang_on_the_servers(item):
            item.add_marker(pytest.mark.once)
    _restore_rows_of_migrations(items)


def _may_hang_on_the_servers(item: pytest.Item) -> bool:
    """Say whether a test uses the database, or stands in the room whose tests start processes that use the servers."""
    from django.test import TransactionTestCase

    return (
        item.path.parent.name == "config"
        or item.get_closest_marker("django_db") is not None
        or not DATABASE_FIXTURES.isdisjoint(getattr(item, "fixturenames", ()))
        or issubclass(getattr(item, "cls", None) or object, TransactionTestCase)
    )


def _restore_rows_of_migrations(items: list[pytest.Item]) -> None:
    """Let tests with real transactions find the rows of the migrations (ledger, roles, company) again each time."""
    others = {item.path for item in items if not _has_real_transactions(item)}
    for item in items:
        if not _has_real_transactions(item):
            continue
        if item.path in others:
            # Such tests leave empty tables, so they come last; a worker takes a file as a whole.
            raise pytest.UsageError(f"{item.path}: tests with real transactions need a file of their own.")
        marker = item.get_closest_marker("django_db")
        options = marker.kwargs | {"serialized_rollback": True}
        item.add_marker(pytest.mark.django_db(*marker.args, **options), append=False)


def _has_real_transactions(item: pytest.Item) -> bool:
    marker = item.get_closest_marker("django_db")
    return marker is not None and bool(marker.kwargs.get("transaction"))


class People(dict[str, "User"]):
    """The people of a test by role, made when first named: viewer, crew, planner, owner, electrics.

    Each has ``PASSWORD``; ``electrics`` is crew as well, since that role comes on top of another.
    """

    def __missing__(self, role: str) -> "User":
        from django.contrib.auth.models import Group

        from inventory.base.models import User

        user = User.objects.create_user(username=role, password=PASSWORD)
        user.groups.set(Group.objects.filter(name__in={role, "crew"} if role == "electrics" else {role}))
        self[role] = user
        return user


@pytest.fixture
def people(db: None) -> People:
    return People()


@pytest.fixture
def api(people: People) -> Callable[..., "APIClient"]:
    """Return ``api(role)``: a client that is signed in as that role; ``api()`` is nobody."""
    from rest_framework.test import APIClient

    def client(role: str | None = None) -> APIClient:
        speaking = APIClient()
        if role is not None:
            speaking.force_authenticate(user=people[role])
        return speaking

    return client


@pytest.fixture
def token_api(people: People) -> Callable[[str], "APIClient"]:
    """Return ``token_api(role)``: a client that sends a real token, through the real authentication."""
    from knox.models import get_token_model
    from rest_framework.test import APIClient

    def client(role: str) -> APIClient:
        _, token = get_token_model().objects.create(user=people[role])
        return APIClient(HTTP_AUTHORIZATION=f"Token {token}")

    return client


@pytest.fixture(autouse=True)
def counters_of_its_own() -> Iterator[None]:
    """Give each test an empty cache by naming its keys apart: a shared Redis is never flushed."""
    from django.core.cache import cache

    before, cache.key_prefix = cache.key_prefix, uuid.uuid4().hex
    yield
    cache.key_prefix = before


@pytest.fixture
def database_url(db: None) -> str:
    """The address of the test database, for processes that a test starts."""
    from django.db import connection

    settings = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{settings['NAME']}"
    return (
        f"postgres://{settings['USER']}:{settings['PASSWORD']}@{settings['HOST']}:{settings['PORT']}/{settings['NAME']}"
    )
