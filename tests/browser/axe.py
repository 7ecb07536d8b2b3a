"""What is wrong with a page as it stands: what axe-core finds, what is too wide, what is too small for a thumb."""

from collections.abc import Sequence
from typing import Literal

from playwright.sync_api import Page, ViewportSize

from tests.browser.conftest import AXE, DESK, PHONE

Scheme = Literal["dark", "light"]
LOOKS: list[tuple[ViewportSize, Scheme]] = [(PHONE, "dark"), (DESK, "light")]
"""Each size in one theme: colours hang on the theme, lines and touch on the size."""
EVERY_RULE = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
OF_A_LOOK = ["color-contrast", "link-in-text-block", "target-size", "scrollable-region-focusable"]
"""What hangs on colours and sizes; the other rules read the markup, which is the same in every look."""
RUN = """rules => axe.run({
    runOnly: rules, resultTypes: ['violations'], preload: false
}).then(found => found.violations.flatMap(
    each => each.nodes.map(node => `${each.id}: ${node.html.slice(0, 160)}`)
))"""
"""Without preloading: axe-core would copy imported styles into the page, which its own policy forbids."""
SMALL = """[...document.querySelectorAll('button, .btn, input:not([type=hidden], [type=checkbox]), select, summary')]
    .filter(each => each.checkVisibility() && each.getBoundingClientRect().height < 44)
    .map(each => `less than 44 px high: ${each.outerHTML.slice(0, 160)}`)"""
"""Every control is 44 px high, for a thumb in a glove."""
WIDE = "document.documentElement.scrollWidth > window.innerWidth ? ['wider than the screen'] : []"


def violations(page: Page) -> list[str]:
    """Return each breach of WCAG 2.0 to 2.2, A and AA, and of best practice, and what does not fit.

    Everything is unfolded, and looked at on a phone in the dark, then on a desk in the light, without loading it anew.
    """
    page.evaluate(AXE.read_text())
    return misfits(page, EVERY_RULE) + misfits(page, OF_A_LOOK, *LOOKS[1])


def misfits(
    page: Page, rules: Sequence[str] = (), size: ViewportSize = LOOKS[0][0], scheme: Scheme = LOOKS[0][1]
) -> list[str]:
    """Return what is wider than the screen or lower than a thumb, and what breaks these rules of axe-core."""
    page.set_viewport_size(size)
    page.emulate_media(color_scheme=scheme)
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    found = page.evaluate(RUN, rules) if rules else []
    return [f"{size['width']} px, {scheme}: {each}" for each in (*found, *page.evaluate(SMALL), *page.evaluate(WIDE))]
