"""What axe-core finds wrong with a page, with everything on it unfolded."""

from playwright.sync_api import Page

from tests.browser.conftest import AXE


def violations(page: Page) -> list[str]:
    """Return each breach of WCAG 2.0 to 2.2, A and AA, and of best practice, with the markup that it is about."""
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    page.evaluate(AXE.read_text())
    found = page.evaluate(
        "axe.run({runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']})"
    )
    return [f"{each['id']}: {node['html'][:160]}" for each in found["violations"] for node in each["nodes"]]
