"""A service of its own to look at: an empty folder, invented gear, a web server in a thread. For commands."""

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
def running() -> Iterator[tuple[str, int]]:
    """Serve invented gear and yield the address and the id of a kit; everything is gone afterwards."""
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
        kit = _tell()
        server = make_server("127.0.0.1", 0, _application(), handler_class=Quiet)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}", kit
        server.shutdown()


class Quiet(WSGIRequestHandler):
    def log_request(self, code: Any = "-", size: Any = "-") -> None:
        """Say nothing of each request."""


def _tell() -> int:
    from django.contrib.auth.models import Group
    from django.core.management import call_command

    from inventory.base.models import User
    from inventory.checks.drain import drain
    from inventory.services.clone import clone_kit
    from inventory.services.kits import edit_kit
    from inventory.services.specs import edit_spec
    from tests.web.company import BRIEF, make_unit, stage_case, write
    from tests.web.shows import booked, moment, show

    call_command("migrate", verbosity=0)
    person = User.objects.create_user(username="planner", password=PASSWORD)
    person.groups.add(Group.objects.get(name="owner"))
    gear = stage_case(person.pk, without=("camera 3", "lamp"))
    make_unit(gear.specs["camera"], person.pk)
    write(person.pk, lambda c: edit_kit(c, gear.kit, fields={"brief": BRIEF}))
    event = show("Harvest choirs", out=1, back=2)
    booked(event, kit=gear.kit)
    booked(show("Youth band", out=3, back=4, state="enquiry"), kit=gear.kit, state="pencil", expires_at=moment(2))
    write(person.pk, lambda c: clone_kit(c, gear.kit, name=None))
    write(person.pk, lambda c: edit_spec(c, gear.specs["supply"], fields={"weight_kg": None}))
    drain()
    return gear.kit


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
