"""A page of thirty rows costs as many statements as one of three; so does booking a large kit or a small one."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scheduling.models import Phase, VenueCircuit
from tests.scheduling.asking import get, made, patch, post
from tests.scheduling.factories import (
    BookingFactory,
    ClaimFactory,
    EventFactory,
    KitFactory,
    PositionFactory,
    ShortfallFactory,
    SpecFactory,
    UnitFactory,
    VenueFactory,
    at,
)

pytestmark = pytest.mark.django_db


def statements(ask) -> int:
    with CaptureQueriesContext(connection) as asked:
        response = ask()
    assert response.status_code < 300, response.json()
    return len(asked)


def booking_with_everything():
    kit = KitFactory()
    position = PositionFactory(kit=kit)
    position.accepts.add(SpecFactory())
    booking = BookingFactory(unit=None, kit=kit)
    ClaimFactory(booking=booking, unit=position.unit, position=position)
    ShortfallFactory(booking=booking, spec=position.spec, position=position, unit=UnitFactory(), reason="conflict")
    UnitFactory(spec=position.spec)


def venue_with_circuits():
    venue = VenueFactory()
    VenueCircuit.objects.create(venue=venue, name="A")
    VenueCircuit.objects.create(venue=venue, name="B")


def event_with_phases():
    event = EventFactory(venue=VenueFactory())
    Phase.objects.create(event=event, kind="show", starts_at=at(0, 8), ends_at=at(0, 20))


@pytest.mark.parametrize(
    ("path", "make", "most"),
    [
        ("/bookings/", booking_with_everything, 9),
        ("/events/", event_with_phases, 2),
        ("/venues/", venue_with_circuits, 2),
    ],
)
def test_a_list_costs_the_same_for_three_rows_and_for_thirty(planner, path, make, most):
    get(planner, path)  # whoever asks is known from now on
    counts = []
    for number in (3, 27):
        for _ in range(number):
            make()
        counts.append(statements(lambda: get(planner, path)))
    assert counts[0] == counts[1] <= most


def test_booking_costs_the_same_for_three_units_and_for_thirty(planner):
    get(planner, "/bookings/")
    counts = []
    for number, day in ((3, 0), (30, 2)):
        kit = KitFactory()
        for _ in range(number):
            PositionFactory(kit=kit)
        event = EventFactory(gear_out_at=at(day), gear_back_at=at(day + 1))
        asked = {"event": event.pk, "kit": kit.pk, "state": "confirmed"}
        counts.append(statements(lambda asked=asked: post(planner, "/bookings/", asked)))
    assert counts[0] == counts[1] <= 23


def test_moving_an_event_costs_the_same_for_three_bookings_and_for_thirty(planner):
    get(planner, "/bookings/")
    counts = []
    for number, day in ((3, 0), (30, 10)):
        event = EventFactory(gear_out_at=at(day), gear_back_at=at(day + 1))
        for _ in range(number):
            made(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk, "state": "confirmed"}))
        later = {"gear_back_at": at(day + 2).isoformat()}
        counts.append(statements(lambda event=event, later=later: patch(planner, f"/events/{event.pk}/", later)))
    assert counts[0] == counts[1] <= 27
