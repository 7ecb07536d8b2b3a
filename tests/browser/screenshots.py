"""Take pictures of the pages of the demo company: ``python -m tests.browser.screenshots [words …]``.

They stand in ``var/shots``: phone and desk, light and dark; with words, only the pages whose names have one of them.
For people to look at; nothing is compared.
"""

import re
import sys
from collections.abc import Sequence
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.browser.conftest import ARGUMENTS, CHROMIUM, DESK, PHONE
from tests.browser.service import PASSWORD, running
from tests.browser.tour import Stop, tour
from tests.browser.walk import go

FOLDER = Path("var/shots")
LOOKS = [(name, size, scheme) for name, size in (("phone", PHONE), ("desk", DESK)) for scheme in ("light", "dark")]


def main(wanted: Sequence[str]) -> None:
    FOLDER.mkdir(parents=True, exist_ok=True)
    with running() as address:
        stops = [stop for stop in tour() if not stop.wrap and any(word in stop.name for word in wanted or [""])]
        with sync_playwright() as driver:
            browser = driver.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
            for who in dict.fromkeys(stop.who for stop in stops):
                photograph(browser, address, who, [stop for stop in stops if stop.who == who])
            browser.close()


def photograph(browser: Browser, address: str, who: str, stops: Sequence[Stop]) -> None:
    page = browser.new_context(base_url=address).new_page()
    if who:
        page.goto("/sign-in/")
        page.fill("#username", who)
        page.fill("#password", PASSWORD)
        page.click("button")
    for stop in stops:
        go(page, stop)
        for name, size, scheme in LOOKS:
            page.set_viewport_size(size)
            page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]  # light or dark
            file = re.sub(r"[^a-z]+", "-", stop.name)
            page.screenshot(path=FOLDER / f"{file}-{name}-{scheme}.png", full_page=True)
    page.context.close()


if __name__ == "__main__":
    main(sys.argv[1:])
