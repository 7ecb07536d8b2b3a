"""Pencilling, confirming, cancelling and extending over the interface."""

from datetime import timedelta

import pytest
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from scheduling.models import Booking, Claim
from tests.scheduling.asking import done, get, made, patch, post, refused
from tests.scheduling.factories import (
    EventFactory,
    SpecFactory,
    UnitFactory,
    at,
)
from tests.scheduling.state import tables, units_of

pytestmark = pytest.mark.django_db


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

    def test_accepted_what_is_not_out_yet_stays_with_whoever_has_it(self, planner, event, kit):
        after = EventFactory(gear_out_at=event.gear_back_at, gear_back_at=at(1, 20))
        booking, rival = (
            made(post(planner, "/bookings/", {"event": e.pk, "kit": kit.pk, "state": "confirmed"}))
            for e in (event, after)
        )
        longer = {"ends_at": at(1, 6).isoformat(), "accept_shortfalls": True}
        extended = done(post(planner, f"/bookings/{booking['id']}/extend/", longer))
        assert extended["affected_bookings"] == []
        assert {item["unit"] for item in extended["shortfalls"]} == units_of(kit)
        assert get(planner, f"/bookings/{rival['id']}/").json() == rival

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
