"""What bookings share with everything else of the interface: roles, dry runs, keys, versions, filters."""

import pytest

from scheduling.models import Booking
from tests.scheduling.asking import delete, done, get, made, patch, post, refused
from tests.scheduling.factories import (
    EventFactory,
    UnitFactory,
    at,
)
from tests.scheduling.state import tables, units_of

pytestmark = pytest.mark.django_db


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
        refused(post(crew, "/bookings/", asked | {"state": "confirmed"}), 403, "not-yours")
        made(post(crew, "/bookings/", asked))

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
        assert done(patch(planner, path, {"state": "pencil"}))["claims"][0]["firm"] is False
        assert done(patch(planner, path, {"state": "cancelled"}))["claims"] == []

    def test_the_list_is_filtered(self, planner, event, kit):
        other, unit, spec = EventFactory(name="Harvest choirs"), UnitFactory(), UnitFactory().spec
        by_kit = made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}))
        by_unit = made(post(planner, "/bookings/", {"event": event.pk, "unit": unit.pk, "state": "confirmed"}))
        by_spec = made(post(planner, "/bookings/", {"event": other.pk, "spec": spec.pk}))
        for query, expected in [
            ({"event": event.pk}, [by_kit, by_unit]),
            ({"kit": kit.pk}, [by_kit]),
            ({"unit": unit.pk}, [by_unit]),
            ({"spec": spec.pk}, [by_spec]),
            ({"state": "confirmed"}, [by_unit]),
            ({"search": "choirs"}, [by_spec]),
        ]:
            assert get(planner, "/bookings/", **query).json()["results"] == expected
        refused(get(planner, "/bookings/", customer="x"), 400, "invalid")

    def test_a_booking_is_not_deleted(self, planner, event):
        booking = made(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}))
        assert delete(planner, f"/bookings/{booking['id']}/").status_code == 405
