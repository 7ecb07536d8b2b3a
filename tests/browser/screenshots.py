"""Take pictures of the pages: ``python -m tests.browser.screenshots`` writes them to ``var/shots``.

Phone and desk, light and dark. For people to look at; nothing is compared.
"""

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.conftest import ARGUMENTS, CHROMIUM, DESK, PHONE
from tests.browser.service import PASSWORD, running

FOLDER = Path("var/shots")
SIZES = {"phone": PHONE, "desk": DESK}


def addresses(kit: int) -> dict[str, str]:
    return {
        "kits": "/kits/",
        "kit": f"/kits/{kit}/",
        "draft": f"/kits/{kit}/draft/",
        "brief": f"/kits/{kit}/brief/",
        "compare": f"/kits/compare/?a={kit}&b={kit + 1}",
        "measuring": "/measuring/",
        "pack": f"/kits/{kit}/positions/2/",
        "position": f"/kits/{kit}/positions/new/",
        "link": f"/kits/{kit}/links/new/",
        "wiring": f"/kits/{kit}/wiring/",
        "find": "/find/?q=camera",
        "new-kit": "/kits/new/",
        "components": "/components/",
        "docs": "/docs/checks/",
        "problem": "/problems/stale",
        "nothing": "/nowhere/",
    }


def main(wanted: list[str]) -> None:
    FOLDER.mkdir(parents=True, exist_ok=True)
    with running() as (address, kit), sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        for name, size in SIZES.items():
            for scheme in ("light", "dark"):
                context = browser.new_context(base_url=address, viewport=size, color_scheme=scheme)
                page = context.new_page()
                page.goto("/sign-in/")
                page.screenshot(path=FOLDER / f"sign-in-{name}-{scheme}.png")
                page.fill("#username", "planner")
                page.fill("#password", PASSWORD)
                page.click("button")
                for page_name, path in addresses(kit).items():
                    if wanted and page_name not in wanted:
                        continue
                    page.goto(path)
                    page.wait_for_load_state("networkidle")
                    page.screenshot(path=FOLDER / f"{page_name}-{name}-{scheme}.png", full_page=True)
                context.close()
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1:])
