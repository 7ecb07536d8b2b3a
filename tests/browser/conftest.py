"""A real browser on a phone and on a desk, at a running service of this test's own.

Every request is recorded, and a request to another host fails the test that made it. axe-core (MPL-2.0) stands in
``vendor`` with its licence.
"""

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
AXE = Path(__file__).parent / "vendor" / "axe" / "axe.min.js"
PHONE: "ViewportSize" = {"width": 390, "height": 844}
DESK: "ViewportSize" = {"width": 1280, "height": 900}

# The browser's driver runs a loop in this thread; the database is used from it all the same, one call at a time.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

Visit = Callable[..., "Page"]


@pytest.fixture(scope="session")
def chromium(django_db_setup: None) -> Iterator["Browser"]:
    from django.db import connections
    from playwright.sync_api import sync_playwright

    known = {alias: connections[alias] for alias in connections}
    with sync_playwright() as driver:
        # While the driver's loop runs, connections are looked up anew; the ones that know the test database stay.
        for alias, connection in known.items():
            connections[alias] = connection
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        yield browser
        browser.close()


@pytest.fixture
def visit(chromium: "Browser", live_server, people) -> Iterator[Visit]:
    """Return ``visit(role, size=PHONE, scheme="light", script=True)``: an empty page of somebody who is signed in.

    ``visit(None)`` is nobody. Who signs in by the page itself loads two pages more, so only the tests about that do.
    """
    from django.test import Client

    asked: list[str] = []
    errors: list[str] = []
    opened: list[BrowserContext] = []

    def begin(role: str | None, *, size: dict[str, int] = PHONE, scheme: str = "light", script: bool = True) -> "Page":
        context = chromium.new_context(
            base_url=live_server.url, viewport=size, color_scheme=scheme, java_script_enabled=script
        )
        opened.append(context)
        context.on("request", lambda request: asked.append(request.url))
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if "Content Security Policy" in said.text else None)
        if role is not None:
            client = Client()
            client.force_login(people[role])
            session = client.cookies["sessionid"].value
            context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
        return page

    yield begin
    for context in opened:
        context.close()
    own = urlsplit(live_server.url).netloc
    assert [url for url in asked if urlsplit(url).netloc != own and not url.startswith("data:")] == []
    assert errors == []
