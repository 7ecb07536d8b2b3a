"""Booking over the interface, as the contract shows it."""

from datetime import timedelta

import pytest
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from scheduling.models import Booking, Claim, Shortfall
from tests.scheduling.asking import delete, done, get, made, patch, post, refused
from tests.scheduling.factories import (
    DowntimeFactory,
    EventFactory,
    KitFactory,
    PositionFactory,
    SpecFactory,
    UnitFactory,
    at,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def event():
    return EventFactory()


@pytest.fixture
def kit():
    """A case with a required and a spare unit."""
    kit = KitFactory()
    PositionFactory(kit=kit, label="switch A")
    PositionFactory(kit=kit, label="switch B", role="spare")
    return kit


def units_of(kit, *roles):
    return set(kit.positions.filter(role__in=roles or ["case", "required", "spare"]).values_list("unit", flat=True))


def tables():
    return (
        list(Booking.objects.order_by("pk").values()),
        list(Claim.objects.order_by("pk").values()),
        list(Shortfall.objects.order_by("pk").values()),
    )


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
        problem = refused(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}), 409, "claim-conflict")
        packed = twin.positions.get(role="required").unit
        assert problem["alternatives"] == [
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
            {"kit": twin.pk, "name": twin.name},
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
        problem = refused(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}), 409, "not-enough")
        assert problem["bookable"] == 0
        assert [(item["unit"], item["reason"]) for item in problem["conflicts"]] == [(case.pk, "out-of-pool")]

    def test_back_to_back_is_allowed(self, planner, event, kit):
        after = EventFactory(gear_out_at=event.gear_back_at, gear_back_at=at(1, 20))
        made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        made(post(planner, "/bookings/", {"event": after.pk, "kit": kit.pk, "state": "confirmed"}))


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
        asked = {"event": event.pk, "spec": spec.pk, "quantity": 2}
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
        refused(post(planner, "/bookings/", {"event": both.pk, "spec": spec.pk}), 409, "claim-conflict")

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


class TestPencil:
    def test_it_claims_softly_and_blocks_nothing(self, planner, event, kit):
        pencil = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}))
        assert pencil["state"] == "pencil"
        assert not any(claim["firm"] for claim in pencil["claims"])
        made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}))
        made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        refused(post(planner, f"/bookings/{pencil['id']}/confirm/"), 409, "claim-conflict")
        assert len(get(planner, f"/bookings/{pencil['id']}/").json()["claims"]) == len(units_of(kit))

    def test_confirmed_its_claims_become_firm_under_the_same_ids(self, planner, event, kit):
        pencil = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}))
        confirmed = done(post(planner, f"/bookings/{pencil['id']}/confirm/"))
        assert confirmed["state"] == "confirmed"
        assert all(claim["firm"] for claim in confirmed["claims"])
        assert [claim["id"] for claim in confirmed["claims"]] == [claim["id"] for claim in pencil["claims"]]

    def test_pencilled_numbers_are_spread_over_the_units(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        dealt = [made(post(planner, "/bookings/", {"event": event.pk, "spec": spec.pk})) for _ in range(2)]
        assert len({booking["claims"][0]["unit"] for booking in dealt}) == 2

    def test_it_expires_in_two_weeks_or_when_the_gear_goes_out(self, planner, kit):
        soon = EventFactory(
            gear_out_at=timezone.now() + timedelta(days=3), gear_back_at=timezone.now() + timedelta(days=4)
        )
        late = EventFactory()
        assert parse_datetime(
            made(post(planner, "/bookings/", {"event": soon.pk, "kit": kit.pk}))["expires_at"]
        ) == pytest.approx(soon.gear_out_at, abs=timedelta(milliseconds=1))
        expires_at = parse_datetime(made(post(planner, "/bookings/", {"event": late.pk, "kit": kit.pk}))["expires_at"])
        assert timedelta(days=13, hours=23) < expires_at - timezone.now() <= timedelta(days=14)

    def test_past_its_date_it_is_gone_although_nothing_tidied_it_away(self, planner, event, kit):
        pencil = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}))
        Booking.objects.filter(pk=pencil["id"]).update(expires_at=timezone.now())
        shown = get(planner, f"/bookings/{pencil['id']}/").json()
        assert shown["expired"] is True
        assert shown["claims"] == []
        refused(post(planner, f"/bookings/{pencil['id']}/confirm/"), 409, "pencil-expired")
        later = {"expires_at": (timezone.now() + timedelta(days=2)).isoformat()}
        revived = done(patch(planner, f"/bookings/{pencil['id']}/", later))
        assert {claim["unit"] for claim in revived["claims"]} == units_of(kit)
        done(post(planner, f"/bookings/{pencil['id']}/confirm/"))

    def test_a_confirmed_booking_does_not_expire(self, planner, event, kit):
        asked = {"event": event.pk, "kit": kit.pk, "state": "confirmed", "expires_at": "2031-01-01T00:00:00Z"}
        assert refused(post(planner, "/bookings/", asked), 400, "invalid")["errors"][0]["field"] == "expires_at"


class TestCancel:
    def test_it_frees_what_was_claimed_and_stays_as_history(self, planner, event, kit):
        booking = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        cancelled = done(post(planner, f"/bookings/{booking['id']}/cancel/"))
        assert (cancelled["state"], cancelled["claims"]) == ("cancelled", [])
        assert set(Claim.objects.filter(booking=booking["id"]).values_list("standing", flat=True)) == {"released"}
        made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        refused(post(planner, f"/bookings/{booking['id']}/cancel/"), 409, "wrong-state")
        refused(post(planner, f"/bookings/{booking['id']}/confirm/"), 409, "wrong-state")

    def test_what_it_frees_fills_shortfalls_that_name_it(self, planner, event, kit):
        switch = kit.positions.get(label="switch A").unit
        rival = made(post(planner, "/bookings/", {"event": event.pk, "unit": switch.pk, "state": "confirmed"}))
        asked = {"event": event.pk, "kit": kit.pk, "state": "confirmed", "accept_shortfalls": True}
        booking = made(post(planner, "/bookings/", asked))
        done(post(planner, f"/bookings/{rival['id']}/cancel/"))
        filled = get(planner, f"/bookings/{booking['id']}/").json()
        assert filled["shortfalls"] == []
        assert switch.pk in {claim["unit"] for claim in filled["claims"]}


class TestExtend:
    def test_it_takes_a_longer_period_of_its_own(self, planner, event, kit):
        booking = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk, "state": "confirmed"}))
        longer = done(post(planner, f"/bookings/{booking['id']}/extend/", {"ends_at": at(1, 6).isoformat()}))
        assert {parse_datetime(claim["ends_at"]) for claim in longer["claims"]} == {at(1, 6)}
        assert [claim["id"] for claim in longer["claims"]] == [claim["id"] for claim in booking["claims"]]
        assert (longer["follows_event"], longer["affected_bookings"]) == (False, [])

    def test_it_is_refused_where_somebody_has_the_gear_next(self, planner, event, kit):
        after = EventFactory(gear_out_at=event.gear_back_at, gear_back_at=at(1, 20))
        booking, rival = (
            made(post(planner, "/bookings/", {"event": e.pk, "kit": kit.pk, "state": "confirmed"}))
            for e in (event, after)
        )
        before = tables()
        longer = {"ends_at": at(1, 6).isoformat()}
        problem = refused(post(planner, f"/bookings/{booking['id']}/extend/", longer), 409, "claim-conflict")
        assert {conflict["booking"] for conflict in problem["conflicts"]} == {rival["id"]}
        assert {conflict["unit"] for conflict in problem["conflicts"]} == units_of(kit, "case", "required")
        assert tables() == before

    def test_accepted_the_shortfalls_fall_on_the_rival_who_is_told(self, planner, event, kit):
        after = EventFactory(gear_out_at=event.gear_back_at, gear_back_at=at(1, 20))
        booking, rival = (
            made(post(planner, "/bookings/", {"event": e.pk, "kit": kit.pk, "state": "confirmed"}))
            for e in (event, after)
        )
        longer = {"ends_at": at(1, 6).isoformat(), "accept_shortfalls": True}
        preview = done(post(planner, f"/bookings/{booking['id']}/extend/?dry_run=true", longer))
        assert [told["booking"] for told in preview["affected_bookings"]] == [rival["id"]]
        extended = done(post(planner, f"/bookings/{booking['id']}/extend/", longer))
        assert extended["shortfalls"] == []
        assert {claim["unit"] for claim in extended["claims"]} == units_of(kit)
        [told] = extended["affected_bookings"]
        assert (told["booking"], told["event"], told["starts_at"]) == (rival["id"], after.pk, "2031-05-05T20:00:00Z")
        lost = get(planner, f"/bookings/{rival['id']}/").json()
        assert lost["claims"] == []
        assert {item["unit"] for item in lost["shortfalls"]} == units_of(kit)
        assert {(item["reason"], item["rival"]) for item in lost["shortfalls"]} == {("conflict", booking["id"])}

    def test_a_dealt_rival_is_dealt_another_unit(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        after = EventFactory(gear_out_at=event.gear_back_at, gear_back_at=at(1, 20))
        booking, rival = (
            made(post(planner, "/bookings/", {"event": e.pk, "spec": spec.pk, "state": "confirmed"}))
            for e in (event, after)
        )
        longer = done(post(planner, f"/bookings/{booking['id']}/extend/", {"ends_at": at(1, 6).isoformat()}))
        [mine], [theirs] = longer["claims"], get(planner, f"/bookings/{rival['id']}/").json()["claims"]
        assert mine["unit"] != theirs["unit"]


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

    def test_lines_of_one_request_do_not_share_units(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(3, spec=spec)
        lines = [{"spec": spec.pk, "quantity": 2, "state": "confirmed"}, {"spec": spec.pk, "state": "confirmed"}]
        response = post(planner, f"/events/{event.pk}/bookings/", {"lines": lines})
        both = made(response)
        assert response["Location"] == f"/api/v1/events/{event.pk}/bookings/"
        assert len({claim["unit"] for booking in both["bookings"] for claim in booking["claims"]}) == 3
        refused(post(planner, f"/events/{event.pk}/bookings/", {"lines": [{"spec": spec.pk}]}), 409, "claim-conflict")
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


class TestRoles:
    def test_crew_change_what_they_booked_and_not_what_others_did(self, planner, crew, event):
        mine = made(post(crew, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}))
        done(post(crew, f"/bookings/{mine['id']}/confirm/"))
        done(post(crew, f"/bookings/{mine['id']}/extend/", {"ends_at": at(1).isoformat()}))
        theirs = made(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}))
        before = tables()
        refused(post(crew, f"/bookings/{theirs['id']}/confirm/"), 403, "not-yours")
        refused(post(crew, f"/bookings/{theirs['id']}/cancel/"), 403, "not-yours")
        refused(post(crew, f"/bookings/{theirs['id']}/extend/", {"ends_at": at(1).isoformat()}), 403, "not-yours")
        refused(patch(crew, f"/bookings/{theirs['id']}/", {"state": "cancelled"}), 403, "not-yours")
        assert tables() == before
        done(post(planner, f"/bookings/{mine['id']}/cancel/"))

    def test_shortfalls_are_for_a_planner_to_accept(self, crew, event, kit):
        asked = {"event": event.pk, "kit": kit.pk, "accept_shortfalls": True}
        refused(post(crew, "/bookings/", asked), 403, "not-yours")

    def test_a_viewer_only_reads(self, api, planner, event):
        booking = made(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}))
        viewer = api("viewer")
        assert get(viewer, "/bookings/").json()["results"] == [booking]
        assert post(viewer, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}).status_code == 403
        assert post(viewer, f"/bookings/{booking['id']}/confirm/").status_code == 403
        assert get(api(), "/bookings/").status_code == 401


class TestConventions:
    def test_a_dry_run_decides_and_writes_nothing(self, planner, event, kit):
        before = tables()
        decided = done(
            post(planner, "/bookings/?dry_run=true", {"event": event.pk, "kit": kit.pk, "state": "confirmed"})
        )
        assert {claim["unit"] for claim in decided["claims"]} == units_of(kit)
        assert tables() == before

    def test_the_same_key_books_once(self, planner, event, kit):
        asked = {"event": event.pk, "kit": kit.pk, "state": "confirmed"}
        first = post(planner, "/bookings/", asked, **{"Idempotency-Key": "one"})
        again = post(planner, "/bookings/", asked, **{"Idempotency-Key": "one"})
        assert made(first) == made(again)
        assert again["Idempotency-Replayed"] == "true"
        assert Booking.objects.count() == 1

    def test_an_edit_from_an_old_version_is_refused(self, planner, event):
        booking = made(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}))
        done(patch(planner, f"/bookings/{booking['id']}/", {"state": "confirmed"}, **{"If-Match": '"1.x"'}))
        stale = patch(planner, f"/bookings/{booking['id']}/", {"state": "cancelled"}, **{"If-Match": '"1.x"'})
        assert refused(stale, 412, "stale")["version"] == 2

    def test_the_state_may_be_patched_instead_of_a_verb(self, planner, event):
        booking = made(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}))
        path = f"/bookings/{booking['id']}/"
        assert done(patch(planner, path, {"state": "confirmed"}))["claims"][0]["firm"] is True
        assert done(patch(planner, path, {"state": "confirmed"}))["state"] == "confirmed"
        refused(patch(planner, path, {"state": "pencil"}), 409, "wrong-state")
        assert done(patch(planner, path, {"state": "cancelled"}))["claims"] == []

    def test_the_list_is_filtered(self, planner, event, kit):
        other, unit, spec = EventFactory(), UnitFactory(), UnitFactory().spec
        by_kit = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}))
        by_unit = made(post(planner, "/bookings/", {"event": event.pk, "unit": unit.pk, "state": "confirmed"}))
        by_spec = made(post(planner, "/bookings/", {"event": other.pk, "spec": spec.pk}))
        for query, expected in [
            ({"event": event.pk}, [by_kit, by_unit]),
            ({"kit": kit.pk}, [by_kit]),
            ({"unit": unit.pk}, [by_unit]),
            ({"spec": spec.pk}, [by_spec]),
            ({"state": "confirmed"}, [by_unit]),
            ({"search": other.name}, [by_spec]),
        ]:
            assert get(planner, "/bookings/", **query).json()["results"] == expected
        refused(get(planner, "/bookings/", customer="x"), 400, "invalid")

    def test_a_booking_is_not_deleted(self, planner, event):
        booking = made(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}))
        assert delete(planner, f"/bookings/{booking['id']}/").status_code == 405
