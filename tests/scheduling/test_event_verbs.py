"""Verbs of events over the interface: either/or dates, copies, closing."""

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.scheduling.asking import book, delete, done, firm, get, made, post, refused, shown, verb
from tests.scheduling.factories import EventFactory, at
from tests.scheduling.state import units_of

pytestmark = pytest.mark.django_db


def hours(number: int):
    return timezone.now() + timedelta(hours=number)


class TestEitherOr:
    @pytest.fixture
    def dates(self):
        return [EventFactory(name=f"Date {day}", gear_out_at=at(day, 8), gear_back_at=at(day, 20)) for day in range(3)]

    def tie(self, client, dates):
        return made(post(client, "/either-ors/", {"name": "Spring ball", "events": [date.pk for date in dates]}))

    def test_confirming_one_date_cancels_the_others_with_their_pencils(self, planner, kit, dates):
        choice = self.tie(planner, dates)
        assert get(planner, f"/either-ors/{choice['id']}/").json() == choice
        pencils = [book(planner, date, kit=kit.pk) for date in dates]
        refused(verb(planner, pencils[0], "confirm"), 409, "date-open")
        wanted = {"event": dates[0].pk, "kit": kit.pk, "state": "confirmed"}
        refused(post(planner, "/bookings/", wanted), 409, "date-open")
        done(post(planner, f"/events/{dates[1].pk}/confirm/"))
        assert [get(planner, f"/events/{date.pk}/").json()["state"] for date in dates] == [
            "cancelled",
            "confirmed",
            "cancelled",
        ]
        assert [shown(planner, pencil)["state"] for pencil in pencils] == ["cancelled", "pencil", "cancelled"]
        done(verb(planner, pencils[1], "confirm"))

    def test_a_choice_is_of_two_enquiries_or_more_without_firm_bookings(self, planner, kit, dates):
        path = "/either-ors/"
        for events in ([dates[0].pk], [dates[0].pk, dates[0].pk], [dates[0].pk, 999_999]):
            body = {"name": "x", "events": events}
            assert refused(post(planner, path, body), 400, "invalid")["errors"][0]["field"] == "events"
        firm(planner, dates[0], kit=kit.pk)
        refused(post(planner, path, {"name": "x", "events": [date.pk for date in dates]}), 409, "wrong-state")

    def test_untied_they_are_events_of_their_own(self, planner, dates):
        choice = self.tie(planner, dates)
        assert delete(planner, f"/either-ors/{choice['id']}/").status_code == 204
        assert get(planner, f"/events/{dates[0].pk}/").json()["either_or"] is None


class TestCopy:
    def test_over_a_change_of_clocks_the_hours_on_the_wall_stay(self, planner, kit):
        """In Zurich summer time ends on 26 October 2031: ten in the morning is 08:00 UTC before and 09:00 UTC after."""
        venue = made(post(planner, "/venues/", {"name": "Hall", "timezone": "Europe/Zurich"}))["id"]
        phase = {"kind": "show", "starts_at": "2031-10-20T08:00:00Z", "ends_at": "2031-10-20T20:00:00Z"}
        event = made(post(planner, "/events/", {"name": "Market", "venue": venue, "phases": [phase]}))
        copied = made(post(planner, f"/events/{event['id']}/copy/", {"shift_days": 7}))
        assert (copied["gear_out_at"], copied["gear_back_at"]) == ("2031-10-27T09:00:00Z", "2031-10-27T21:00:00Z")
        assert copied["phases"][0]["starts_at"] == "2031-10-27T09:00:00Z"
        assert (copied["state"], copied["name"]) == ("enquiry", "Market")

    def test_what_was_booked_is_pencilled_whoever_has_it_then(self, planner, event, kit):
        firm(planner, event, kit=kit.pk)
        firm(planner, EventFactory(gear_out_at=at(7, 8), gear_back_at=at(7, 20)), kit=kit.pk)
        copied = made(post(planner, f"/events/{event.pk}/copy/", {"shift_days": 7, "name": "Once more"}))
        [pencil] = get(planner, f"/events/{copied['id']}/bookings/").json()["results"]
        assert (pencil["state"], pencil["kit"], pencil["confirmable"]) == ("pencil", kit.pk, False)
        bare = made(post(planner, f"/events/{event.pk}/copy/", {"shift_days": 1, "bookings": False}))
        assert get(planner, f"/events/{bare['id']}/bookings/").json()["results"] == []


class TestClose:
    def test_gear_that_is_back_early_is_free_for_others_at_once(self, planner, kit):
        event = EventFactory(state="confirmed", gear_out_at=hours(-1), gear_back_at=hours(5))
        mine = firm(planner, event, kit=kit.pk)
        next_show = EventFactory(gear_out_at=hours(2), gear_back_at=hours(8))
        short = firm(planner, next_show, kit=kit.pk, accept_shortfalls=True)
        done(post(planner, f"/events/{event.pk}/close/", {"ends_now": True}))
        assert shown(planner, short)["shortfalls"] == []
        assert {claim["unit"] for claim in shown(planner, mine)["claims"]} == units_of(kit), "it stays as history"

    def test_bookings_that_have_not_begun_are_given_up(self, planner, event, kit):
        done(post(planner, f"/events/{event.pk}/confirm/"))
        mine = firm(planner, event, kit=kit.pk)
        done(post(planner, f"/events/{event.pk}/close/"))
        assert shown(planner, mine)["state"] == "cancelled"
