"""Booking in a real browser: a conflict and its stand-in, four shows side by side, time; with and without a script."""

import pytest
from playwright.sync_api import Page, expect

from inventory.models import Unit
from inventory.services.faults import report_fault
from scheduling.models import Booking
from scheduling.services.venues import create_venue
from tests.browser.conftest import DESK, PHONE, Visit
from tests.scheduling.factories import KitFactory, PositionFactory, SpecFactory, UnitFactory
from tests.web.company import make_unit, write
from tests.web.shows import booked, moment, show

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
SCRIPTS = pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])


@pytest.fixture
def house(live_server) -> int:
    circuits = [{"name": "Stage left", "breaker_a": 16.0}, {"name": "Kitchen"}]
    return write(None, lambda c: create_venue(c, fields={"name": "Barn", "circuits": circuits}))


def cases() -> tuple[int, int]:
    """Two kits alike, the first with the name Case 1."""
    first = KitFactory(name="Case 1")
    case = first.positions.get(role="case")
    return first.pk, KitFactory(name="Case 2", case=UnitFactory(spec=case.spec)).pk


def fits(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"))


@SIZES
@SCRIPTS
def test_book_hit_a_conflict_and_take_the_stand_in(
    visit: Visit, house: int, size: dict[str, int], script: bool
) -> None:
    first, second = cases()
    booked(show("Green"), kit=first)
    event = show("Choirs", venue=house)
    page = visit("planner", size=size, script=script)
    page.goto(f"/events/{event}/")
    page.get_by_label("Kit or type").select_option(f"kit-{first}")
    page.get_by_label("Confirm", exact=True).check()
    page.get_by_role("button", name="Book it").click()
    expect(page.locator("#way")).to_contain_text("promised to Green")
    expect(page.get_by_label("Kit or type")).to_have_value(f"kit-{first}")
    expect(page.get_by_label("Confirm", exact=True)).to_be_checked()
    assert fits(page)
    page.get_by_role("button", name="Take Case 2 instead").click()
    expect(page.get_by_role("status").first).to_contain_text("Booked.")
    expect(page.locator(".booked")).to_contain_text("Case 2")
    assert (Booking.objects.latest("pk").kit_id, Booking.objects.latest("pk").state) == (second, "confirmed")


@SIZES
@SCRIPTS
def test_what_is_free_across_four_shows_and_book_from_the_cell(
    visit: Visit, live_server, size: dict[str, int], script: bool
) -> None:
    spec = SpecFactory(name="Access point")
    for _ in range(3):
        UnitFactory(spec=spec)
    KitFactory(name="Case 1")
    shows = [show(f"Show {day}", out=day, back=day + 0.5) for day in (1, 2, 3, 4)]
    page = visit("crew", size=size, script=script)
    page.goto("/")
    page.get_by_role("link", name="Free", exact=True).click()
    if not script:
        page.get_by_role("link", name="Show the types").click()
    row = page.locator(f"#r-s{spec.pk}")
    expect(row.locator(".count")).to_have_text(["3", "3", "3", "3"])
    row.locator(".cell").nth(1).click()
    opened = page.locator(f"#r-s{spec.pk} .opened")
    expect(opened).to_contain_text("Access point, Show 2: 3 bookable")
    opened.get_by_label("How many").fill("2")
    opened.get_by_label("Confirm", exact=True).check()
    opened.get_by_role("button", name="Book it").click()
    expect(page.locator(f"#r-s{spec.pk} .opened")).to_contain_text("Booked for Show 2.")
    expect(page.locator(f"#r-s{spec.pk} .count")).to_have_text(["3", "1", "3", "3"])
    made = Booking.objects.get()
    assert (made.event_id, made.quantity, made.state) == (shows[1], 2, "confirmed")
    assert fits(page)


@SCRIPTS
def test_choose_shows_by_their_boxes(visit: Visit, live_server, script: bool) -> None:
    KitFactory(name="Case 1")
    for day in range(1, 7):
        show(f"Show {day}", out=day, back=day + 0.5)
    page = visit("viewer", script=script)
    page.goto("/free/")
    page.get_by_text("4 shows").click()
    page.get_by_label("Show 2").uncheck()
    page.get_by_label("Show 6").check()
    page.get_by_role("button", name="Show what is free").click()
    expect(page.locator(".free thead a")).to_have_text(["Show 1", "Show 3", "Show 4", "Show 6"])


@SCRIPTS
def test_a_lacking_unit_is_replaced_by_one_tap(visit: Visit, live_server, script: bool) -> None:
    kit = KitFactory(name="Case 1")
    place = PositionFactory(kit=kit, label="switch A")
    event = show("Choirs")
    booked(event, kit=kit.pk)
    spare = Unit.objects.get(pk=make_unit(place.spec.pk))
    write(None, lambda c: report_fault(c, unit_id=place.unit.pk, what="dead", port=None, usable=False, note=""))
    page = visit("planner", script=script)
    page.goto(f"/events/{event}/")
    if not script:
        page.get_by_role("link", name="See what could stand in").click()
    page.get_by_role("button", name=f"Take {spare.tag} instead").click()
    expect(page.get_by_role("status").first).to_contain_text("Done.")
    expect(page.locator(".booked")).not_to_contain_text("short")


def test_a_move_onto_others_keeps_what_was_typed(visit: Visit, live_server) -> None:
    unit = UnitFactory()
    booked(show("Green", out=10, back=11), unit=unit.pk)
    event = show("Choirs", out=1, back=2)
    booked(event, unit=unit.pk)
    page = visit("planner", size=DESK)
    page.goto(f"/events/{event}/edit/")
    page.get_by_label("Name").fill("Choirs, later")
    page.get_by_label("Gear leaves").fill(moment(10.1).strftime("%Y-%m-%dT%H:%M"))
    page.get_by_label("Gear is back").fill(moment(10.4).strftime("%Y-%m-%dT%H:%M"))
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("promised to Green")).to_be_visible()
    expect(page.get_by_label("Name")).to_have_value("Choirs, later")
    page.get_by_label("Move it all the same").check()
    page.get_by_role("button", name="Only say what would happen").click()
    expect(page.get_by_role("status").last).to_contain_text("Nothing is changed yet.")


def test_time_is_gone_through_by_links_and_leads_to_the_show(visit: Visit, live_server) -> None:
    kit = KitFactory(name="Case 1")
    event = show("Choirs", out=10, back=12)
    booked(event, kit=kit.pk)
    page = visit("viewer", script=False)
    page.goto("/time/")
    expect(page.locator("svg.time a")).to_have_count(0)
    page.get_by_role("link", name="Month").click()
    expect(page.locator("svg.time a")).to_have_count(1)
    assert fits(page)
    page.locator("svg.time a").focus()
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_have_text("Choirs")
