"""A service of its own to look at: an empty folder, the demo company, a web server in a thread. For commands."""

import os
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from wsgiref.simple_server import WSGIRequestHandler, make_server

PASSWORD = "a long enough password"


@contextmanager
def running() -> Iterator[str]:
    """Serve the demo company and yield the address; everything is gone afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ.update(
            DJANGO_SETTINGS_MODULE="config.settings",
            SECRET_KEY="to look at",
            DATA_DIR=folder,
            LOGINS_PER_MINUTE="10000",
        )
        (Path(folder) / "static").mkdir()
        import django

        django.setup()
        _tell()
        server = make_server("127.0.0.1", 0, _application(), handler_class=Quiet)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


class Quiet(WSGIRequestHandler):
    def log_request(self, code: Any = "-", size: Any = "-") -> None:
        """Say nothing of each request."""


def _tell() -> None:
    from django.core.management import call_command

    from fixtures import demo, people
    from inventory.base.changes import change
    from inventory.base.people import reset_passwords
    from inventory.checks.drain import drain

    call_command("migrate", verbosity=0)
    demo.tell()
    with change(actor_id=None, request_id="pages") as c:
        reset_passwords(c, usernames=people.LOGINS, password=PASSWORD)
    drain()


def _application() -> Any:
    from django.conf import settings
    from django.contrib.staticfiles.handlers import StaticFilesHandler
    from django.contrib.staticfiles.views import serve
    from django.core.wsgi import get_wsgi_application

    settings.STORAGES = settings.STORAGES | {
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    }

    class Files(StaticFilesHandler):
        def serve(self, request: Any) -> Any:
            return serve(request, self.file_path(request.path), insecure=True)

    return Files(get_wsgi_application())
