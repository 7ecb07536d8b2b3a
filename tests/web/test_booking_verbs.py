"""The pages of the queue of pencils and of the other verbs of a booking, as people use them."""

import re
from datetime import datetime

import pytest
from django.utils import timezone

from inventory.base.models import Notice
from scheduling.models import Booking, Event
from tests.scheduling.factories import KitFactory, PositionFactory, UnitFactory
from tests.web.reading import text, words
from tests.web.shows import booked, moment, show
from tests.web.test_booking import hidden, local

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit() -> int:
    kit = KitFactory(name="Stage case")
    PositionFactory(kit=kit)
    return kit.pk


def belongs_to(booking: int, person) -> int:
    Booking.objects.filter(pk=booking).update(booked_by=person)
    return booking


def test_a_pencil_says_who_is_ahead_and_what_can_be_done(reader, kit) -> None:
    event = show("Choirs")
    booked(show("Green"), kit=kit)
    earlier, mine = booked(show("Market"), kit=kit, state="pencil"), booked(event, kit=kit, state="pencil")
    page = words(reader("planner").get(f"/bookings/{mine}/"))
    assert "2nd in line" in page
    assert "Green has it confirmed" in page
    assert "Market pencilled it earlier" in page
    assert "Rank it" in page
    listed = words(reader("planner").get(f"/events/{event}/"))
    assert "2nd in line: Green has it confirmed, Market pencilled it earlier." in listed
    assert "Ahead of it" in words(reader("viewer").get(f"/bookings/{earlier}/"))


def test_confirming_over_a_pencil_asks_again_and_says_whom_it_hurts(reader, people, kit) -> None:
    people["crew"]
    theirs = belongs_to(booked(show("Jubilee"), kit=kit, state="pencil"), people["crew"])
    mine = booked(show("Choirs"), kit=kit, state="pencil")
    address = f"/bookings/{mine}/confirm/"
    form = hidden(reader("planner").get(address))
    asked = reader("planner").post(address, form)
    assert asked.status_code == 200
    assert "Jubilee" in words(asked)
    assert "its pencil is behind then" in words(asked)
    assert Booking.objects.get(pk=mine).state == "pencil"
    sure = dict(re.findall(r'<input type="hidden" name="(sure)" value="(on)"', text(asked)))
    assert reader("planner").post(address, form | sure).status_code == 303
    assert Booking.objects.get(pk=mine).state == "confirmed"
    told = words(reader("crew").get("/"))
    assert "your pencil is behind" in told
    notice = Notice.objects.get(object_id=theirs)
    assert reader("crew").post("/notices/seen/", {"notices": str(notice.pk)}).status_code == 303
    assert "your pencil is behind" not in words(reader("crew").get("/"))


def test_a_confirmation_that_hurts_nobody_is_done_at_once(reader, kit) -> None:
    mine = booked(show(), kit=kit, state="pencil")
    address = f"/bookings/{mine}/confirm/"
    assert reader("planner").post(address, hidden(reader("planner").get(address))).status_code == 303


def test_a_planner_takes_gear_from_who_has_it_with_a_reason(reader, kit) -> None:
    rival = booked(show("Green"), kit=kit)
    mine = booked(show("Choirs"), kit=kit, state="pencil")
    address = f"/bookings/{mine}/confirm/"
    refused = reader("planner").post(address, hidden(reader("planner").get(address)))
    assert refused.status_code == 409
    [rivals] = re.findall(r'name="rivals" value="([\d,]+)"', text(refused))
    assert rivals == str(rival)
    form = hidden(refused) | {"push": "on", "rivals": rivals}
    assert reader("planner").post(address, form | {"sure": "on"}).status_code == 400
    assert reader("planner").post(address, form | {"reason": "It was ours first."}).status_code == 200
    assert reader("planner").post(address, form | {"reason": "It was ours first.", "sure": "on"}).status_code == 303
    assert Booking.objects.get(pk=rival).shortfalls.filter(closed_at=None).count() == 2


def test_a_pencil_is_kept_longer(reader, kit) -> None:
    mine = booked(show(), kit=kit, state="pencil")
    address = f"/bookings/{mine}/keep/"
    form = hidden(reader("planner").get(address)) | {"expires_at": local(moment(3))}
    assert reader("planner").post(address, form).status_code == 303
    assert Booking.objects.get(pk=mine).expires_at == moment_to_the_minute(moment(3))
    past = hidden(reader("planner").get(address)) | {"expires_at": local(moment(-3))}
    assert reader("planner").post(address, past).status_code == 400


def moment_to_the_minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)


def test_whoever_waits_asks_for_an_answer(reader, people, kit) -> None:
    people["crew"], people["planner"]
    ahead = belongs_to(booked(show("Green"), kit=kit, state="pencil", expires_at=moment(9)), people["planner"])
    belongs_to(booked(show("Choirs"), kit=kit, state="pencil"), people["crew"])
    assert "Ask for an answer" in words(reader("crew").get(f"/bookings/{ahead}/"))
    address = f"/bookings/{ahead}/challenge/"
    form = hidden(reader("crew").get(address)) | {"answer_by": local(moment(0.5))}
    assert reader("crew").post(address, form).status_code == 303
    assert Booking.objects.get(pk=ahead).expires_at < moment(1)
    assert "Answer by" in words(reader("planner").get("/"))


def test_a_planner_ranks_a_pencil(reader, kit) -> None:
    first, second = (booked(show(name), kit=kit, state="pencil") for name in ("Green", "Choirs"))
    address = f"/bookings/{second}/rank/"
    page = reader("planner").get(address)
    assert "Green" in words(page)
    form = hidden(page) | {"before": str(first), "reason": "Paid already."}
    assert reader("planner").post(address, form).status_code == 303
    assert "2nd in line" in words(reader("planner").get(f"/bookings/{first}/"))
    assert reader("crew").get(address).status_code == 403


def test_a_confirmed_booking_becomes_a_pencil_again(reader, kit) -> None:
    mine = booked(show(), kit=kit)
    address = f"/bookings/{mine}/loosen/"
    assert reader("planner").post(address, hidden(reader("planner").get(address))).status_code == 303
    assert Booking.objects.get(pk=mine).state == "pencil"


def test_another_kit_takes_the_place(reader, kit) -> None:
    other = KitFactory(name="Spare case").pk
    mine = booked(show(), kit=kit)
    address = f"/bookings/{mine}/swap/"
    form = hidden(reader("planner").get(address)) | {"kit": str(other)}
    assert reader("planner").post(address, form).status_code == 303
    assert Booking.objects.get(pk=mine).kit_id == other


def test_gear_that_is_out_is_not_released_unless_it_never_left(reader, kit) -> None:
    mine = booked(show(out=-1, back=2), kit=kit)
    address = f"/bookings/{mine}/cancel/"
    page = reader("planner").get(address)
    assert "It never left the store" in words(page)
    assert reader("planner").post(address, hidden(page)).status_code == 409
    assert reader("planner").post(address, hidden(page) | {"never_left": "on"}).status_code == 303


def test_a_show_that_is_back_early_is_closed(reader, kit) -> None:
    event = show(out=-1, back=2)
    mine = booked(event, kit=kit)
    address = f"/events/{event}/close/"
    page = reader("planner").get(address)
    assert reader("planner").post(address, hidden(page)).status_code == 409
    assert reader("planner").post(address, hidden(page) | {"ends_now": "on"}).status_code == 303
    assert Booking.objects.get(pk=mine).ends_at <= timezone.now()


def test_another_day_is_one_of_two_dates_if_it_is_said_so(reader, kit) -> None:
    event = show("Choirs", state="enquiry", out=3, back=4)
    booked(event, kit=kit, state="pencil")
    address = f"/events/{event}/copy/"
    day = moment(10).date().isoformat()
    answer = reader("planner").post(address, {"day": day, "either_or": "on"})
    assert answer.status_code == 303
    copied = Event.objects.latest("pk")
    assert copied.gear_out_at.date() == moment(10).date()
    assert copied.bookings.get().state == "pencil"
    assert "One of several dates for Choirs." in words(reader("planner").get(f"/events/{event}/"))
    form = hidden(reader("planner").get(f"/events/{copied.pk}/confirm/"))
    assert reader("planner").post(f"/events/{copied.pk}/confirm/", form).status_code == 303
    assert Event.objects.get(pk=event).state == "cancelled"
    assert reader("planner").post(address, {"day": ""}).status_code == 400


def test_a_unit_by_itself_is_shown_with_its_tag(reader) -> None:
    unit = UnitFactory()
    assert unit.tag in words(reader("planner").get(f"/bookings/{booked(show(), unit=unit.pk)}/"))
