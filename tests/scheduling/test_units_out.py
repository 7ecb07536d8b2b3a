"""What is out with a show stays with it: faults, losses, other contents and longer shows, over the interface."""

from datetime import timedelta

import pytest
from django.utils import timezone

from scheduling.models import Booking, Claim, Shortfall
from tests.scheduling.asking import done, get, made, patch, post
from tests.scheduling.factories import EventFactory, KitFactory, PositionFactory, SpecFactory, UnitFactory
from tests.scheduling.state import units_of

pytestmark = pytest.mark.django_db


def hours(number: int):
    return timezone.now() + timedelta(hours=number)


@pytest.fixture
def running():
    """A show whose gear went out an hour ago and comes back in ten."""
    return EventFactory(gear_out_at=hours(-1), gear_back_at=hours(10))


@pytest.fixture
def coming(running):
    """The next show, from when the gear is back."""
    return EventFactory(gear_out_at=running.gear_back_at, gear_back_at=hours(30))


@pytest.fixture
def kit():
    kit = KitFactory()
    PositionFactory(kit=kit, label="switch A")
    return kit


def book(client, event, **wanted):
    return made(post(client, "/bookings/", {"event": event.pk, "state": "confirmed"} | wanted))


def shown(client, booking):
    return get(client, f"/bookings/{booking['id']}/").json()


def longer(client, booking, number, **more):
    body = {"ends_at": hours(number).isoformat()} | more
    return done(post(client, f"/bookings/{booking['id']}/extend/", body))


def fault(client, unit):
    return made(post(client, "/faults/", {"unit": unit.pk, "what": "dead", "usable": False}))


class TestBroken:
    def test_a_unit_that_breaks_on_site_stays_there_and_is_short(self, planner, running, kit):
        switch = kit.positions.get(label="switch A").unit
        booking = book(planner, running, kit=kit.pk)
        [told] = fault(planner, switch)["affected_bookings"]
        assert told["booking"] == booking["id"]
        now = shown(planner, booking)
        assert {claim["unit"] for claim in now["claims"]} == units_of(kit)
        [lack] = now["shortfalls"]
        claim = next(claim["id"] for claim in now["claims"] if claim["unit"] == switch.pk)
        assert (lack["reason"], lack["unit"], lack["claim"]) == ("taken-on-site", switch.pk, claim)
        made(post(planner, "/repairs/", {"unit": switch.pk}))
        assert shown(planner, booking)["shortfalls"] == []
        assert list(Shortfall.objects.values_list("closed_how", flat=True)) == ["filled"]

    def test_of_a_number_of_a_type_no_other_unit_is_sent_in_its_place_in_silence(self, planner, running):
        spec = SpecFactory()
        units = UnitFactory.create_batch(3, spec=spec)
        booking = book(planner, running, spec=spec.pk, quantity=2)
        broken = Claim.objects.filter(booking=booking["id"]).first().unit
        fault(planner, broken)
        now = shown(planner, booking)
        assert {claim["unit"] for claim in now["claims"]} == {claim["unit"] for claim in booking["claims"]}
        assert [(lack["unit"], lack["reason"]) for lack in now["shortfalls"]] == [(broken.pk, "taken-on-site")]
        assert len(units) == 3

    def test_a_lost_unit_likewise(self, planner, running, kit):
        switch = kit.positions.get(label="switch A").unit
        booking = book(planner, running, kit=kit.pk)
        done(patch(planner, f"/units/{switch.pk}/", {"state": "lost"}))
        now = shown(planner, booking)
        assert switch.pk in {claim["unit"] for claim in now["claims"]}
        assert [lack["reason"] for lack in now["shortfalls"]] == ["taken-on-site"]


class TestRepacked:
    def test_the_unit_that_is_out_becomes_a_stray_and_the_new_one_is_claimed(self, planner, running, kit):
        position = kit.positions.get(label="switch A")
        was, other = position.unit, UnitFactory(spec=position.spec)
        booking = book(planner, running, kit=kit.pk)
        done(patch(planner, f"/kits/{kit.pk}/positions/{position.pk}/", {"unit": other.pk}))
        now = shown(planner, booking)
        assert {(claim["unit"], claim["stray"]) for claim in now["claims"]} >= {(was.pk, True), (other.pk, False)}
        assert now["shortfalls"] == []
        done(patch(planner, f"/kits/{kit.pk}/positions/{position.pk}/", {"unit": was.pk}))
        assert (was.pk, False) in {(claim["unit"], claim["stray"]) for claim in shown(planner, booking)["claims"]}

    def test_a_stray_keeps_its_unit_from_others_until_the_show_is_back(self, planner, running, kit):
        position = kit.positions.get(label="switch A")
        was = position.unit
        book(planner, running, kit=kit.pk)
        done(patch(planner, f"/kits/{kit.pk}/positions/{position.pk}/", {"unit": None}))
        at_once = EventFactory(gear_out_at=hours(1), gear_back_at=hours(2))
        wanted = {"event": at_once.pk, "unit": was.pk, "state": "confirmed"}
        assert post(planner, "/bookings/", wanted).status_code == 409


class TestTheShowRunsLong:
    def test_it_keeps_what_it_has_and_the_next_show_is_told(self, crew, planner, running, coming, kit):
        booking, rival = book(crew, running, kit=kit.pk), book(planner, coming, kit=kit.pk)
        path, body = f"/bookings/{booking['id']}/extend/", {"ends_at": hours(20).isoformat()}
        foretold = done(post(crew, f"{path}?dry_run=true", body))
        assert [told["booking"] for told in foretold["affected_bookings"]] == [rival["id"]]
        extended = done(post(crew, path, body))
        assert extended["shortfalls"] == []
        assert {claim["unit"] for claim in extended["claims"]} == units_of(kit)
        lost = shown(planner, rival)
        assert lost["claims"] == []
        assert {(lack["reason"], lack["rival"]) for lack in lost["shortfalls"]} == {("conflict", booking["id"])}

    def test_eight_units_six_out_and_the_next_show_wants_four(self, planner, running, coming):
        """The show on the road keeps its six; the next one has the two that are in the store."""
        spec = SpecFactory()
        UnitFactory.create_batch(8, spec=spec)
        booking = book(planner, running, spec=spec.pk, quantity=6)
        rival = book(planner, coming, spec=spec.pk, quantity=4)
        extended = longer(planner, booking, 20)
        assert len(extended["claims"]) == 6
        assert extended["shortfalls"] == []
        assert [told["booking"] for told in extended["affected_bookings"]] == [rival["id"]]
        now = shown(planner, rival)
        assert len(now["claims"]) == 2
        assert sum(lack["quantity"] for lack in now["shortfalls"]) == 2

    def test_whoever_can_be_given_another_unit_loses_nothing(self, planner, running, coming):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        booking = book(planner, running, spec=spec.pk)
        rival = book(planner, coming, spec=spec.pk)
        Claim.objects.filter(booking=rival["id"]).update(unit=booking["claims"][0]["unit"])
        assert longer(planner, booking, 20)["affected_bookings"] == []
        assert shown(planner, rival)["claims"][0]["unit"] != booking["claims"][0]["unit"]

    def test_a_show_that_was_due_back_already_still_has_its_gear(self, planner, running, coming, kit):
        booking = book(planner, running, kit=kit.pk)
        Claim.objects.update(ends_at=hours(0))
        Booking.objects.update(ends_at=hours(0))
        rival = book(planner, coming, kit=kit.pk)
        assert [told["booking"] for told in longer(planner, booking, 20)["affected_bookings"]] == [rival["id"]]

    def test_what_has_gone_out_with_the_next_show_is_not_taken_back(self, planner, running, kit):
        booking = book(planner, running, kit=kit.pk)
        Claim.objects.update(starts_at=hours(-5), ends_at=hours(-2))
        Booking.objects.update(starts_at=hours(-5), ends_at=hours(-2))
        rival = book(planner, EventFactory(gear_out_at=hours(-1), gear_back_at=hours(5)), kit=kit.pk)
        path = f"/bookings/{booking['id']}/extend/"
        answer = post(planner, path, {"ends_at": hours(3).isoformat()})
        assert answer.status_code == 409
        assert {conflict["booking"] for conflict in answer.json()["conflicts"]} == {rival["id"]}
        assert shown(planner, rival) == rival
