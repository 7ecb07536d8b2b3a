"""A kit in a real browser: on a phone and on a desk, with a script and without one."""

import re

import pytest
from playwright.sync_api import expect

from inventory.checks.drain import drain
from tests.browser.conftest import DESK, PHONE, Visit
from tests.web.company import Gear, make_unit, stage_case

PACK = re.compile("^Pack ")

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def gear(live_server) -> Gear:
    made = stage_case(without=("switch B",))
    drain()
    return made


def tag_of(unit: int) -> str:
    from inventory.selectors.units import unit_rows

    return str(unit_rows().get(pk=unit)["tag"])


def row_of(gear: Gear, label: str) -> str:
    from inventory.selectors.kits import show_kit

    kit = show_kit(gear.kit)
    assert kit is not None
    return next(f"#p{each['id']}" for each in kit["positions"] if each["label"] == label)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_pack_a_unit_and_watch_the_check_arrive(visit: Visit, gear: Gear, size: dict[str, int]) -> None:
    spare = tag_of(make_unit(gear.specs["switch"]))
    page = visit("planner", size=size)
    page.goto("/kits/")
    page.click("text=Stage case 2")
    expect(page.locator("#headline")).to_be_visible()
    page.evaluate("window.notReloaded = true")
    row = row_of(gear, "switch B")
    page.locator(row).get_by_role("link", name=PACK).click()
    page.get_by_role("button", name=f"Pack {spare}").click()
    expect(page.locator(row)).to_contain_text(spare[:-1])
    expect(page.locator("#headline")).to_contain_text("Checking")
    assert drain() == 1
    expect(page.locator("#headline")).to_contain_text("switch A", timeout=10_000)
    expect(page.locator("details.finding").first).to_contain_text("Stop")
    assert page.evaluate("window.notReloaded") is True
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_pack_a_unit_without_a_script(visit: Visit, gear: Gear) -> None:
    spare = tag_of(make_unit(gear.specs["switch"]))
    page = visit("planner", script=False)
    page.goto("/kits/")
    page.click("text=Stage case 2")
    row = row_of(gear, "switch B")
    page.locator(row).get_by_role("link", name=PACK).click()
    page.fill("#f-tag", spare)
    page.get_by_role("button", name="Pack it").click()
    expect(page.locator(row)).to_contain_text(spare[:-1])
    expect(page.locator("#headline")).to_contain_text("Checking")
    drain()
    page.get_by_role("link", name="Look again").click()
    expect(page.locator("details.finding").first).to_contain_text("Stop")
    page.get_by_role("link", name="Draw the wiring").click()
    expect(page.locator("svg.wire")).to_be_visible()


def test_a_refusal_stands_in_the_row_with_what_was_typed(visit: Visit, gear: Gear) -> None:
    page = visit("planner")
    page.goto(f"/kits/{gear.kit}/")
    page.locator(row_of(gear, "switch B")).get_by_role("link", name=PACK).click()
    page.fill("#f-tag", "T9999")
    page.get_by_role("button", name="Pack it").click()
    expect(page.locator(row_of(gear, "switch B"))).to_contain_text("No unit has the tag T9999.")
    expect(page.locator("#f-tag")).to_have_value("T9999")


def test_an_edit_that_is_left_puts_the_row_back(visit: Visit, gear: Gear) -> None:
    page = visit("planner")
    page.goto(f"/kits/{gear.kit}/")
    row = page.locator(row_of(gear, "switch B"))
    row.get_by_role("link", name=PACK).click()
    row.get_by_role("link", name="Cancel").click()
    expect(row.get_by_role("link", name=PACK)).to_be_visible()
    expect(page.locator("#f-tag")).to_have_count(0)


def test_a_session_that_ends_in_the_middle_loses_nothing(visit: Visit, gear: Gear) -> None:
    page = visit("planner")
    page.goto(f"/kits/{gear.kit}/")
    page.locator(row_of(gear, "switch B")).get_by_role("link", name=PACK).click()
    page.fill("#f-tag", "T12345")
    session = [each for each in page.context.cookies() if each["name"] != "sessionid"]
    page.context.clear_cookies()
    page.context.add_cookies(session)
    page.get_by_role("button", name="Pack it").click()
    expect(page.get_by_text("What you typed is kept.")).to_be_visible()
    page.fill("#username", "planner")
    page.fill("#password", "a long enough password")
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator("#f-tag")).to_have_value("T12345")
    expect(page.get_by_text("Nothing of it is sent yet.")).to_be_visible()


def test_a_finding_opens_its_arithmetic_and_leads_into_the_wiring(visit: Visit, gear: Gear) -> None:
    page = visit("viewer", size=DESK)
    page.goto(f"/kits/{gear.kit}/")
    expect(page.locator("svg.wire")).to_be_visible(timeout=30_000)
    finding = page.locator("details.finding").first
    finding.locator("summary").click()
    expect(finding.get_by_text("Margin")).to_be_visible()
    finding.get_by_role("link", name="See it in the wiring").click()
    target = page.url.partition("#")[2]
    assert re.fullmatch(r"w-\d+", target)
    assert page.locator(f"#{target}").evaluate("each => each.matches(':target')")


def test_a_hole_of_the_lid_leads_to_its_row_by_keyboard(visit: Visit, gear: Gear) -> None:
    page = visit("viewer")
    page.goto(f"/kits/{gear.kit}/")
    page.locator("svg.face a").nth(2).focus()
    page.keyboard.press("Enter")
    assert page.url.endswith("#h3")


def test_on_paper_a_kit_is_one_sheet_without_forms(visit: Visit, gear: Gear) -> None:
    page = visit("planner", size=DESK)
    page.goto(f"/kits/{gear.kit}/")
    sheets = re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(prefer_css_page_size=True))
    assert len(sheets) == 1
    page.emulate_media(media="print")
    for kept in ("#headline", ".face", "table.plugs", "table.contents", ".lid-findings", ".lid-figures"):
        expect(page.locator(kept)).to_be_visible()
    for left_out in page.locator("form, button, .btn, #wiring-part").all():
        expect(left_out).to_be_hidden()
