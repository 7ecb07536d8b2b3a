"""Other gear for a booking over the interface: stand-ins, another kit, a chosen unit, the times of its event."""

import pytest

from scheduling.models import Claim
from tests.scheduling.asking import book, done, firm, made, patch, post, refused, shown, verb
from tests.scheduling.factories import EventFactory, KitFactory, PositionFactory, SpecFactory, UnitFactory, at
from tests.scheduling.state import tables, units_of

pytestmark = pytest.mark.django_db


class TestStandIn:
    @pytest.fixture
    def broken(self, planner, kit):
        """A unit of the kit that broke; its kit is booked for two shows."""
        return kit.positions.get(label="switch A").unit

    def test_it_is_for_one_booking_and_the_kit_stays_as_it_is(self, planner, event, kit, broken):
        later = EventFactory(gear_out_at=at(5), gear_back_at=at(6))
        mine, other = firm(planner, event, kit=kit.pk), firm(planner, later, kit=kit.pk)
        made(post(planner, "/faults/", {"unit": broken.pk, "what": "dead", "usable": False}))
        spare = UnitFactory(spec=broken.spec)
        [lack] = shown(planner, mine)["shortfalls"]
        answered = done(verb(planner, mine, "stand-in", shortfall=lack["id"], unit=spare.pk))
        assert answered["shortfalls"] == []
        position = kit.positions.get(label="switch A")
        assert (position.pk, spare.pk) in {(claim["position"], claim["unit"]) for claim in answered["claims"]}
        assert position.unit == broken
        assert len(shown(planner, other)["shortfalls"]) == 1
        made(post(planner, "/repairs/", {"unit": broken.pk}))
        assert spare.pk in {claim["unit"] for claim in shown(planner, mine)["claims"]}
        back = done(verb(planner, mine, "take-back", position=position.pk))
        assert {claim["unit"] for claim in back["claims"]} == units_of(kit)
        refused(verb(planner, mine, "take-back", position=position.pk), 400, "invalid")

    def test_for_good_it_is_packed_and_every_booking_follows(self, planner, event, kit, broken):
        later = EventFactory(gear_out_at=at(5), gear_back_at=at(6))
        mine, other = firm(planner, event, kit=kit.pk), firm(planner, later, kit=kit.pk)
        made(post(planner, "/faults/", {"unit": broken.pk, "what": "dead", "usable": False}))
        spare = UnitFactory(spec=broken.spec)
        lack = shown(planner, mine)["shortfalls"][0]["id"]
        done(verb(planner, mine, "stand-in", shortfall=lack, unit=spare.pk, for_good=True))
        assert kit.positions.get(label="switch A").unit == spare
        assert shown(planner, other)["shortfalls"] == []

    def test_what_is_promised_then_or_of_another_type_does_not_stand_in(self, planner, event, kit, broken):
        mine = firm(planner, event, kit=kit.pk)
        made(post(planner, "/faults/", {"unit": broken.pk, "what": "dead", "usable": False}))
        taken, strange = UnitFactory(spec=broken.spec), UnitFactory()
        firm(planner, event, unit=taken.pk)
        lack = shown(planner, mine)["shortfalls"][0]["id"]
        before = tables()
        refused(verb(planner, mine, "stand-in", shortfall=lack, unit=taken.pk), 409, "claim-conflict")
        refused(verb(planner, mine, "stand-in", shortfall=lack, unit=strange.pk), 400, "invalid")
        assert tables() == before


class TestAlternativesOfAKit:
    def test_similar_kits_come_first_with_what_differs(self, planner, event):
        switch, desk = SpecFactory(name="Switch of eight"), SpecFactory(name="Desk")
        wanted, poorer, strange = KitFactory(name="Stage"), KitFactory(name="Booth"), KitFactory(name="Cables")
        for kit, specs in ((wanted, [switch, switch, desk]), (poorer, [switch, switch]), (strange, [desk])):
            case = kit.positions.get(label="case")
            case.unit.spec = case.spec = wanted.positions.get(label="case").spec
            case.unit.save()
            case.save()
            for spec in specs:
                PositionFactory(kit=kit, unit=UnitFactory(spec=spec))
        PositionFactory(kit=strange, unit=UnitFactory())
        PositionFactory(kit=strange, unit=UnitFactory())
        firm(planner, event, kit=wanted.pk)
        problem = refused(
            post(planner, "/bookings/", {"event": event.pk, "kit": wanted.pk, "state": "confirmed"}),
            409,
            "claim-conflict",
        )
        kits = [found for found in problem["alternatives"] if "kit" in found]
        assert kits == [{"kit": poorer.pk, "name": "Booth", "differs": ["no Desk"]}]
        assert problem["alternatives"][0] == kits[0]


class TestFollow:
    def test_a_booking_with_a_time_of_its_own_goes_with_its_event_again(self, planner, event, kit):
        mine = firm(planner, event, kit=kit.pk)
        done(verb(planner, mine, "extend", ends_at=at(1, 6).isoformat()))
        moved = {"gear_out_at": at(3, 8).isoformat(), "gear_back_at": at(3, 20).isoformat()}
        done(patch(planner, f"/events/{event.pk}/", moved))
        assert shown(planner, mine)["starts_at"] == mine["starts_at"]
        along = done(verb(planner, mine, "follow"))
        assert (along["starts_at"], along["follows_event"]) == ("2031-05-08T08:00:00Z", True)


class TestSwap:
    def test_another_kit_takes_the_place_of_the_booked_one(self, planner, event, kit):
        other = KitFactory()
        PositionFactory(kit=other)
        mine = firm(planner, event, kit=kit.pk)
        swapped = done(verb(planner, mine, "swap", kit=other.pk))
        assert swapped["kit"] == other.pk
        assert {claim["unit"] for claim in swapped["claims"]} == units_of(other)
        firm(planner, event, kit=kit.pk)

    def test_what_the_other_kit_cannot_have_refuses_it(self, planner, event, kit):
        other = KitFactory()
        firm(planner, event, kit=other.pk)
        mine = firm(planner, event, kit=kit.pk)
        refused(verb(planner, mine, "swap", kit=other.pk), 409, "claim-conflict")
        assert shown(planner, mine) == mine

    def test_only_a_kit_for_another_kit(self, planner, event, kit):
        mine, unit = firm(planner, event, kit=kit.pk), book(planner, event, unit=UnitFactory().pk)
        for booking, kit_id in ((mine, kit.pk), (mine, 999_999), (unit, kit.pk)):
            assert refused(verb(planner, booking, "swap", kit=kit_id), 400, "invalid")["errors"][0]["field"] == "kit"


class TestChooseAndPin:
    def test_a_chosen_unit_is_traded_with_whoever_has_it(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        mine, theirs = firm(planner, event, spec=spec.pk), firm(planner, event, spec=spec.pk)
        (own,), (other,) = ([claim["unit"] for claim in booking["claims"]] for booking in (mine, theirs))
        chosen = done(verb(planner, mine, "choose", unit=other, instead_of=own))
        assert [claim["unit"] for claim in chosen["claims"]] == [other]
        assert [claim["id"] for claim in chosen["claims"]] == [claim["id"] for claim in mine["claims"]]
        assert [claim["unit"] for claim in shown(planner, theirs)["claims"]] == [own]
        assert Claim.objects.get(booking=mine["id"]).pinned_why == "chosen"

    def test_a_named_unit_of_somebody_else_cannot_be_chosen(self, planner, event):
        spec = SpecFactory()
        first, second = UnitFactory.create_batch(2, spec=spec)
        firm(planner, event, unit=first.pk)
        mine = firm(planner, event, spec=spec.pk)
        refused(verb(planner, mine, "choose", unit=first.pk, instead_of=second.pk), 409, "claim-conflict")

    def test_pinned_units_stay_until_they_are_unpinned(self, planner, event):
        spec = SpecFactory()
        units = UnitFactory.create_batch(2, spec=spec)
        mine = firm(planner, event, spec=spec.pk)
        own = mine["claims"][0]["unit"]
        other = next(unit.pk for unit in units if unit.pk != own)
        done(verb(planner, mine, "pin", why="printed"))
        refused(
            post(planner, "/bookings/", {"event": event.pk, "unit": own, "state": "confirmed"}), 409, "claim-conflict"
        )
        done(verb(planner, mine, "unpin"))
        firm(planner, event, unit=own)
        assert [claim["unit"] for claim in shown(planner, mine)["claims"]] == [other]
        assert refused(verb(planner, mine, "pin", units=[own]), 400, "invalid")["errors"][0]["field"] == "units"
