"""The pages of events: the list, what is booked, what is short, moving, bringing into a state, two people at once."""

import re
from datetime import UTC, datetime

import pytest
from django.utils import timezone

from inventory.checks.drain import drain
from inventory.models import Company, Finding, Position
from inventory.services.faults import report_fault
from scheduling.models import Booking, Event
from scheduling.services.events import PhaseDraft, edit_event
from scheduling.services.venues import create_venue
from tests.scheduling.factories import KitFactory, PositionFactory, SpecFactory, UnitFactory
from tests.web.company import stage_case, write
from tests.web.reading import text, words
from tests.web.shows import booked, moment, show

pytestmark = pytest.mark.django_db

ROLES = ("viewer", "crew", "planner", "owner", "electrics")
NASTY = "<script>alert(1)</script>"


def hidden(answer) -> dict[str, str]:
    return dict(re.findall(r'<input type="hidden" name="(version|ledger)" value="(\d+)"', text(answer)))


def local(at: datetime) -> str:
    return timezone.localtime(at, UTC).strftime("%Y-%m-%dT%H:%M")


def phases(*stretches: tuple[str, float, float]) -> list[PhaseDraft]:
    return [PhaseDraft(kind, moment(start), moment(end)) for kind, start, end in stretches]


def flag(unit: int) -> None:
    write(None, lambda c: report_fault(c, unit_id=unit, what="dead", port=None, usable=False, note="dark"))


# Who sees what


def addresses(event: int, booking: int) -> list[tuple[str, set[str]]]:
    everybody, crew, planner = set(ROLES), set(ROLES) - {"viewer"}, {"planner", "owner"}
    return [
        ("/events/", everybody),
        (f"/events/{event}/", everybody),
        (f"/events/{event}/short/", everybody),
        (f"/events/{event}/bookings/", crew),
        (f"/events/{event}/edit/", planner),
        (f"/events/{event}/confirm/", planner),
        (f"/events/{event}/cancel/", planner),
        (f"/bookings/{booking}/confirm/", crew),
        (f"/bookings/{booking}/extend/", crew),
        (f"/bookings/{booking}/cancel/", crew),
    ]


@pytest.mark.parametrize("role", ROLES)
def test_every_page_for_every_role(reader, role: str) -> None:
    event = show()
    booking = booked(event, unit=UnitFactory().pk, state="pencil")
    for address, may in addresses(event, booking):
        assert reader(role).get(address).status_code == (200 if role in may else 403), address
    for address in ("/events/999/", "/events/999/short/"):
        assert reader(role).get(address).status_code == 404


def test_nobody_is_let_in(reader) -> None:
    event = show()
    for address, _ in addresses(event, booked(event, unit=UnitFactory().pk)):
        assert reader().get(address).status_code == 302


def test_a_viewer_is_offered_nothing_and_sees_no_client(reader) -> None:
    event = show(client="Choir school", out=1, back=2)
    booked(event, unit=UnitFactory().pk)
    page = text(reader("viewer").get(f"/events/{event}/"))
    for way in ("/bookings/", "/edit/", "Release", "Book it", "Cancel the event", "Choir school"):
        assert way not in page
    assert "Choir school" not in text(reader("viewer").get("/events/"))
    assert "Choir school" in text(reader("crew").get(f"/events/{event}/"))
    assert "Choir school" in text(reader("crew").get("/events/"))


def test_crew_is_offered_its_own_bookings_only(reader, people) -> None:
    event = show()
    mine, other = booked(event, unit=UnitFactory().pk), booked(event, unit=UnitFactory().pk)
    Booking.objects.filter(pk=mine).update(booked_by=people["crew"])
    page = text(reader("crew").get(f"/events/{event}/"))
    assert f"/bookings/{mine}/cancel/" in page
    assert f"/bookings/{other}/cancel/" not in page
    forced = reader("crew").post(f"/bookings/{other}/cancel/", {"version": 1, "ledger": 0})
    assert forced.status_code == 403
    assert Booking.objects.get(pk=other).state == "confirmed"


# The list


def test_an_empty_list_says_what_to_do_first(reader) -> None:
    assert "/events/new/" in text(reader("planner").get("/events/"))
    assert "A planner enters one." in text(reader("viewer").get("/events/"))


def test_the_list_is_of_what_comes_and_narrows_by_words(reader) -> None:
    show("Harvest choirs", out=3, back=4)
    show("Night market", out=-9, back=-8)
    show("Parish play", out=1, back=2, state="enquiry")
    page = text(reader("viewer").get("/events/"))
    assert page.index("Parish play") < page.index("Harvest choirs")
    assert "Night market" not in page
    assert "Night market" in text(reader("viewer").get("/events/?when=over"))
    narrowed = text(reader("viewer").get("/events/?q=harvest%00"))
    assert "Harvest choirs" in narrowed
    assert "Parish play" not in narrowed
    assert "No event goes by these words" in text(reader("viewer").get("/events/?q=nowhere"))


def test_the_list_counts_what_is_booked_and_what_is_short(reader) -> None:
    event, unit = show(), UnitFactory()
    booked(event, unit=unit.pk)
    booked(event, unit=UnitFactory().pk, state="pencil")
    flag(unit.pk)
    page = words(reader("viewer").get("/events/"))
    assert "1 confirmed, 1 in pencil" in page
    assert "short 1" in page


# One event


def test_the_phases_are_drawn_and_told(reader) -> None:
    event = show("Choirs", phases=phases(("load-in", 1.1, 1.2), ("show", 1.3, 1.5)))
    page = text(reader("viewer").get(f"/events/{event}/"))
    assert "<title>Phases of Choirs</title>" in page
    assert re.search(r"<desc>Gear out .* back .*; Load-in .*; Show ", page)
    assert page.count('<rect class="n') >= 2


def test_another_clock_of_the_house_is_told(reader) -> None:
    Company.objects.update(timezone="Europe/Madrid")
    house = write(None, lambda c: create_venue(c, fields={"name": "Playhouse", "timezone": "Europe/Lisbon"}))
    assert "Europe/Lisbon" in text(reader("viewer").get(f"/events/{show(venue=house)}/"))


def test_bookings_show_what_they_have_and_lack(reader) -> None:
    event, kit = show(), KitFactory(name="Stage case 2")
    place = PositionFactory(kit=kit, label="switch A")
    booked(event, kit=kit.pk)
    flag(place.unit.pk)
    page = words(reader("planner").get(f"/events/{event}/"))
    assert "Stage case 2" in page
    assert f"Lacks switch A: {place.unit.tag}, held back" in page
    assert f'hx-get="/events/{event}/short/"' in text(reader("planner").get(f"/events/{event}/"))


def test_what_the_checks_of_its_kits_do_not_know_is_never_nothing(reader) -> None:
    gear = stage_case()
    event = show()
    booked(event, kit=gear.kit)
    address = f"/events/{event}/"
    assert "Not known not checked yet" in words(reader("viewer").get(address))
    drain()
    Finding.objects.update(severity="unknown")
    page = words(reader("viewer").get(address))
    assert "Not known Move camera 3" in page
    assert "Nothing found" not in page


def test_a_rival_is_named_with_its_show(reader) -> None:
    unit = UnitFactory()
    booked(show("Choirs"), unit=unit.pk)
    other = show("Green")
    booked(other, unit=unit.pk)
    page = words(reader("viewer").get(f"/events/{other}/"))
    assert f"Lacks {unit.tag}, promised elsewhere: Choirs" in page


def test_circuits_say_what_nobody_asked_and_that_loads_come_later(reader) -> None:
    circuits = [{"name": "Stage left", "breaker_a": 16.0, "volts": 230.0, "curve": "C"}, {"name": "Kitchen"}]
    house = write(None, lambda c: create_venue(c, fields={"name": "Barn", "circuits": circuits}))
    page = words(reader("viewer").get(f"/events/{show(venue=house)}/"))
    assert "16 A, curve C, 230 V" in page
    assert "Not known 6 to ask" in page
    assert "is not worked out yet" in page
    assert "licensed electrician" in page


def test_what_people_typed_stays_text(reader) -> None:
    kit = KitFactory(name=NASTY)
    event = show(NASTY, client=NASTY, phases=phases(("show", 1, 1.5)))
    booked(event, kit=kit.pk)
    for address in ("/events/", f"/events/{event}/", f"/events/{event}/edit/"):
        assert NASTY not in text(reader("planner").get(address)), address


def test_an_event_that_is_over_takes_no_booking(reader) -> None:
    event = show(state="confirmed")
    write(None, lambda c: edit_event(c, event, fields={"state": "closed"}))
    assert "Book it" not in text(reader("planner").get(f"/events/{event}/"))
    kit = KitFactory()
    answer = reader("planner").post(f"/events/{event}/bookings/", {"what": f"kit-{kit.pk}", "state": "confirmed"})
    assert answer.status_code == 409
    assert "nothing is booked for it any more" in text(answer)


# Moving


def edited(reader, event: int, **changes: object) -> tuple[dict[str, object], str]:
    """The form as it is shown, with changes."""
    address = f"/events/{event}/edit/"
    shown = reader("planner").get(address)
    row = Event.objects.get(pk=event)
    form: dict[str, object] = {**hidden(shown), "name": row.name, "client": row.client, "venue": row.venue_id or ""}
    form |= {"gear_out_at": local(row.gear_out_at), "gear_back_at": local(row.gear_back_at)}
    for number, phase in enumerate(row.phases.all()):
        form[f"kind_{number}"] = phase.kind
        form |= {f"from_{number}": local(phase.starts_at), f"until_{number}": local(phase.ends_at)}
    return form | changes, address


def test_phases_move_and_the_gear_and_its_bookings_move_with_them(reader) -> None:
    event = show(phases=phases(("show", 1.2, 1.5)))
    booking = booked(event, unit=UnitFactory().pk)
    before = Event.objects.get(pk=event)
    form, address = edited(reader, event, from_0=local(moment(4.2)), until_0=local(moment(4.5)))
    answer = reader("planner").post(address, form)
    assert (answer.status_code, answer["Location"]) == (303, f"/events/{event}/?said=saved")
    moved = (Event.objects.get(pk=event).gear_out_at - before.gear_out_at).total_seconds()
    assert abs(moved - 3 * 86400) <= 120
    assert Booking.objects.get(pk=booking).starts_at == Event.objects.get(pk=event).gear_out_at


def test_a_phase_is_added_and_one_is_dropped(reader) -> None:
    event = show(phases=phases(("load-in", 1.1, 1.2), ("show", 1.2, 1.5)))
    form, address = edited(reader, event, kind_0="", from_0="", until_0="")
    form |= {"kind_2": "load-out", "from_2": local(moment(1.6)), "until_2": local(moment(1.7))}
    assert reader("planner").post(address, form).status_code == 303
    assert [phase.kind for phase in Event.objects.get(pk=event).phases.all()] == ["show", "load-out"]


def test_a_move_onto_others_tells_every_conflict_and_loses_nothing(reader) -> None:
    units = [UnitFactory(), UnitFactory()]
    taken = show("Green", out=10, back=11)
    event = show("Choirs", out=1, back=2)
    for unit in units:
        booked(taken, unit=unit.pk)
        booked(event, unit=unit.pk)
    form, address = edited(reader, event, name="Choirs, later")
    form |= {"gear_out_at": local(moment(10.2)), "gear_back_at": local(moment(10.6))}
    answer = reader("planner").post(address, form)
    assert answer.status_code == 409
    page = words(answer)
    for unit in units:
        assert f"{unit.tag}" in text(answer)
    assert page.count("promised to Green") == 1
    assert 'value="Choirs, later"' in text(answer)
    assert f'value="{local(moment(10.2))[:13]}' in text(answer)
    assert Event.objects.get(pk=event).name == "Choirs"
    accepted = reader("planner").post(address, form | hidden(answer) | {"accept": "on"})
    assert accepted.status_code == 303
    assert "short 1" in words(reader("planner").get(f"/events/{event}/"))


def test_a_try_changes_nothing(reader) -> None:
    event = show("Choirs")
    form, address = edited(reader, event, name="Other", verb="try")
    answer = reader("planner").post(address, form)
    assert answer.status_code == 200
    assert "Nothing is changed yet. Nobody else would lose anything." in words(answer)
    assert 'value="Other"' in text(answer)
    assert Event.objects.get(pk=event).name == "Choirs"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"name": ""}, "This field is required."),
        ({"kind_0": "show", "from_0": "", "until_0": ""}, "A phase has a kind, a beginning and an end."),
        (
            {"kind_0": "show", "from_0": "2031-05-05T20:00", "until_0": "2031-05-05T19:00"},
            "A phase ends after it starts.",
        ),
        ({"gear_back_at": "2001-05-05T20:00"}, "Gear comes back after it went out."),
        ({"gear_out_at": "yesterday"}, "Enter a valid date/time."),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_told_beside_its_field(reader, changes, said: str) -> None:
    form, address = edited(reader, show("Choirs"), **changes)
    answer = reader("planner").post(address, form)
    assert answer.status_code == 400
    assert said in text(answer)


def test_the_second_of_two_sees_what_the_first_changed(reader, people) -> None:
    event = show("Choirs")
    form, address = edited(reader, event, name="Mine")
    people["owner"]
    write(people["owner"].pk, lambda c: edit_event(c, event, fields={"name": "Theirs"}))
    answer = reader("planner").post(address, form)
    assert answer.status_code == 412
    assert "What changed meanwhile" in text(answer)
    assert "owner changed the name" in words(answer)
    assert 'value="Mine"' in text(answer)
    assert reader("planner").post(address, form | hidden(answer)).status_code == 303
    assert Event.objects.get(pk=event).name == "Mine"


def test_a_session_lost_in_the_middle_loses_nothing(reader) -> None:
    event = show("Choirs", phases=phases(("show", 1.2, 1.5)))
    form, address = edited(reader, event, name="Typed long and hard", until_0="2031-05-05T19:00")
    nobody = reader()
    asked = nobody.post(address, form)
    assert asked.status_code == 401
    kept = re.search(r'name="kept" value="([^"]+)"', text(asked))
    assert kept
    reader("planner")
    sent = {"username": "planner", "password": "a long enough password", "next": address, "kept": kept[1]}
    assert nobody.post("/sign-in/", sent)["Location"] == address
    page = text(nobody.get(address))
    assert 'value="Typed long and hard"' in page
    assert 'value="2031-05-05T19:00"' in page
    assert "Nothing of it is sent yet." in page


# States


@pytest.mark.parametrize(("verb", "state"), [("confirm", "confirmed"), ("cancel", "cancelled"), ("close", "closed")])
def test_an_event_is_brought_into_a_state(reader, verb: str, state: str) -> None:
    event = show(state="confirmed" if verb == "close" else "enquiry")
    booking = booked(event, unit=UnitFactory().pk, state="pencil")
    address = f"/events/{event}/{verb}/"
    answer = reader("planner").post(address, hidden(reader("planner").get(address)))
    assert answer.status_code == 303
    assert Event.objects.get(pk=event).state == state
    assert Booking.objects.get(pk=booking).state == ("pencil" if verb == "confirm" else "cancelled")
    again = reader("planner").post(address, hidden(reader("planner").get(address)))
    assert again.status_code == 409


def test_cancelling_says_first_what_ends(reader) -> None:
    event = show()
    booked(event, unit=UnitFactory().pk)
    page = text(reader("planner").get(f"/events/{event}/cancel/"))
    assert "1 booking end" in page
    assert 'class="grave"' in page


# Stand-ins


@pytest.mark.parametrize("for_good", [True, False])
def test_a_stand_in_takes_the_place_for_one_show_or_for_good(reader, for_good: bool) -> None:
    event, kit = show(), KitFactory()
    place = PositionFactory(kit=kit, label="switch A")
    booking = booked(event, kit=kit.pk)
    spare = UnitFactory(spec=place.spec)
    flag(place.unit.pk)
    page = text(reader("planner").get(f"/events/{event}/short/"))
    assert f"Take {spare.tag} instead" in page
    short = re.search(r'name="short" value="(\d+)"', page)
    assert short
    sent = {"short": short[1], "unit": spare.pk} | ({"for_good": "on"} if for_good else {})
    assert reader("planner").post(f"/bookings/{booking}/stand-in/", sent).status_code == 303
    assert Position.objects.get(pk=place.pk).unit == (spare if for_good else place.unit)
    assert Booking.objects.get(pk=booking).claims.filter(unit=spare, position=place, standing="firm").exists()
    assert "Nothing is lacking." in text(reader("planner").get(f"/events/{event}/short/"))
    assert not reader("crew").get(f"/events/{event}/short/").content.count(b"<button>Take")


def test_a_stand_in_takes_over_the_booking_of_a_unit(reader) -> None:
    event, unit = show(), UnitFactory()
    booking = booked(event, unit=unit.pk)
    spare = UnitFactory(spec=unit.spec)
    flag(unit.pk)
    short = Booking.objects.get(pk=booking).shortfalls.get().pk
    answer = reader("planner").post(f"/bookings/{booking}/stand-in/", {"short": short, "unit": spare.pk})
    assert answer.status_code == 303
    assert Booking.objects.get(pk=booking).state == "cancelled"
    assert Booking.objects.get(unit=spare).claims.get().standing == "firm"


def test_a_number_of_a_spec_is_dealt_again_when_more_is_there(reader) -> None:
    event, spec = show(), SpecFactory()
    UnitFactory(spec=spec)
    booking = booked(event, spec=spec.pk, quantity=2)
    assert "Deal it again" not in text(reader("planner").get(f"/events/{event}/short/"))
    UnitFactory(spec=spec)
    assert "Deal it again" in text(reader("planner").get(f"/events/{event}/short/"))
    assert reader("planner").post(f"/bookings/{booking}/stand-in/", {}).status_code == 303
    assert Booking.objects.get(pk=booking).claims.count() == 2
    assert Booking.objects.get(pk=booking).shortfalls.filter(closed_at=None).count() == 0


def test_a_stand_in_that_is_taken_meanwhile_is_refused_with_the_reason(reader) -> None:
    event, unit = show(), UnitFactory()
    booking = booked(event, unit=unit.pk)
    spare = UnitFactory(spec=unit.spec)
    flag(unit.pk)
    booked(show("Green"), unit=spare.pk)
    short = Booking.objects.get(pk=booking).shortfalls.get().pk
    answer = reader("planner").post(f"/bookings/{booking}/stand-in/", {"short": short, "unit": spare.pk})
    assert answer.status_code == 409
    assert "promised to Green" in words(answer)
    assert Booking.objects.get(pk=booking).state == "confirmed"
