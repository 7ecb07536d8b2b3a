"""A database of this run's own for what is measured with rows: a SQLite file, or ``DATABASE_URL``'s server."""

import atexit
import os
import shutil
import tempfile
import time
from collections.abc import Callable
from functools import cache
from statistics import median


@cache
def prepare() -> None:
    """Make Django ready with an empty, migrated database; whatever is entered goes when the process ends."""
    folder = tempfile.mkdtemp(prefix="road-cases-bench-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    os.environ.update(DJANGO_SETTINGS_MODULE="config.settings", DATA_DIR=folder, SECRET_KEY="only for measuring")
    os.environ.update(RATE_PER_S="1000000", RATE_BURST="1000000")
    import django
    from django.conf import settings

    settings.CELERY_BROKER_URL = "memory://"
    settings.STORAGES = settings.STORAGES | {
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    }
    settings.STATIC_ROOT.mkdir()
    django.setup()
    from django.db import connection

    # Django makes, migrates and destroys a test database of its own, so that nobody's rows are touched.
    connection.creation.create_test_db(verbosity=0, serialize=False)
    atexit.register(connection.creation.destroy_test_db, str(settings.DATABASES["default"]["NAME"]), verbosity=0)


def seconds(work: Callable[[], object], *, rounds: int = 30) -> float:
    """Return the median time of one call, after one that does not count. [s]"""
    work()
    times = []
    for _ in range(rounds):
        started = time.perf_counter()
        work()
        times.append(time.perf_counter() - started)
    return median(times)


def statements(work: Callable[[], object]) -> int:
    """Return how many statements one call sends."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as captured:
        work()
    return len(captured)
