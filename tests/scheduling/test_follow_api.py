"""What faults, repairs, contents and the pool do to promises, in the same transaction, and who is told."""

from datetime import timedelta

import pytest
from django.core.management import call_command
from django.core.management.base import SystemCheckError
from django.utils import timezone

from inventory.base.changes import FOLLOWERS
from scheduling.models import Booking, Claim, Shortfall
from tests.scheduling.asking import done, get, made, patch, post
from tests.scheduling.factories import EventFactory, KitFactory, PositionFactory, SpecFactory, UnitFactory, at

pytestmark = pytest.mark.django_db


@pytest.fixture
def event():
    return EventFactory()


@pytest.fixture
def kit():
    kit = KitFactory()
    PositionFactory(kit=kit, label="switch A")
    return kit


def book(client, event, **wanted):
    return made(post(client, "/bookings/", {"event": event.pk, "state": "confirmed"} | wanted))


def shown(client, booking):
    return get(client, f"/bookings/{booking['id']}/").json()


def fault(client, unit):
    return made(post(client, "/faults/", {"unit": unit.pk, "what": "dead", "usable": False}))


def repair(client, unit):
    return made(post(client, "/repairs/", {"unit": unit.pk}))


class TestFault:
    def test_a_unit_that_broke_leaves_a_shortfall_in_every_later_booking(self, planner, event, kit):
        switch = kit.positions.get(label="switch A")
        stand_in = UnitFactory(spec=switch.spec)
        later = EventFactory(gear_out_at=at(5), gear_back_at=at(6))
        bookings = [book(planner, show, kit=kit.pk) for show in (event, later)]
        told = fault(planner, switch.unit)
        assert told["unit_state"] == "held-back"
        alternative = {
            "unit": stand_in.pk,
            "tag": stand_in.tag,
            "spec": switch.spec.pk,
            "name": switch.spec.name,
            "packed_in": None,
        }
        assert told["affected_bookings"] == [
            {
                "booking": bookings[0]["id"],
                "event": event.pk,
                "starts_at": "2031-05-05T08:00:00Z",
                "loses": "units",
                "alternatives": [alternative],
            },
            {
                "booking": bookings[1]["id"],
                "event": later.pk,
                "starts_at": "2031-05-10T00:00:00Z",
                "loses": "units",
                "alternatives": [alternative],
            },
        ]
        for booking in bookings:
            now = shown(planner, booking)
            assert switch.unit.pk not in {claim["unit"] for claim in now["claims"]}
            [shortfall] = now["shortfalls"]
            assert (shortfall["position"], shortfall["unit"], shortfall["reason"]) == (
                switch.pk,
                switch.unit.pk,
                "held-back",
            )
            assert shortfall["alternatives"] == [alternative]

    def test_repaired_it_fills_the_shortfalls_that_name_it(self, planner, event, kit):
        switch = kit.positions.get(label="switch A").unit
        booking = book(planner, event, kit=kit.pk)
        fault(planner, switch)
        repair(planner, switch)
        now = shown(planner, booking)
        assert now["shortfalls"] == []
        assert switch.pk in {claim["unit"] for claim in now["claims"]}
        assert list(Shortfall.objects.values_list("closed_how", flat=True)) == ["filled"]

    def test_repaired_it_fills_nothing_where_somebody_else_has_it(self, planner, event, kit):
        switch = kit.positions.get(label="switch A").unit
        booking = book(planner, event, kit=kit.pk)
        fault(planner, switch)
        stand_in_time = made(
            post(planner, "/downtimes/", {"unit": switch.pk, "cause": "lent", "ends_at": at(0, 10).isoformat()})
        )
        repair(planner, switch)
        assert [item["reason"] for item in shown(planner, booking)["shortfalls"]] == ["held-back"]
        done(patch(planner, f"/downtimes/{stand_in_time['id']}/", {}))
        assert shown(planner, booking)["shortfalls"] == []

    def test_a_dealt_unit_is_replaced_without_a_word(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(3, spec=spec)
        booking = book(planner, event, spec=spec.pk, quantity=2)
        lost = booking["claims"][0]["unit"]
        told = fault(planner, spec.units.get(pk=lost))
        assert told["affected_bookings"] == []
        now = shown(planner, booking)
        assert len({claim["unit"] for claim in now["claims"]} - {lost}) == 2
        assert now["shortfalls"] == []

    def test_a_dealt_unit_that_cannot_be_replaced_is_missed_by_name(self, planner, event):
        spec = SpecFactory()
        units = UnitFactory.create_batch(2, spec=spec)
        booking = book(planner, event, spec=spec.pk, quantity=2)
        assert [one["booking"] for one in fault(planner, units[0])["affected_bookings"]] == [booking["id"]]
        assert [(s["unit"], s["reason"], s["quantity"]) for s in shown(planner, booking)["shortfalls"]] == [
            (units[0].pk, "held-back", 1)
        ]
        repair(planner, units[0])
        now = shown(planner, booking)
        assert {claim["unit"] for claim in now["claims"]} == {unit.pk for unit in units}
        assert now["shortfalls"] == []

    def test_a_pinned_dealt_unit_is_not_replaced_in_silence(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        booking = book(planner, event, spec=spec.pk)
        Claim.objects.update(pinned_at=timezone.now(), pinned_why="picked")
        told = fault(planner, Claim.objects.get().unit)
        assert [one["booking"] for one in told["affected_bookings"]] == [booking["id"]]
        assert [item["reason"] for item in shown(planner, booking)["shortfalls"]] == ["held-back"]

    def test_pencils_lose_it_too(self, planner, event, kit):
        pencil = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}))
        told = fault(planner, kit.positions.get(label="switch A").unit)
        assert [one["booking"] for one in told["affected_bookings"]] == [pencil["id"]]
        assert [item["reason"] for item in shown(planner, pencil)["shortfalls"]] == ["held-back"]

    def test_a_usable_fault_changes_nothing(self, planner, event, kit):
        switch = kit.positions.get(label="switch A").unit
        booking = book(planner, event, kit=kit.pk)
        told = made(post(planner, "/faults/", {"unit": switch.pk, "what": "latch", "usable": True}))
        assert told["affected_bookings"] == []
        assert shown(planner, booking) == booking

    def test_what_is_over_is_never_rewritten(self, planner, kit):
        ago = EventFactory(
            gear_out_at=timezone.now() - timedelta(days=3), gear_back_at=timezone.now() - timedelta(days=2)
        )
        booking = book(planner, ago, kit=kit.pk)
        told = fault(planner, kit.positions.get(label="switch A").unit)
        assert told["affected_bookings"] == []
        assert shown(planner, booking)["claims"] == booking["claims"]


class TestContents:
    def place(self, client, kit, position, unit):
        path = f"/kits/{kit.pk}/positions/{position.pk}/"
        return done(patch(client, path, {"unit": None if unit is None else unit.pk}))

    def test_another_unit_in_the_position_is_claimed_in_its_stead(self, planner, event, kit):
        position = kit.positions.get(label="switch A")
        other = UnitFactory(spec=position.spec)
        booking = book(planner, event, kit=kit.pk)
        self.place(planner, kit, position, other)
        now = shown(planner, booking)
        claimed = {claim["unit"] for claim in now["claims"]}
        assert other.pk in claimed
        assert position.unit.pk not in claimed
        assert now["shortfalls"] == []

    def test_an_emptied_required_position_is_a_shortfall_until_it_is_filled(self, planner, event, kit):
        position = kit.positions.get(label="switch A")
        booking = book(planner, event, kit=kit.pk)
        self.place(planner, kit, position, None)
        assert [(s["position"], s["reason"]) for s in shown(planner, booking)["shortfalls"]] == [
            (position.pk, "empty-position")
        ]
        self.place(planner, kit, position, position.unit)
        assert shown(planner, booking)["shortfalls"] == []
        assert list(Shortfall.objects.values_list("closed_how", flat=True)) == ["filled"]

    def test_a_unit_that_is_promised_elsewhere_is_a_conflict(self, planner, event, kit):
        position = kit.positions.get(label="switch A")
        other = UnitFactory(spec=position.spec)
        booking, rival = book(planner, event, kit=kit.pk), book(planner, event, unit=other.pk)
        self.place(planner, kit, position, other)
        [shortfall] = shown(planner, booking)["shortfalls"]
        assert (shortfall["unit"], shortfall["reason"], shortfall["rival"]) == (other.pk, "conflict", rival["id"])
        done(post(planner, f"/bookings/{rival['id']}/cancel/"))
        assert shown(planner, booking)["shortfalls"] == []

    def test_a_change_in_a_nested_kit_reaches_the_bookings_of_the_outer_one(self, planner, event, kit):
        inner = KitFactory()
        position = PositionFactory(kit=inner)
        PositionFactory(kit=kit, label="inner", unit=inner.positions.get(role="case").unit)
        other = UnitFactory(spec=position.spec)
        booking = book(planner, event, kit=kit.pk)
        self.place(planner, inner, position, other)
        assert other.pk in {claim["unit"] for claim in shown(planner, booking)["claims"]}

    def test_nesting_a_kit_claims_what_is_in_it(self, planner, event, kit):
        inner = KitFactory()
        inside = PositionFactory(kit=inner).unit
        case = inner.positions.get(role="case").unit
        booking = book(planner, event, kit=kit.pk)
        body = {"label": "inner", "spec": case.spec.pk, "role": "required", "unit": case.pk}
        made(post(planner, f"/kits/{kit.pk}/positions/", body))
        assert {case.pk, inside.pk} <= {claim["unit"] for claim in shown(planner, booking)["claims"]}

    def test_a_case_taken_away_is_missed(self, planner, event, kit):
        booking = book(planner, event, kit=kit.pk)
        done(patch(planner, f"/kits/{kit.pk}/", {"case": None}))
        case = kit.positions.get(role="case")
        assert [(s["position"], s["reason"]) for s in shown(planner, booking)["shortfalls"]] == [
            (case.pk, "empty-position")
        ]


class TestPool:
    @pytest.mark.parametrize(
        ("change", "reason"),
        [
            ({"state": "lost"}, "out-of-pool"),
            ({"state": "retired"}, "out-of-pool"),
            ({"state": "held-back"}, "held-back"),
            ({"available_until": "2031-05-05T12:00:00Z"}, "out-of-pool"),
            ({"available_from": "2031-05-05T12:00:00Z"}, "out-of-pool"),
        ],
    )
    def test_a_unit_that_leaves_the_pool_is_missed_until_it_is_back(self, planner, event, change, reason):
        unit = UnitFactory()
        booking = book(planner, event, unit=unit.pk)
        done(patch(planner, f"/units/{unit.pk}/", change))
        now = shown(planner, booking)
        assert (now["claims"], [item["reason"] for item in now["shortfalls"]]) == ([], [reason])
        back = {"state": "in-service", "available_from": None, "available_until": None}
        done(patch(planner, f"/units/{unit.pk}/", back))
        assert len(shown(planner, booking)["claims"]) == 1


def test_promises_follow_or_the_service_does_not_start(monkeypatch):
    call_command("check")
    monkeypatch.delitem(FOLLOWERS, "promises")
    with pytest.raises(SystemCheckError, match=r"scheduling\.E001"):
        call_command("check")


def test_a_fault_costs_the_same_for_three_bookings_and_for_thirty(planner, kit, django_assert_max_num_queries):
    switch = kit.positions.get(label="switch A").unit
    for day in range(3):
        book(planner, EventFactory(gear_out_at=at(day, 8), gear_back_at=at(day, 20)), kit=kit.pk)
    with django_assert_max_num_queries(60) as few:
        fault(planner, switch)
    repair(planner, switch)
    for day in range(3, 30):
        book(planner, EventFactory(gear_out_at=at(day, 8), gear_back_at=at(day, 20)), kit=kit.pk)
    with django_assert_max_num_queries(500) as many:
        fault(planner, switch)
    assert len(many) <= len(few) + 2
    assert Booking.objects.count() == 30
