"""What followers are shown: changes of claims, events, venues and the rule set are touches."""

from collections import defaultdict

import pytest
from django.core.exceptions import ImproperlyConfigured

from inventory.base.changes import FOLLOWER_ORDER, FOLLOWERS, add_follower, change
from scheduling.models import Booking
from tests.scheduling.asking import done, made, patch, post
from tests.scheduling.factories import EventFactory, KitFactory, PositionFactory, UnitFactory, VenueFactory, at

pytestmark = pytest.mark.django_db


@pytest.fixture
def touched(monkeypatch):
    """Follow changes in the place of events, and return the ids seen by noun."""
    seen = defaultdict(set)

    def follow(c, batch):
        for noun, ids in batch.items():
            seen[noun] |= ids

    monkeypatch.setitem(FOLLOWERS, "events", follow)
    return seen


def test_followers_run_in_one_order_whichever_app_loads_first(monkeypatch):
    ran = []
    for name in reversed(FOLLOWER_ORDER):
        monkeypatch.delitem(FOLLOWERS, name, raising=False)
        monkeypatch.setitem(FOLLOWERS, name, lambda c, batch, name=name: ran.append(name))
    with change(actor_id=None, request_id="test") as c:
        c.touch("kit", 1)
    assert ran == ["promises", "checks", "events"]


def test_a_follower_without_a_place_in_the_order_is_refused():
    with pytest.raises(ImproperlyConfigured, match="FOLLOWER_ORDER"):
        add_follower("shelves", lambda c, batch: None)


def test_bookings_that_are_made_lose_a_unit_and_are_cancelled_are_touched(planner, touched):
    kit = KitFactory()
    switch = PositionFactory(kit=kit, label="switch A").unit
    event = EventFactory()
    booking = made(post(planner, "/bookings/", {"event": event.pk, "state": "confirmed", "kit": kit.pk}))["id"]
    assert touched.pop("booking") == {booking}
    made(post(planner, "/faults/", {"unit": switch.pk, "what": "dead", "usable": False}))
    assert touched.pop("booking") == {booking}
    made(post(planner, "/repairs/", {"unit": switch.pk}))
    assert touched.pop("booking") == {booking}
    done(post(planner, f"/bookings/{booking}/cancel/", {}))
    assert touched.pop("booking") == {booking}


def test_a_booking_that_only_lacks_is_touched_when_it_is_cancelled(planner, touched):
    unit = UnitFactory(state="lost")
    wanted = {"event": EventFactory().pk, "state": "confirmed", "unit": unit.pk, "accept_shortfalls": True}
    booking = made(post(planner, "/bookings/", wanted))["id"]
    assert not Booking.objects.get(pk=booking).claims.exists()
    assert touched.pop("booking") == {booking}
    done(post(planner, f"/bookings/{booking}/cancel/", {}))
    assert touched.pop("booking") == {booking}


def test_an_event_is_touched_when_it_is_made_edited_and_confirmed(planner, touched):
    times = {"gear_out_at": at(3).isoformat(), "gear_back_at": at(4).isoformat()}
    event = made(post(planner, "/events/", {"name": "Choir", **times}))["id"]
    assert touched.pop("event") == {event}
    for change_of_it in ({"name": "Choirs"}, {"state": "confirmed"}):
        done(patch(planner, f"/events/{event}/", change_of_it))
        assert touched.pop("event") == {event}


def test_a_venue_is_touched_when_it_is_edited(planner, touched):
    venue = VenueFactory()
    done(patch(planner, f"/venues/{venue.pk}/", {"ambient_celsius": 31}))
    assert touched.pop("venue") == {venue.pk}


def test_the_company_is_touched_by_another_rule_set_and_by_nothing_else(api, touched):
    owner = api("owner")
    done(patch(owner, "/company/", {"currency": "CHF"}))
    assert "company" not in touched
    done(patch(owner, "/company/", {"rules": "north_america"}))
    assert touched["company"] == {1}
