"""Booking on pages: what is booked, what is in the way, what is taken instead, confirming, giving up, another time."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.models import Unit
from scheduling.models import Booking
from scheduling.services.pencils import keep_pencil
from tests.scheduling.factories import KitFactory, PositionFactory, SpecFactory, UnitFactory
from tests.web.company import make_unit, write
from tests.web.reading import text, words
from tests.web.shows import EVERYTHING, booked, moment, show

pytestmark = pytest.mark.django_db


def hidden(answer) -> dict[str, str]:
    return dict(re.findall(r'<input type="hidden" name="(version|ledger)" value="(\d+)"', text(answer)))


def local(at) -> str:
    return timezone.localtime(at, timezone.get_fixed_timezone(0)).strftime("%Y-%m-%dT%H:%M")


def book(reader, event: int, role: str = "planner", **form):
    return reader(role).post(f"/events/{event}/bookings/", {"state": "confirmed", "quantity": "1", **form})


def tagged() -> Unit:
    """A unit that is found by its tag."""
    return Unit.objects.get(pk=make_unit(SpecFactory().pk))


# Booking


@pytest.mark.parametrize("state", ["pencil", "confirmed"])
def test_a_kit_a_unit_and_a_number_are_booked(reader, state: str) -> None:
    event, kit, unit, spec = show(), KitFactory(), tagged(), SpecFactory()
    for _ in range(3):
        UnitFactory(spec=spec)
    for form in ({"what": f"kit-{kit.pk}"}, {"tag": unit.tag.lower()}, {"what": f"spec-{spec.pk}", "quantity": "2"}):
        answer = book(reader, event, role="crew", state=state, **form)
        made = Booking.objects.latest("pk")
        assert answer["Location"] == f"/events/{event}/?said=booked#b{made.pk}", text(answer)
        assert made.state == state
    assert [row.claims.count() for row in Booking.objects.order_by("pk")] == [1, 1, 2]
    assert "Booked. It stands in the list below." in words(reader("crew").get(f"/events/{event}/?said=booked"))


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({}, "Name what to book: choose it, or type the tag of a unit."),
        ({"tag": "NO-SUCH"}, "No unit has the tag NO-SUCH."),
        ({"what": "kit-999"}, "Select a valid choice."),
        ({"what": "spec-1", "quantity": "0"}, "Ensure this value is greater than or equal to 1."),
    ],
)
def test_what_cannot_be_read_is_told_and_stays(reader, form, said: str) -> None:
    answer = book(reader, show(), **form)
    assert answer.status_code == 400
    assert said in text(answer)
    assert f'value="{form.get("tag") or form.get("quantity", "1")}"' in text(answer)


def test_a_script_is_answered_with_the_form_alone(reader) -> None:
    event = show()
    answer = reader("planner").post(f"/events/{event}/bookings/", {"state": "pencil"}, headers={"HX-Request": "true"})
    assert text(answer).strip().startswith('<div id="book-part">')


def test_a_conflict_names_everything_and_offers_another_unit_in_one_tap(reader) -> None:
    unit = tagged()
    spare = UnitFactory(spec=unit.spec)
    booked(show("Green"), unit=unit.pk)
    event = show("Choirs")
    answer = book(reader, event, role="crew", tag=unit.tag)
    assert answer.status_code == 409
    assert "promised to Green" in words(answer)
    assert f'name="instead" value="unit-{spare.pk}"' in text(answer)
    assert "Book it all the same" not in text(answer)
    taken = book(reader, event, role="crew", tag=unit.tag, instead=f"unit-{spare.pk}")
    assert taken.status_code == 303
    assert Booking.objects.latest("pk").unit == spare


def test_another_kit_is_offered_in_one_tap(reader) -> None:
    place = PositionFactory(kit=KitFactory(name="Case 1"))
    case = place.kit.positions.get(role="case")
    other = KitFactory(name="Case 2", case=UnitFactory(spec=case.spec))
    PositionFactory(kit=other, unit=UnitFactory(spec=place.spec))
    booked(show("Green"), kit=place.kit.pk)
    event = show("Choirs")
    answer = book(reader, event, what=f"kit-{place.kit.pk}")
    assert answer.status_code == 409
    assert "Take Case 2 instead" in text(answer)
    assert book(reader, event, what=f"kit-{place.kit.pk}", instead=f"kit-{other.pk}").status_code == 303
    assert Booking.objects.latest("pk").kit == other


def test_fewer_are_offered_where_there_are_not_enough(reader) -> None:
    spec = SpecFactory()
    for _ in range(3):
        UnitFactory(spec=spec)
    event = show()
    answer = book(reader, event, what=f"spec-{spec.pk}", quantity="5")
    assert answer.status_code == 409
    assert "Book 3 instead" in text(answer)
    assert 'value="5"' in text(answer)
    assert book(reader, event, what=f"spec-{spec.pk}", quantity="5", instead="count-3").status_code == 303
    assert Booking.objects.latest("pk").quantity == 3


def test_a_planner_may_book_with_what_is_lacking_and_crew_is_refused(reader) -> None:
    spec = SpecFactory()
    UnitFactory(spec=spec)
    event, form = show(), {"what": f"spec-{spec.pk}", "quantity": "2"}
    assert "Book it all the same" in text(book(reader, event, **form))
    forced = book(reader, event, role="crew", accept="on", **form)
    assert forced.status_code == 403
    assert "for a planner to do" in text(forced)
    assert book(reader, event, accept="on", **form).status_code == 303
    assert "short 1" in words(reader("viewer").get(f"/events/{event}/"))


def test_a_viewer_is_refused_when_forcing_it(reader) -> None:
    assert book(reader, show(), role="viewer", tag=UnitFactory().tag).status_code == 403
    assert not Booking.objects.exists()


@pytest.mark.parametrize(
    "instead", ["count-", "count-x", "unit-", "spec-0", "kit-99999999999999999999", "../", "unit-999"]
)
def test_what_no_button_sends_is_refused_in_words(reader, instead: str) -> None:
    answer = book(reader, show(), tag=tagged().tag, instead=instead)
    assert answer.status_code == 400


# One booking


def test_a_pencil_is_confirmed_from_the_list(reader) -> None:
    event = show()
    booking = booked(event, unit=UnitFactory().pk, state="pencil")
    page = reader("planner").get(f"/events/{event}/")
    assert f'action="/bookings/{booking}/confirm/"' in text(page)
    answer = reader("planner").post(f"/bookings/{booking}/confirm/", hidden(page))
    assert answer["Location"] == f"/events/{event}/?said=confirmed#b{booking}"
    assert Booking.objects.get(pk=booking).state == "confirmed"


def test_confirming_what_somebody_else_has_by_now_is_told(reader) -> None:
    unit = UnitFactory()
    booking = booked(show("Choirs"), unit=unit.pk, state="pencil")
    booked(show("Green"), unit=unit.pk)
    address = f"/bookings/{booking}/confirm/"
    form = hidden(reader("planner").get(address))
    answer = reader("planner").post(address, form)
    assert answer.status_code == 409
    assert "promised to Green" in words(answer)
    assert reader("planner").post(address, form | {"accept": "on"}).status_code == 303


def test_the_second_at_one_booking_sees_what_the_first_did(reader, people) -> None:
    booking = booked(show(), unit=UnitFactory().pk, state="pencil")
    address = f"/bookings/{booking}/confirm/"
    form = hidden(reader("planner").get(address))
    people["owner"]
    write(people["owner"].pk, lambda c: keep_pencil(c, booking, expires_at=moment(3), powers=EVERYTHING))
    answer = reader("planner").post(address, form)
    assert answer.status_code == 412
    assert "owner gave the pencil another date" in words(answer)


def test_giving_up_says_what_is_free_again(reader) -> None:
    booking = booked(show(), unit=UnitFactory().pk)
    address = f"/bookings/{booking}/cancel/"
    page = reader("planner").get(address)
    assert "1 unit is free again at once" in words(page)
    assert reader("planner").post(address, hidden(page)).status_code == 303
    assert Booking.objects.get(pk=booking).state == "cancelled"
    assert reader("planner").post(address, hidden(reader("planner").get(address))).status_code == 409


def extension(reader, booking: int, role: str = "planner", **more) -> tuple[str, dict[str, str]]:
    row = Booking.objects.get(pk=booking)
    address = f"/bookings/{booking}/extend/"
    form = hidden(reader(role).get(address))
    return address, form | {
        "starts_at": local(row.starts_at),
        "ends_at": local(row.ends_at + timedelta(days=2)),
        **more,
    }


def test_a_try_tells_who_would_lose_what_and_changes_nothing(reader) -> None:
    unit = UnitFactory()
    booking = booked(show("Choirs", out=-1, back=2), unit=unit.pk)
    later = booked(show("Green", out=3, back=4), unit=unit.pk)
    address, form = extension(reader, booking, verb="try")
    assert "Its gear is out, and stays with it." in words(reader("planner").get(address))
    answer = reader("planner").post(address, form)
    assert answer.status_code == 200
    assert "Nothing is changed yet. These would lose something:" in words(answer)
    assert "Green" in words(answer)
    assert f'value="{form["ends_at"]}"' in text(answer)
    assert Booking.objects.get(pk=later).claims.get().standing == "firm"
    assert Booking.objects.get(pk=booking).version == 1


def test_a_show_that_runs_long_keeps_its_gear_and_the_next_one_is_short(reader, people) -> None:
    unit = UnitFactory()
    booking = booked(show("Choirs", out=-1, back=2), unit=unit.pk)
    later = booked(show("Green", out=3, back=4), unit=unit.pk)
    people["crew"]
    Booking.objects.filter(pk=booking).update(booked_by=people["crew"])
    address, form = extension(reader, booking, role="crew")
    assert reader("crew").post(address, form).status_code == 303
    assert Booking.objects.get(pk=booking).claims.get().standing == "firm"
    assert Booking.objects.get(pk=later).shortfalls.filter(closed_at=None).count() == 1


def test_what_is_not_out_yet_is_not_taken_from_others(reader) -> None:
    unit = UnitFactory()
    booking = booked(show("Choirs", out=1, back=2), unit=unit.pk)
    later = booked(show("Green", out=3, back=4), unit=unit.pk)
    address, form = extension(reader, booking)
    answer = reader("planner").post(address, form)
    assert answer.status_code == 409
    assert "promised to Green" in words(answer)
    assert f'value="{form["ends_at"]}"' in text(answer)
    assert reader("planner").post(address, form | {"accept": "on"}).status_code == 303
    assert Booking.objects.get(pk=booking).shortfalls.filter(closed_at=None).count() == 1
    assert Booking.objects.get(pk=later).claims.get().standing == "firm"


def test_crew_extends_its_own_and_is_not_offered_shortfalls(reader, people) -> None:
    unit = UnitFactory()
    booking = booked(show("Choirs", out=1, back=2), unit=unit.pk)
    booked(show("Green", out=3, back=4), unit=unit.pk)
    people["crew"]
    Booking.objects.filter(pk=booking).update(booked_by=people["crew"])
    address, form = extension(reader, booking, role="crew", accept="on")
    assert "what cannot be had is short" not in text(reader("crew").get(address))
    assert reader("crew").post(address, form).status_code == 409


def test_a_session_lost_in_the_middle_loses_nothing(reader) -> None:
    event = show()
    nobody = reader()
    asked = nobody.post(f"/events/{event}/bookings/", {"tag": "T0001", "quantity": "7", "state": "confirmed"})
    assert asked.status_code == 401
    kept = re.search(r'name="kept" value="([^"]+)"', text(asked))
    assert kept
    reader("planner")
    sent = {"username": "planner", "password": "a long enough password", "next": "/", "kept": kept[1]}
    page = text(nobody.get(nobody.post("/sign-in/", sent)["Location"]))
    assert 'value="T0001"' in page
    assert 'value="7"' in page
    assert re.search(r'value="confirmed"[^>]*checked', page)
