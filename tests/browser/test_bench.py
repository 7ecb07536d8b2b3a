"""Today, the bench, units, data sheets, finding and people, in a real browser."""

from dataclasses import dataclass

import pytest
from playwright.sync_api import expect

from inventory.models import Unit
from inventory.services.faults import report_fault
from tests.browser.conftest import DESK, PHONE, Visit
from tests.web.company import make_specs, make_unit, write
from tests.web.shows import booked, show

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

WAYS = [
    pytest.param(PHONE, True, id="phone"),
    pytest.param(PHONE, False, id="phone without a script"),
    pytest.param(DESK, True, id="desk"),
]


@dataclass(frozen=True)
class Shelf:
    """Three switches alike, of which two are promised to a show, and one to a second at the same time."""

    spec: int
    broken: Unit
    spare: Unit


@pytest.fixture
def shelf(live_server) -> Shelf:
    spec = make_specs()["switch"]
    units = [Unit.objects.get(pk=make_unit(spec)) for _ in range(2)]
    booked(show("Harvest choirs", out=1, back=2), unit=units[0].pk)
    return Shelf(spec=spec, broken=units[0], spare=units[1])


@pytest.mark.parametrize(("size", "script"), WAYS)
def test_a_broken_port_is_flagged_by_two_taps_and_says_whom_it_hurts(
    visit: Visit, shelf: Shelf, size: dict[str, int], script: bool
) -> None:
    page = visit("crew", size=size, script=script)
    page.goto("/bench/")
    page.fill("#tag", shelf.broken.tag.lower())
    page.get_by_role("button", name="Flag a fault").click()
    page.get_by_role("radio", name="8", exact=True).click()
    page.get_by_role("button", name="Dead").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Dead at 8")
    hurt = page.locator("section", has=page.get_by_role("heading", name="Whom it hurts"))
    expect(hurt).to_contain_text("short 1")
    expect(hurt).to_contain_text("Harvest choirs")
    expect(hurt.locator(f'a[href="/units/{shelf.spare.pk}/"]')).to_be_visible()
    page.goto("/")
    expect(page.locator("li.risk")).to_contain_text("Harvest choirs")
    page.get_by_role("link", name="Whole bench").click()
    expect(page.locator("li.job")).to_contain_text("Dead at 8")
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_mending_brings_it_back_and_nobody_is_hurt_any_more(visit: Visit, shelf: Shelf) -> None:
    flag(shelf.broken)
    page = visit("planner")
    page.goto("/bench/")
    page.get_by_role("link", name="Write down work").click()
    page.fill("#f-note", "new jack")
    page.fill("#f-cost", "8.40")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator(".trust")).to_contain_text("no open fault")
    page.goto("/")
    expect(page.locator("li.risk")).to_have_count(0)


def flag(unit: Unit) -> int:
    given = {"what": "dead", "port": "8", "usable": None, "note": "no light"}
    return write(None, lambda c: report_fault(c, unit_id=unit.pk, **given))


def test_finding_answers_while_it_is_typed(visit: Visit, shelf: Shelf) -> None:
    page = visit("viewer")
    page.goto("/find/")
    page.evaluate("window.notReloaded = true")
    page.locator("[type=search]").press_sequentially(shelf.broken.tag)
    expect(page.locator("#found li")).to_have_count(1)
    expect(page.locator("#found")).to_contain_text("Harvest choirs")
    expect(page.locator("#count")).to_have_text("1 unit")
    assert page.url.endswith(f"/find/?q={shelf.broken.tag}")
    page.fill("[type=search]", "")
    expect(page.locator("#found")).to_contain_text("Type what you look for")
    assert page.evaluate("window.notReloaded") is True


def test_finding_from_any_page_without_a_script(visit: Visit, shelf: Shelf) -> None:
    page = visit("viewer", script=False)
    page.goto("/bench/")
    page.fill("[type=search]", shelf.spare.tag)
    page.get_by_role("button", name="Find").click()
    page.locator("#found a.name").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Compact switch")


def test_a_tag_with_a_wrong_character_leads_to_the_right_one(visit: Visit, shelf: Shelf) -> None:
    page = visit("crew")
    wrong = shelf.spare.tag[:-1] + ("A" if shelf.spare.tag[-1] != "A" else "B")
    page.goto(f"/bench/flag/?tag={wrong}")
    expect(page.locator("main")).to_contain_text(f"One character of {wrong} is wrong")
    page.get_by_role("link", name=shelf.spare.tag).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("What broke?")
