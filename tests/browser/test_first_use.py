"""From an empty company to a kit that was checked and a show, by the steps that the first page gives."""

import pytest
from playwright.sync_api import Page, expect

from inventory.checks.drain import drain
from inventory.models import Kit, Spec
from scheduling.models import Event
from tests.browser.axe import violations
from tests.browser.conftest import DESK, PHONE, Visit
from tests.inventory.gear import make_everything_due
from tests.service import PASSWORD, People
from web.first_owner import address_of_first_owner

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

LINE = "1-4 8p8c 1G class4 out; 5-8 8p8c 1G; dc dc-5.5x2.1 48-57V 78W"
WAYS = [
    pytest.param(PHONE, True, id="phone"),
    pytest.param(PHONE, False, id="phone without a script"),
    pytest.param(DESK, True, id="desk"),
    pytest.param(DESK, False, id="desk without a script"),
]


def sign_in(page: Page, username: str) -> None:
    page.goto("/sign-in/")
    page.fill("#username", username)
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Sign in").click()


def follow_next_step(page: Page, button: str) -> None:
    page.goto("/")
    page.locator("li.next").get_by_role("link", name=button).click()


def no_wider_than_the_screen(page: Page) -> bool:
    return page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def write_a_sheet(page: Page, *, script: bool) -> None:
    follow_next_step(page, "Write the sheet")
    page.fill("#f-name", "Compact switch")
    page.select_option("#f-kind", "switch")
    page.locator("#f-ports_text").press_sequentially(LINE)
    if not script:
        page.get_by_role("button", name="Read it back").click()
    expect(page.locator("#reading")).to_contain_text("Read as 9 ports.")
    expect(page.locator("#reading")).to_contain_text("takes 48 to 57 V, 78 W")
    assert no_wider_than_the_screen(page)
    page.fill("#f-poe-budget_w", "65")
    page.get_by_role("button", name="Write the sheet").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Compact switch")


def enter_a_unit(page: Page) -> str:
    follow_next_step(page, "Enter a unit")
    page.select_option("#f-spec", label="Compact switch")
    page.get_by_role("button", name="Enter them").click()
    return page.locator("h1 + .tag").inner_text()


def make_a_kit(page: Page, tag: str, *, script: bool) -> None:
    follow_next_step(page, "Make a kit")
    page.fill("#f-name", "Booth case")
    page.get_by_role("button", name="Make the kit").click()
    page.get_by_role("link", name="Add a place").click()
    page.fill("#f-label", "switch A")
    page.select_option("#f-spec", label="Compact switch")
    page.fill("#f-unit", tag)
    page.get_by_role("button", name="Add the place").click()
    expect(page.locator("#headline")).to_contain_text("Checking")
    make_everything_due()
    drain()
    if not script:
        page.get_by_role("link", name="Look again").click()
    expect(page.locator("#headline")).not_to_contain_text("Checking", timeout=10_000)
    expect(page.locator(".verdicts")).not_to_contain_text("not checked yet")


def plan_a_show(page: Page) -> None:
    follow_next_step(page, "Plan a show")
    page.fill("#f-name", "Harvest choirs")
    page.fill("#f-gear_out_at", "2031-05-05T08:00")
    page.fill("#f-gear_back_at", "2031-05-06T10:00")
    page.get_by_role("button", name="Plan it").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Harvest choirs")


@pytest.mark.parametrize(("size", "script"), WAYS)
def test_an_empty_company_gets_to_a_checked_kit(
    visit: Visit, people: People, size: dict[str, int], script: bool
) -> None:
    page = visit(None, size=size, script=script)
    sign_in(page, people["planner"].username)
    expect(page.get_by_role("heading", name="Begin here")).to_be_visible()
    assert no_wider_than_the_screen(page)
    write_a_sheet(page, script=script)
    tag = enter_a_unit(page)
    make_a_kit(page, tag, script=script)
    plan_a_show(page)
    page.goto("/")
    expect(page.get_by_role("heading", name="Begin here")).to_have_count(0)
    expect(page.get_by_role("heading", name="Still to begin with")).to_have_count(0)
    assert Kit.objects.get().verdict is not None
    assert Event.objects.get().name == "Harvest choirs"


@pytest.mark.parametrize(("size", "script"), WAYS)
def test_the_first_owner_sets_up_the_company(visit: Visit, size: dict[str, int], script: bool) -> None:
    page = visit(None, size=size, script=script)
    page.goto(address_of_first_owner())
    if script:
        assert violations(page) == []
    page.set_viewport_size(size)
    page.fill("#f-name", "Barn crew")
    page.fill("#f-username", "ida")
    page.fill("#f-password", PASSWORD)
    page.fill("#f-again", PASSWORD)
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Begin here")).to_be_visible()
    assert no_wider_than_the_screen(page)


def test_pages_with_nothing_on_them_can_be_used_by_everybody(visit: Visit) -> None:
    page = visit("planner")
    for address in ("/", "/kits/", "/events/", "/free/", "/time/", "/bench/", "/specs/", "/venues/", "/measuring/"):
        page.goto(address)
        assert violations(page) == [], address


def test_a_line_that_cannot_be_read_says_where_while_it_is_typed(visit: Visit) -> None:
    page = visit("planner")
    page.goto("/specs/new/")
    page.locator("#f-ports_text").press_sequentially("1-4 8p8 1G")
    expect(page.locator("#reading")).to_contain_text("the nearest is “8p8c”")
    expect(page.locator("#reading mark")).to_have_text("8p8 1G")
    page.fill("#f-ports_text", "1-4 8p8c 1G")
    expect(page.locator("#reading")).to_contain_text("Read as 4 ports.")
    assert not Spec.objects.exists()


def test_a_session_that_ends_while_a_line_is_typed_loses_nothing(visit: Visit) -> None:
    page = visit("planner")
    page.goto("/specs/new/")
    page.fill("#f-name", "Compact switch")
    page.fill("#f-weight_kg", "0.6")
    kept = [each for each in page.context.cookies() if each["name"] != "sessionid"]
    page.context.clear_cookies()
    page.context.add_cookies(kept)
    page.locator("#f-ports_text").press_sequentially(LINE)
    expect(page.get_by_text("What you typed is kept.")).to_be_visible()
    page.fill("#username", "planner")
    page.fill("#password", "a long enough password")
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator("#f-name")).to_have_value("Compact switch")
    expect(page.locator("#f-weight_kg")).to_have_value("0.6")
    expect(page.locator("#f-ports_text")).to_have_value(LINE)
