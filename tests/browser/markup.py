"""Check the markup of the pages with the Nu checker: ``python -m tests.browser.markup``.

Takes Java, and once the npm registry: the checker (``vnu-jar``, MIT) is put under ``var/tools``. Exits with 1 when it
finds an error.
"""

import re
import subprocess
import sys
from pathlib import Path

from tests.browser.service import running
from tests.browser.tour import Stop, tour

TOOLS = Path("var/tools")
CHECKER = TOOLS / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
VERSION = "26.9.27"
AROUND = '<!doctype html><html lang="en"><head><title>A part</title></head><body>{}</body></html>'


def main() -> int:
    if not CHECKER.exists():
        TOOLS.mkdir(parents=True, exist_ok=True)
        subprocess.run(["npm", "install", "--prefix", str(TOOLS), "--no-save", f"vnu-jar@{VERSION}"], check=True)
    pages = TOOLS / "pages"
    pages.mkdir(exist_ok=True)
    for old in pages.glob("*.html"):
        old.unlink()
    with running():
        for stop in tour():
            file = pages / f"{re.sub(r'[^a-z]+', '-', stop.name)}.html"
            file.write_text(fetched(stop), encoding="utf-8")
        (pages / "broken.html").write_text(broken(), encoding="utf-8")
    return subprocess.run(
        ["java", "-jar", str(CHECKER), "--errors-only", *map(str, sorted(pages.glob("*.html")))]
    ).returncode


def fetched(stop: Stop) -> str:
    """Return the markup of a stop: a whole page, or a part with a page around it."""
    from django.test import Client

    from inventory.base.models import User

    client = Client(enforce_csrf_checks="csrfmiddlewaretoken" in stop.sent)
    if stop.who:
        client.force_login(User.objects.get(username=stop.who))
    asks = {"HX-Request": "true"} if stop.wrap else {}
    send = client.post if stop.sent else client.get
    answer = send(stop.address, stop.sent or None, headers=asks)
    assert answer.status_code == stop.status, (stop, answer.status_code)
    markup = answer.content.decode()
    return AROUND.format(stop.wrap.format(markup)) if stop.wrap else markup


def broken() -> str:
    """Return the page for a defect, which no address leads to."""
    from django.test import RequestFactory

    from config.problems import server_error

    return server_error(RequestFactory().get("/")).content.decode()


if __name__ == "__main__":
    sys.exit(main())
