"""The first page: what is at risk, what moves over the dock, what is late, what is held back; how a company begins."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.utils import timezone

from inventory.checks.drain import drain
from inventory.models import Acceptance, Company, Finding, Kit, Position
from inventory.services.downtimes import open_downtime
from inventory.services.faults import report_fault
from scheduling.models import Booking, Event
from scheduling.services.events import change_event_state
from tests.scheduling.factories import KitFactory, SpecFactory, UnitFactory, VenueFactory
from tests.web.company import stage_case, write
from tests.web.reading import text
from tests.web.shows import booked, moment, show
from web.views.today import dock_days

pytestmark = pytest.mark.django_db

ROLES = ("viewer", "crew", "planner", "owner", "electrics")


def section(page: str, name: str) -> str:
    return re.search(rf'<section[^>]*aria-labelledby="{name}".*?</section>', page, re.DOTALL)[0]


def flag(unit: int, **fields: object) -> int:
    given = {"what": "dead", "port": None, "usable": None, "note": "", **fields}
    return write(None, lambda c: report_fault(c, unit_id=unit, **given))


# How a company begins


def test_an_empty_company_is_led_to_its_first_data_sheet(reader) -> None:
    page = text(reader("planner").get("/"))
    begin = section(page, "begin")
    assert "Begin here" in begin
    assert re.findall(r'class="btn go" href="([^"]+)"', begin) == ["/specs/new/"]
    assert begin.count("<li") == 4
    assert 'id="risk"' not in page
    assert "Nothing calls for you" not in page


def test_each_step_leads_to_the_next_and_the_last_ends_them(reader) -> None:
    planner = reader("planner")

    def next_step() -> list[str]:
        page = text(planner.get("/"))
        return re.findall(r'class="btn go" href="([^"]+)"', section(page, "begin")) if 'id="begin"' in page else []

    spec = SpecFactory()
    assert next_step() == ["/units/new/"]
    UnitFactory(spec=spec)
    assert next_step() == ["/kits/new/"]
    KitFactory()
    assert next_step() == ["/events/new/"]
    show()
    assert next_step() == []


@pytest.mark.parametrize("role", ["viewer", "crew", "electrics"])
def test_others_are_told_who_begins(reader, role: str) -> None:
    page = text(reader(role).get("/"))
    assert "A planner begins with a data sheet" in page
    assert "/specs/new/" not in page


@pytest.mark.parametrize("address", ["/specs/new/", "/units/new/", "/kits/new/", "/events/new/"])
def test_every_step_has_its_form(reader, address: str) -> None:
    assert reader("planner").get(address).status_code == 200
    assert reader("crew").get(address).status_code == 403
    assert reader("crew").post(address, {"name": "forced"}).status_code == 403


# Nothing to do


def test_a_quiet_day_says_so_and_offers_to_plan(reader) -> None:
    show(out=20, back=21)
    planner, viewer = text(reader("planner").get("/")), text(reader("viewer").get("/"))
    assert "Nothing calls for you." in planner
    for said in ("Nothing leaves or comes back", "Nothing is late.", "Nothing is held back."):
        assert said in viewer
    assert 'href="/events/new/"' in section(planner, "dock")
    assert 'href="/events/new/"' not in viewer


@pytest.mark.parametrize("role", ROLES)
def test_everybody_has_a_first_page(reader, role: str) -> None:
    assert reader(role).get("/").status_code == 200


def test_the_day_and_the_hour_are_those_of_the_company(reader) -> None:
    Company.objects.update(timezone="Pacific/Kiritimati")  # 14 hours ahead of UTC
    here = timezone.now() + timedelta(hours=14)
    page = text(reader("viewer").get("/"))
    assert f"{here:%A} {here.day} {here:%B}" in page


# At risk


def test_a_show_that_lacks_something_stands_first_with_what_it_lacks(reader) -> None:
    spec = SpecFactory(name="Mains adapter")
    broken = UnitFactory(spec=spec)
    event = show("Harvest choirs", out=3, back=4)
    booked(event, unit=broken.pk)
    flag(broken.pk)
    page = section(text(reader("viewer").get("/")), "risk")
    assert f'<a href="/events/{event}/">Harvest choirs</a>' in page
    assert "short 1" in page
    assert f"Mains adapter {broken.tag}: held back." in page


def test_several_lacks_of_a_show_are_one_entry(reader) -> None:
    event = show()
    for _ in range(6):
        unit = UnitFactory()
        booked(event, unit=unit.pk)
        flag(unit.pk)
    page = section(text(reader("viewer").get("/")), "risk")
    assert page.count('class="risk"') == 1
    assert "short 6" in page
    assert "and 2 more" in page


def test_what_is_only_pencilled_or_only_a_spare_is_a_caution(reader) -> None:
    pencilled = UnitFactory()
    booked(show("Perhaps"), unit=pencilled.pk, state="pencil")
    flag(pencilled.pk)
    page = section(text(reader("viewer").get("/")), "risk")
    assert "lacks 1" in page
    assert "short 1" not in page


def test_what_is_further_ahead_than_two_weeks_does_not_call_yet(reader) -> None:
    unit = UnitFactory()
    booked(show(out=15, back=16), unit=unit.pk)
    flag(unit.pk)
    assert "No show of the next 14 days is short" in text(reader("viewer").get("/"))


def stopped(name: str = "Stage case 2") -> Kit:
    """Return a kit whose check says stop."""
    kit = Kit.objects.get(pk=stage_case(name=name).kit)
    drain()
    kit.refresh_from_db()
    assert kit.verdict == "stop"
    return kit


def test_a_kit_with_a_stop_that_goes_out_soon_is_at_risk(reader) -> None:
    kit = stopped()
    booked(show("Harvest choirs", out=2, back=3), kit=kit.pk)
    booked(show("Far ahead", out=20, back=21), kit=kit.pk)
    page = section(text(reader("viewer").get("/")), "risk")
    message = Finding.objects.filter(severity="stop").order_by("sort").first().message
    assert "Harvest choirs" in page
    assert "Far ahead" not in page
    assert f'href="/kits/{kit.pk}/"' in page
    assert message.replace("'", "&#x27;") in page


def test_a_stop_that_somebody_accepted_does_not_call(reader, people) -> None:
    kit = stopped()
    booked(show(), kit=kit.pk)
    for finding in Finding.objects.filter(severity="stop"):
        Acceptance.objects.get_or_create(
            kit=kit,
            fingerprint=finding.fingerprint,
            defaults={"reason": "only two cameras", "by": people["owner"], "at": timezone.now()},
        )
    assert "has a stop. What nobody booked" in text(reader("viewer").get("/"))


# The dock


def shape(number: int, out: datetime, back: datetime, **fields: object):
    plain = {"id": number, "name": f"Show {number}", "venue_name": None, "confirmed": 0, "pencilled": 0, "short": 0}
    return {**plain, "gear_out_at": out, "gear_back_at": back, **fields}


def test_moves_stand_by_the_hour_with_a_line_at_now() -> None:
    midnight = datetime(2031, 5, 5, tzinfo=UTC)
    hour = timedelta(hours=1)
    shows = [
        shape(1, midnight - 20 * hour, midnight + 9 * hour),
        shape(2, midnight + 8 * hour, midnight + 33 * hour, confirmed=3, pencilled=1),
        shape(3, midnight + 17 * hour, midnight + 60 * hour, short=2),
    ]
    today, tomorrow = dock_days(shows, midnight, midnight + 12 * hour)
    assert [(line.event, line.out, line.past, line.first_to_come) for line in today.lines] == [
        (2, True, True, False),
        (1, False, True, False),
        (3, True, False, True),
    ]
    assert [(line.event, line.out, line.past) for line in tomorrow.lines] == [(2, False, False)]
    assert today.lines[0].booked == "3 confirmed, 1 in pencil"
    assert today.lines[1].booked == "nothing is booked"


def test_what_leaves_and_comes_back_is_on_the_page_and_what_is_called_off_is_not(reader) -> None:
    venue = VenueFactory(name="Tithe barn")
    show("Leaves soon", out=0.1, back=9, venue=venue.pk)
    show("Comes back soon", out=-9, back=0.1)
    show("Next week", out=7, back=8)
    off = show("Called off", out=0.1, back=9)
    write(None, lambda c: change_event_state(c, off, state="cancelled"))
    page = section(text(reader("viewer").get("/")), "dock")
    assert "Leaves soon" in page
    assert "Tithe barn" in page
    assert "Comes back soon" in page
    assert "Next week" not in page
    assert "Called off" not in page


# Late


def overdue(name: str = "Parish play") -> int:
    """Return a show that was booked in time and should be back by now."""
    unit = UnitFactory(spec__name="Drum")
    event = show(name, out=1, back=2)
    booked(event, unit=unit.pk)
    for model, start, end in ((Booking, "starts_at", "ends_at"), (Event, "gear_out_at", "gear_back_at")):
        model.objects.update(**{start: moment(-3), end: moment(-1)})
    return event


def test_what_should_be_back_is_late_until_somebody_closes_the_show(reader) -> None:
    event = overdue()
    page = section(text(reader("viewer").get("/")), "late")
    assert f'<a href="/events/{event}/">Parish play</a>' in page
    assert "by the calendar, as nobody scans yet" in page
    write(None, lambda c: change_event_state(c, event, state="closed"))
    assert "Nothing is late." in text(reader("viewer").get("/"))


def test_a_unit_that_was_noted_as_late_is_late_and_not_on_the_bench(reader) -> None:
    unit = UnitFactory(tag="DRUM-1")
    expected = moment(2)
    write(
        None,
        lambda c: open_downtime(
            c,
            unit_id=unit.pk,
            cause="late",
            starts_at=None,
            ends_at=None,
            expected_until=expected,
            note="under the stalls",
        ),
    )
    page = text(reader("viewer").get("/"))
    assert "DRUM-1" in section(page, "late")
    assert "under the stalls" in section(page, "late")
    assert "DRUM-1" not in section(page, "bench")


# On the bench


def test_what_is_held_back_stands_by_the_next_show(reader) -> None:
    idle, wanted = UnitFactory(tag="IDLE-1"), UnitFactory(tag="WANTED-1")
    booked(show(out=2, back=3), unit=wanted.pk)
    flag(idle.pk)
    flag(wanted.pk)
    page = section(text(reader("viewer").get("/")), "bench")
    assert page.index("WANTED-1") < page.index("IDLE-1")
    assert "short in 2 days" in page or "short in 48 hours" in page
    assert "nothing waits for it" in page


# All of it


def test_names_are_text_and_not_markup(reader) -> None:
    evil = "<script>alert(1)</script>"
    unit = UnitFactory(spec__name=evil)
    booked(show(evil, out=0.1, back=1, venue=VenueFactory(name=evil).pk), unit=unit.pk)
    flag(unit.pk, note=evil)
    assert "<script>alert" not in text(reader("planner").get("/"))


# A new show


def typed(**changes: object) -> dict[str, object]:
    times = {"gear_out_at": "2031-07-05T08:00", "gear_back_at": "2031-07-06T10:00"}
    return {"name": "Harvest choirs", "client": "Choir school", "state": "confirmed", **times, **changes}


def test_a_show_is_planned_by_the_clocks_of_the_company(reader) -> None:
    Company.objects.update(timezone="Europe/Zurich")
    venue = VenueFactory()
    answer = reader("planner").post("/events/new/", typed(venue=venue.pk))
    event = Event.objects.get()
    assert (answer.status_code, answer["Location"]) == (303, f"/events/{event.pk}/")
    assert event.gear_out_at == datetime(2031, 7, 5, 6, tzinfo=UTC)
    assert (event.state, event.venue, event.client) == ("confirmed", venue, "Choir school")


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("gear_back_at", "2031-07-05T07:00", "Gear comes back after it went out."),
        ("gear_out_at", "tomorrow", "Enter a valid date/time."),
        ("name", "", "This field is required."),
        ("venue", "999", "Select a valid choice"),
    ],
)
def test_a_show_that_cannot_be_is_refused_and_stays_typed(reader, field: str, value: str, said: str) -> None:
    answer = reader("planner").post("/events/new/", typed(**{field: value}))
    assert answer.status_code == 400
    assert said in text(answer)
    assert f"f-{field}_error" in text(answer)
    assert 'value="Choir school"' in text(answer)
    assert not Event.objects.exists()


def test_a_show_typed_without_a_session_is_kept(reader, people) -> None:
    people["planner"]
    nobody = reader()
    asked = nobody.post("/events/new/", typed())
    kept = re.search(r'name="kept" value="([^"]+)"', text(asked))
    nobody.post("/sign-in/", {"username": "planner", "password": "a long enough password", "kept": kept[1]})
    page = text(nobody.get("/events/new/"))
    assert 'value="Harvest choirs"' in page
    assert 'value="2031-07-05T08:00"' in page


def test_a_place_in_a_kit_names_the_unit(reader) -> None:
    kit = KitFactory(name="Booth case")
    unit = UnitFactory(spec__name="Splitter")
    Position.objects.create(kit=kit, label="splitter A", role="required", spec=unit.spec, unit=unit)
    booked(show(), kit=kit.pk)
    flag(unit.pk)
    assert f"Splitter {unit.tag}, splitter A of Booth case" in text(reader("viewer").get("/"))
