"""Check the markup of the pages with the Nu checker: ``python -m tests.browser.markup``.

Takes Java, and once the npm registry: the checker (``vnu-jar``, MIT) is put under ``var/tools``. Exits with 1 when it
finds an error.
"""

import subprocess
import sys
from pathlib import Path

from tests.browser.screenshots import addresses
from tests.browser.service import running

TOOLS = Path("var/tools")
CHECKER = TOOLS / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
VERSION = "26.9.27"


def main() -> int:
    if not CHECKER.exists():
        TOOLS.mkdir(parents=True, exist_ok=True)
        subprocess.run(["npm", "install", "--prefix", str(TOOLS), "--no-save", f"vnu-jar@{VERSION}"], check=True)
    pages = TOOLS / "pages"
    pages.mkdir(exist_ok=True)
    with running() as (_, kit):
        for name, markup in fetched(kit).items():
            (pages / f"{name}.html").write_text(markup, encoding="utf-8")
    return subprocess.run(
        ["java", "-jar", str(CHECKER), "--errors-only", *map(str, sorted(pages.glob("*.html")))]
    ).returncode


def fetched(kit: int) -> dict[str, str]:
    """Return the markup of each page, as somebody who may do everything is shown it."""
    from django.test import Client

    from inventory.base.models import User

    client = Client()
    client.force_login(User.objects.get(username="planner"))
    return {name: client.get(path).content.decode() for name, path in addresses(kit).items()} | {
        "sign-in": Client().get("/sign-in/").content.decode()
    }


if __name__ == "__main__":
    sys.exit(main())
