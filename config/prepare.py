"""What has to be done once before the service starts: tables, the demo's company, static files."""

import hashlib
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command

from config.environment import Environment
from config.health import is_migrated


def migrate() -> None:
    """Bring the tables up to the code."""
    if not is_migrated():
        print("Preparing the database ...", flush=True)
        call_command("migrate", interactive=False, verbosity=0)


def tell_the_company(environment: Environment) -> str:
    """Tell the demo company where it is not told yet, and return the line that says how to sign in."""
    from fixtures import demo, people

    demo.tell()
    password = people.open_the_door(given=environment.demo_password, kept=environment.data_dir / "demo-password")
    return f"Sign in as {', '.join(people.LOGINS)}; password: {password}"


def first_owner_line(address: str) -> str | None:
    """Return the line that says where the first owner sets up the company, or None where it has people."""
    from inventory.selectors.people import has_people
    from web.first_owner import HOURS, address_of_first_owner

    if has_people():
        return None
    where = f"{address}{address_of_first_owner()}"
    return f"Nobody has an account yet. Set up the first owner within {HOURS} hours, once, at\n{where}"


def collect_static() -> None:
    """Gather, compress and name the static files, unless the last start did so with the very same files."""
    mark = Path(settings.STATIC_ROOT) / ".collected"
    found = _fingerprint()
    if mark.exists() and mark.read_text() == found:
        return
    print("Collecting static files ...", flush=True)
    mark.unlink(missing_ok=True)
    call_command("collectstatic", interactive=False, clear=True, verbosity=0)
    mark.write_text(found)


def _fingerprint() -> str:
    files = [
        (name, status.st_size, status.st_mtime_ns)
        for finder in get_finders()
        for name, storage in finder.list([])
        for status in [Path(storage.path(name)).stat()]
    ]
    return hashlib.sha256(repr(sorted(files)).encode()).hexdigest()
