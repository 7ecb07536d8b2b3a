"""Booking a number of a spec over the interface, several lines at once, and what cannot be read."""

from datetime import timedelta

import pytest
from django.utils import timezone

from scheduling.models import Claim
from tests.scheduling.asking import get, made, post, refused
from tests.scheduling.factories import (
    DowntimeFactory,
    EventFactory,
    PositionFactory,
    SpecFactory,
    UnitFactory,
    at,
)
from tests.scheduling.state import tables

pytestmark = pytest.mark.django_db


class TestNumberOfASpec:
    def test_it_is_dealt_loose_units(self, planner, event):
        spec = SpecFactory()
        loose = UnitFactory.create_batch(2, spec=spec)
        PositionFactory(unit=UnitFactory(spec=spec))
        booking = made(
            post(planner, "/bookings/", {"event": event.pk, "spec": spec.pk, "quantity": 2, "state": "confirmed"})
        )
        assert {claim["unit"] for claim in booking["claims"]} == {unit.pk for unit in loose}
        assert booking["proof"] == "free"

    def test_packed_units_are_dealt_only_when_asked(self, planner, event):
        spec = SpecFactory()
        loose, packed = UnitFactory(spec=spec), PositionFactory(unit=UnitFactory(spec=spec))
        asked = {"event": event.pk, "spec": spec.pk, "quantity": 2, "state": "confirmed"}
        problem = refused(post(planner, "/bookings/", asked), 409, "not-enough")
        assert problem["bookable"] == 1
        assert [(item["unit"], item["packed_in"]) for item in problem["alternatives"]] == [
            (loose.pk, None),
            (packed.unit.pk, packed.kit.pk),
        ]
        booking = made(post(planner, "/bookings/", asked | {"from_kits": True}))
        assert {claim["unit"] for claim in booking["claims"]} == {loose.pk, packed.unit.pk}

    def test_what_can_be_made_free_by_dealing_again_is_granted(self, planner):
        """One unit taken on Monday, the other on Tuesday: for both days nothing is free, yet one can be had."""
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        days = [EventFactory(gear_out_at=at(day, 8), gear_back_at=at(day, 20)) for day in (0, 1)]
        first, second = (
            made(post(planner, "/bookings/", {"event": day.pk, "spec": spec.pk, "state": "confirmed"})) for day in days
        )
        Claim.objects.filter(booking=first["id"]).update(unit=spec.units.first())
        Claim.objects.filter(booking=second["id"]).update(unit=spec.units.last())
        both = EventFactory(gear_out_at=at(0, 8), gear_back_at=at(1, 20))
        asked = {"event": both.pk, "spec": spec.pk, "state": "confirmed"}
        problem = refused(post(planner, "/bookings/", asked | {"quantity": 2}), 409, "claim-conflict")
        assert {conflict["booking"] for conflict in problem["conflicts"]} == {first["id"], second["id"]}
        assert problem["bookable"] == 1
        granted = made(post(planner, "/bookings/", asked))
        assert granted["proof"] == "exact"
        units = [Claim.objects.get(booking=row["id"]).unit_id for row in (first, second, granted)]
        assert units[0] == units[1] != units[2]

    def test_pinned_units_are_not_dealt_again(self, planner):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        for day, unit in enumerate(spec.units.all()):
            event = EventFactory(gear_out_at=at(day, 8), gear_back_at=at(day, 20))
            booking = made(post(planner, "/bookings/", {"event": event.pk, "spec": spec.pk, "state": "confirmed"}))
            Claim.objects.filter(booking=booking["id"]).update(unit=unit, pinned_at=timezone.now())
        both = EventFactory(gear_out_at=at(0, 8), gear_back_at=at(1, 20))
        asked = {"event": both.pk, "spec": spec.pk, "state": "confirmed"}
        assert refused(post(planner, "/bookings/", asked), 409, "claim-conflict")["bookable"] == 0

    def test_what_is_in_preparation_is_not_dealt_again(self, planner):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        for day, unit in enumerate(spec.units.all()):
            event = EventFactory(gear_out_at=at(day, 8), gear_back_at=at(day, 20))
            event.phases.create(kind="prep", starts_at=timezone.now() - timedelta(hours=1), ends_at=at(0))
            booking = made(post(planner, "/bookings/", {"event": event.pk, "spec": spec.pk, "state": "confirmed"}))
            Claim.objects.filter(booking=booking["id"]).update(unit=unit)
        both = EventFactory(gear_out_at=at(0, 8), gear_back_at=at(1, 20))
        wanted = {"event": both.pk, "spec": spec.pk, "state": "confirmed"}
        refused(post(planner, "/bookings/", wanted), 409, "claim-conflict")

    def test_partly_accepted_the_rest_is_counted(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(3, spec=spec)
        asked = {"event": event.pk, "spec": spec.pk, "quantity": 5, "state": "confirmed", "accept_shortfalls": True}
        booking = made(post(planner, "/bookings/", asked))
        assert len(booking["claims"]) == 3
        assert [(item["quantity"], item["reason"], item["unit"]) for item in booking["shortfalls"]] == [
            (2, "not-enough", None)
        ]

    def test_a_named_unit_makes_dealt_ones_give_way(self, planner, event):
        spec = SpecFactory()
        units = UnitFactory.create_batch(2, spec=spec)
        dealt = made(post(planner, "/bookings/", {"event": event.pk, "spec": spec.pk, "state": "confirmed"}))
        named = dealt["claims"][0]["unit"]
        made(post(planner, "/bookings/", {"event": event.pk, "unit": named, "state": "confirmed"}))
        [claim] = get(planner, f"/bookings/{dealt['id']}/").json()["claims"]
        assert claim["id"] == dealt["claims"][0]["id"]
        assert claim["unit"] in {unit.pk for unit in units} - {named}


class TestManyLines:
    def test_all_or_nothing_lists_what_is_in_the_way_of_any(self, planner, event):
        free, taken, down = UnitFactory.create_batch(3)
        rival = made(post(planner, "/bookings/", {"event": event.pk, "unit": taken.pk, "state": "confirmed"}))
        DowntimeFactory(unit=down)
        lines = [{"unit": unit.pk, "state": "confirmed"} for unit in (free, taken, down)]
        before = tables()
        problem = refused(post(planner, f"/events/{event.pk}/bookings/", {"lines": lines}), 409, "claim-conflict")
        assert {conflict.get("booking") for conflict in problem["conflicts"]} == {rival["id"], None}
        assert {conflict["unit"] for conflict in problem["conflicts"]} == {taken.pk, down.pk}
        assert tables() == before
        body = {"lines": lines, "all_or_nothing": False}
        some = made(post(planner, f"/events/{event.pk}/bookings/", body))
        assert [result["status"] for result in some["results"]] == [201, 409, 409]
        assert [booking["unit"] for booking in some["bookings"]] == [free.pk]
        assert some["results"][1]["problem"]["type"] == "/problems/claim-conflict"

    def test_a_line_that_another_line_stands_in_the_way_of_is_told_which(self, planner, event):
        unit = UnitFactory()
        lines = {"lines": [{"unit": unit.pk, "state": "confirmed"}] * 2}
        problem = refused(post(planner, f"/events/{event.pk}/bookings/", lines), 409, "claim-conflict")
        [conflict] = problem["conflicts"]
        assert (conflict["unit"], conflict["line"]) == (unit.pk, 0)
        assert not {"booking", "event", "downtime"} & set(conflict)

    def test_lines_of_one_request_do_not_share_units(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(3, spec=spec)
        lines = [{"spec": spec.pk, "quantity": 2, "state": "confirmed"}, {"spec": spec.pk, "state": "confirmed"}]
        response = post(planner, f"/events/{event.pk}/bookings/", {"lines": lines})
        both = made(response)
        assert response["Location"] == f"/api/v1/events/{event.pk}/bookings/"
        assert len({claim["unit"] for booking in both["bookings"] for claim in booking["claims"]}) == 3
        one_more = {"lines": [{"spec": spec.pk, "state": "confirmed"}]}
        refused(post(planner, f"/events/{event.pk}/bookings/", one_more), 409, "claim-conflict")
        listed = get(planner, f"/events/{event.pk}/bookings/").json()["results"]
        assert [row["id"] for row in listed] == [row["id"] for row in both["bookings"]]


class TestWhatCannotBeRead:
    @pytest.mark.parametrize(
        ("body", "fields"),
        [
            ({}, {"event"}),
            ({"event": 999_999, "unit": 1}, {"event"}),
            ({"unit": 999_999}, {"unit"}),
            ({"kit": 999_999}, {"kit"}),
            ({"spec": 999_999}, {"spec"}),
            ({"spec": 1, "unit": 1}, {"spec", "unit"}),
            ({"unit": 1, "quantity": 2}, {"quantity"}),
            ({"unit": 1, "from_kits": True}, {"from_kits"}),
            ({"spec": 1, "quantity": 0}, {"quantity"}),
            ({"spec": 1, "quantity": 10_001}, {"quantity"}),
            ({"unit": 1, "state": "cancelled"}, {"state"}),
            ({"unit": 1, "accept_shortfall": True}, {"accept_shortfall"}),
            ({"unit": 1, "starts_at": "2031-05-05T08:00:00"}, {"starts_at"}),
            ({"unit": 1, "starts_at": "2031-05-05T08:00:00Z", "ends_at": "2031-05-05T08:00:00Z"}, {"ends_at"}),
            ({"unit": 1, "expires_at": "2020-05-05T08:00:00Z"}, {"expires_at"}),
        ],
    )
    def test_it_is_a_400_that_names_the_field(self, planner, event, body, fields):
        before = tables()
        asked = {"event": event.pk} | body if body else {}
        problem = refused(post(planner, "/bookings/", asked), 400, "invalid")
        assert {error["field"] for error in problem["errors"]} == fields
        assert tables() == before

    def test_in_a_line_the_field_is_named_with_its_line(self, planner, event):
        unit = UnitFactory()
        lines = {"lines": [{"unit": unit.pk}, {"unit": 999_999}]}
        problem = refused(post(planner, f"/events/{event.pk}/bookings/", lines), 400, "invalid")
        assert [error["field"] for error in problem["errors"]] == ["lines.1.unit"]
        refused(post(planner, "/events/999999/bookings/", lines), 404, "not-found")

    @pytest.mark.parametrize("state", ["closed", "cancelled"])
    def test_nothing_is_booked_for_an_event_that_is_over(self, planner, state):
        event = EventFactory(state=state)
        refused(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}), 409, "wrong-state")
