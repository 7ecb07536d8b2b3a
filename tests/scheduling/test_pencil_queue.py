"""Pencils are places in a queue: who is ahead, who could be confirmed, and that none is refused."""

from datetime import timedelta

import pytest
from django.utils import timezone

from scheduling.models import Booking, Claim
from tests.scheduling.asking import done, get, made, post
from tests.scheduling.factories import EventFactory, PositionFactory, SpecFactory, UnitFactory, at
from tests.scheduling.state import units_of

pytestmark = pytest.mark.django_db


def pencil(client, event, **wanted):
    return made(post(client, "/bookings/", {"event": event.pk} | wanted))


def firm(client, event, **wanted):
    return pencil(client, event, state="confirmed", **wanted)


def shown(client, booking):
    return get(client, f"/bookings/{booking['id']}/").json()


class TestPlace:
    def test_over_a_firm_promise_it_is_a_place_behind_it(self, planner, event, kit):
        rival = firm(planner, event, kit=kit.pk)
        behind = pencil(planner, event, kit=kit.pk)
        assert {claim["unit"] for claim in behind["claims"]} == units_of(kit)
        assert behind["shortfalls"] == []
        assert (behind["rank"], behind["confirmable"]) == (1, False)
        [ahead] = behind["before"]
        assert (ahead["booking"], ahead["event"], ahead["firm"], ahead["rank"]) == (rival["id"], event.pk, True, None)
        assert (ahead["starts_at"], ahead["ends_at"]) == (rival["starts_at"], rival["ends_at"])

    def test_the_earlier_pencil_is_ahead_and_a_later_one_is_not(self, planner, event, kit):
        first, second, third = (pencil(planner, event, kit=kit.pk) for _ in range(3))
        assert [shown(planner, booking)["rank"] for booking in (first, second, third)] == [1, 2, 3]
        assert [(one["booking"], one["rank"]) for one in shown(planner, third)["before"]] == [
            (first["id"], 1),
            (second["id"], 2),
        ]
        assert shown(planner, first)["before"] == []

    def test_it_is_the_worst_over_its_units(self, planner, event, kit):
        """Behind two on the case and one on the switch: third, whoever asks."""
        case, switch = (kit.positions.get(label=label).unit for label in ("case", "switch A"))
        for unit in (case, case, switch):
            pencil(planner, event, unit=unit.pk)
        assert pencil(planner, event, kit=kit.pk)["rank"] == 3

    def test_an_expired_one_is_ahead_of_nobody_and_has_no_place(self, planner, event, kit):
        first, second = (pencil(planner, event, kit=kit.pk) for _ in range(2))
        Booking.objects.filter(pk=first["id"]).update(expires_at=timezone.now())
        assert (shown(planner, second)["rank"], shown(planner, second)["before"]) == (1, [])
        gone = shown(planner, first)
        assert (gone["rank"], gone["before"], gone["confirmable"]) == (None, [], None)

    def test_another_time_is_another_queue(self, planner, event, kit):
        pencil(planner, event, kit=kit.pk)
        after = EventFactory(gear_out_at=event.gear_back_at, gear_back_at=at(2))
        assert pencil(planner, after, kit=kit.pk)["before"] == []

    def test_a_list_says_the_same_as_each_booking(self, planner, event, kit):
        made_so = [
            pencil(planner, event, kit=kit.pk),
            firm(planner, event, kit=kit.pk),
            pencil(planner, event, kit=kit.pk),
        ]
        listed = get(planner, "/bookings/").json()["results"]
        assert listed == [shown(planner, booking) for booking in made_so]


class TestNumberOfAType:
    def test_it_takes_as_many_units_as_it_wants_unclaimed_ones_first(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(4, spec=spec)
        taken = {claim["unit"] for claim in firm(planner, event, spec=spec.pk, quantity=2)["claims"]}
        first = pencil(planner, event, spec=spec.pk, quantity=2)
        assert taken.isdisjoint(claim["unit"] for claim in first["claims"])
        assert first["confirmable"] is True
        more = pencil(planner, event, spec=spec.pk, quantity=3)
        assert len({claim["unit"] for claim in more["claims"]}) == 3
        assert (more["shortfalls"], more["confirmable"]) == ([], False)

    def test_only_what_nobody_could_get_is_short(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        booking = pencil(planner, event, spec=spec.pk, quantity=5)
        assert len(booking["claims"]) == 2
        assert [(lack["quantity"], lack["reason"]) for lack in booking["shortfalls"]] == [(3, "not-enough")]

    def test_packed_units_are_for_those_who_ask_for_them(self, planner, event):
        spec = SpecFactory()
        loose, packed = UnitFactory(spec=spec), PositionFactory(unit=UnitFactory(spec=spec)).unit
        assert [claim["unit"] for claim in pencil(planner, event, spec=spec.pk, quantity=2)["claims"]] == [loose.pk]
        both = pencil(planner, event, spec=spec.pk, quantity=2, from_kits=True)
        assert {claim["unit"] for claim in both["claims"]} == {loose.pk, packed.pk}


class TestConfirmable:
    def test_it_is_what_confirming_does(self, planner, event, kit):
        rival, mine = firm(planner, event, kit=kit.pk), pencil(planner, event, kit=kit.pk)
        assert mine["confirmable"] is False
        assert post(planner, f"/bookings/{mine['id']}/confirm/").status_code == 409
        done(post(planner, f"/bookings/{rival['id']}/cancel/"))
        assert shown(planner, mine)["confirmable"] is True
        done(post(planner, f"/bookings/{mine['id']}/confirm/"))

    def test_where_somebody_can_be_given_another_unit_it_can_be_confirmed(self, planner, event):
        spec = SpecFactory()
        units = UnitFactory.create_batch(2, spec=spec)
        rival = firm(planner, event, spec=spec.pk)
        Claim.objects.filter(booking=rival["id"]).update(unit=units[0])
        mine = pencil(planner, event, unit=units[0].pk)
        assert [one["booking"] for one in mine["before"]] == [rival["id"]]
        assert mine["confirmable"] is True
        done(post(planner, f"/bookings/{mine['id']}/confirm/"))

    def test_a_kit_without_its_case_cannot_be_confirmed(self, planner, event, kit):
        mine = pencil(planner, event, kit=kit.pk)
        kit.positions.filter(label="case").update(unit=None)
        assert shown(planner, mine)["confirmable"] is False

    def test_a_unit_that_is_down_keeps_it_from_being_confirmed(self, planner, event, kit):
        mine = pencil(planner, event, kit=kit.pk)
        switch = kit.positions.get(label="switch A").unit
        made(post(planner, "/faults/", {"unit": switch.pk, "what": "dead", "usable": False}))
        now = shown(planner, mine)
        assert ([lack["reason"] for lack in now["shortfalls"]], now["confirmable"]) == (["held-back"], False)


def test_an_expired_pencil_that_is_kept_takes_its_place_again_whoever_has_the_gear(planner, event, kit):
    mine = pencil(planner, event, kit=kit.pk)
    Booking.objects.filter(pk=mine["id"]).update(expires_at=timezone.now())
    rival = firm(planner, event, kit=kit.pk)
    later = {"expires_at": (timezone.now() + timedelta(days=2)).isoformat()}
    kept = done(planner.patch(f"/api/v1/bookings/{mine['id']}/", later, format="json"))
    assert {claim["unit"] for claim in kept["claims"]} == units_of(kit)
    assert [one["booking"] for one in kept["before"]] == [rival["id"]]
