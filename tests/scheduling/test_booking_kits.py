"""Booking a kit over the interface: its case, everything in it, and what is refused or short."""

import pytest
from django.utils.dateparse import parse_datetime

from tests.scheduling.asking import get, made, post, refused
from tests.scheduling.factories import (
    DowntimeFactory,
    EventFactory,
    KitFactory,
    PositionFactory,
    UnitFactory,
    at,
)
from tests.scheduling.state import tables, units_of

pytestmark = pytest.mark.django_db


class TestKit:
    def test_confirmed_it_claims_its_case_and_everything_in_it(self, planner, event, kit):
        response = post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"})
        booking = made(response)
        assert response["Location"] == f"/api/v1/bookings/{booking['id']}/"
        assert response["ETag"].startswith(f'"{booking["version"]}.')
        assert {claim["unit"] for claim in booking["claims"]} == units_of(kit)
        assert all(claim["firm"] for claim in booking["claims"])
        assert {parse_datetime(claim["starts_at"]) for claim in booking["claims"]} == {event.gear_out_at}
        assert {parse_datetime(claim["ends_at"]) for claim in booking["claims"]} == {event.gear_back_at}
        assert booking["shortfalls"] == []
        assert booking["state"] == "confirmed"
        assert get(planner, f"/bookings/{booking['id']}/").json() == booking

    def test_nested_kits_are_claimed_with_it(self, planner, event, kit):
        inner = KitFactory()
        case = inner.positions.get(role="case").unit
        inside = PositionFactory(kit=inner).unit
        PositionFactory(kit=kit, label="inner", unit=case)
        booking = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        claimed = [claim["unit"] for claim in booking["claims"]]
        assert sorted(claimed) == sorted(units_of(kit) | {case.pk, inside.pk})

    def test_blocked_it_is_refused_with_everything_in_the_way(self, planner, event, kit):
        case = kit.positions.get(role="case").unit
        switch = kit.positions.get(label="switch A").unit
        rival = made(post(planner, "/bookings/", {"event": event.pk, "unit": case.pk, "state": "confirmed"}))
        down = DowntimeFactory(unit=switch)
        before = tables()
        problem = refused(
            post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}), 409, "claim-conflict"
        )
        assert tables() == before
        conflicts = {conflict["unit"]: conflict for conflict in problem["conflicts"]}
        assert set(conflicts) == {case.pk, switch.pk}
        assert conflicts[case.pk]["booking"] == rival["id"]
        assert conflicts[case.pk]["event"] == event.pk
        assert conflicts[case.pk]["tag"] == case.tag
        assert "downtime" not in conflicts[case.pk]
        assert conflicts[switch.pk]["downtime"] == down.pk
        assert "booking" not in conflicts[switch.pk]
        assert conflicts[switch.pk]["ends_at"] is None

    def test_the_refusal_names_what_could_be_taken(self, planner, event, kit):
        switch = kit.positions.get(label="switch A")
        stand_in, other_spec = UnitFactory(spec=switch.spec), UnitFactory()
        switch.accepts.add(other_spec.spec)
        UnitFactory()
        twin = KitFactory(case=UnitFactory(spec=kit.positions.get(role="case").spec))
        PositionFactory(kit=twin, unit=UnitFactory(spec=switch.spec))
        made(post(planner, "/bookings/", {"event": event.pk, "unit": switch.unit.pk, "state": "confirmed"}))
        wanted = {"event": event.pk, "kit": kit.pk, "state": "confirmed"}
        problem = refused(post(planner, "/bookings/", wanted), 409, "claim-conflict")
        packed = twin.positions.get(role="required").unit
        assert problem["alternatives"] == [
            {"kit": twin.pk, "name": twin.name, "differs": []},
            {
                "unit": stand_in.pk,
                "tag": stand_in.tag,
                "spec": switch.spec.pk,
                "name": switch.spec.name,
                "packed_in": None,
            },
            {
                "unit": packed.pk,
                "tag": packed.tag,
                "spec": switch.spec.pk,
                "name": switch.spec.name,
                "packed_in": twin.pk,
            },
            {
                "unit": other_spec.pk,
                "tag": other_spec.tag,
                "spec": other_spec.spec.pk,
                "name": other_spec.spec.name,
                "packed_in": None,
            },
        ]

    def test_with_shortfalls_accepted_what_is_free_is_claimed(self, planner, event, kit):
        switch = kit.positions.get(label="switch A")
        rival = made(post(planner, "/bookings/", {"event": event.pk, "unit": switch.unit.pk, "state": "confirmed"}))
        asked = {"event": event.pk, "kit": kit.pk, "state": "confirmed", "accept_shortfalls": True}
        booking = made(post(planner, "/bookings/", asked))
        assert {claim["unit"] for claim in booking["claims"]} == units_of(kit) - {switch.unit.pk}
        [shortfall] = booking["shortfalls"]
        assert shortfall | {"id": 0} == {
            "id": 0,
            "position": switch.pk,
            "spec": switch.spec.pk,
            "unit": switch.unit.pk,
            "quantity": 1,
            "reason": "conflict",
            "rival": rival["id"],
            "claim": None,
            "alternatives": [],
        }

    def test_an_empty_required_position_is_a_shortfall_and_no_refusal(self, planner, event, kit):
        empty = PositionFactory(kit=kit, unit=None)
        PositionFactory(kit=kit, unit=None, role="optional")
        booking = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        assert [(item["position"], item["reason"]) for item in booking["shortfalls"]] == [(empty.pk, "empty-position")]

    def test_a_blocked_spare_is_a_shortfall_and_no_refusal(self, planner, event, kit):
        spare = kit.positions.get(role="spare")
        DowntimeFactory(unit=spare.unit, cause="late")
        booking = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        assert {claim["unit"] for claim in booking["claims"]} == units_of(kit, "case", "required")
        assert [(item["position"], item["reason"]) for item in booking["shortfalls"]] == [(spare.pk, "late")]

    def test_what_is_required_in_a_spare_kit_is_not_needed(self, planner, event, kit):
        inner = KitFactory()
        PositionFactory(kit=kit, label="inner", unit=inner.positions.get(role="case").unit, role="spare")
        inside = PositionFactory(kit=inner).unit
        DowntimeFactory(unit=inside)
        booking = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        assert [item["unit"] for item in booking["shortfalls"]] == [inside.pk]

    def test_a_draft_cannot_be_booked(self, planner, event, kit):
        kit.positions.filter(role="case").update(unit=None)
        before = tables()
        refused(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}), 409, "draft-kit")
        assert tables() == before

    def test_a_lost_case_is_not_in_the_pool(self, planner, event, kit):
        case = kit.positions.get(role="case").unit
        case.state = "lost"
        case.save()
        wanted = {"event": event.pk, "kit": kit.pk, "state": "confirmed"}
        problem = refused(post(planner, "/bookings/", wanted), 409, "not-enough")
        assert problem["bookable"] == 0
        assert [(item["unit"], item["reason"]) for item in problem["conflicts"]] == [(case.pk, "out-of-pool")]

    def test_back_to_back_is_allowed(self, planner, event, kit):
        after = EventFactory(gear_out_at=event.gear_back_at, gear_back_at=at(1, 20))
        made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        made(post(planner, "/bookings/", {"event": after.pk, "kit": kit.pk, "state": "confirmed"}))
