"""Lists that answer for the same rows answer alike."""

import pytest

from scheduling.promises.decide import Period
from scheduling.selectors.availability import changes_by_itself_at
from scheduling.selectors.availability.reasons import units_of_spec_in
from scheduling.selectors.calendar import down_stretches, short_stretches
from scheduling.selectors.lines import lines_of_event
from scheduling.selectors.programme import one_show
from scheduling.selectors.promises import shortfalls_beginning
from tests.scheduling.factories import (
    BookingFactory,
    ClaimFactory,
    DowntimeFactory,
    EventFactory,
    ShortfallFactory,
    SpecFactory,
    UnitFactory,
    at,
)

pytestmark = pytest.mark.django_db

WINDOW = Period(at(0), at(7))


def test_what_a_past_show_went_without_stays_on_its_page_and_in_the_calendar_but_asks_nobody_to_act():
    now = at(3)
    booking = BookingFactory(event=EventFactory(gear_out_at=at(0), gear_back_at=at(1)))
    ShortfallFactory(booking=booking)
    show = one_show(booking.event_id, now)
    assert show is not None
    assert show["short"] == 1
    assert [len(line["lacks"]) for line in lines_of_event(booking.event_id, now)] == [1]
    assert len(short_stretches(WINDOW, now, most=10)) == 1
    assert shortfalls_beginning(now, now) == []


@pytest.mark.parametrize(("state", "shown"), [("held-back", True), ("lost", False), ("retired", False)])
def test_the_calendar_shows_what_is_held_back_of_the_pool_as_availability_does(state, shown):
    unit = UnitFactory(state=state)
    DowntimeFactory(unit=unit, starts_at=at(1))
    in_calendar = [row["unit"] for row in down_stretches(WINDOW, at(0), most=10)]
    in_window = [row["unit"] for row in units_of_spec_in(unit.spec_id, WINDOW, at(0))]
    assert in_calendar == in_window == ([unit.pk] if shown else [])


@pytest.mark.parametrize(("pinned_at", "expected"), [(None, at(2)), (at(0), None)])
def test_the_answer_changes_when_a_claim_that_could_be_reallocated_begins(pinned_at, expected):
    booking = BookingFactory(unit=None, spec=SpecFactory(), starts_at=at(2), ends_at=at(3))
    ClaimFactory(booking=booking, unit=UnitFactory(spec=booking.spec), dealt=True, pinned_at=pinned_at)
    assert changes_by_itself_at(at(0)) == expected
