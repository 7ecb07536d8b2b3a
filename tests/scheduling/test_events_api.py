"""Events and venues over the interface."""

import pytest
from django.utils.dateparse import parse_datetime

from scheduling.models import Booking, Claim, Event, Phase, Venue
from tests.scheduling.asking import delete, done, get, made, patch, post, refused
from tests.scheduling.factories import (
    BookingFactory,
    ClaimFactory,
    DowntimeFactory,
    EventFactory,
    KitFactory,
    PositionFactory,
    SpecFactory,
    UnitFactory,
    VenueFactory,
    at,
)

pytestmark = pytest.mark.django_db


def phase(kind, start, end):
    return {"kind": kind, "starts_at": start.isoformat(), "ends_at": end.isoformat()}


DAY = [phase("load-in", at(0, 8), at(0, 12)), phase("show", at(0, 19), at(0, 23))]
NEXT_DAY = [phase("load-in", at(1, 8), at(1, 12)), phase("show", at(1, 19), at(1, 23))]


def gear_times(event):
    return parse_datetime(event["gear_out_at"]), parse_datetime(event["gear_back_at"])


class TestEvents:
    def test_gear_times_are_those_of_the_phases_unless_given(self, planner):
        response = post(planner, "/events/", {"name": "Festival", "client": "Somebody", "phases": DAY})
        event = made(response)
        assert response["Location"] == f"/api/v1/events/{event['id']}/"
        assert gear_times(event) == (at(0, 8), at(0, 23))
        assert (event["state"], event["venue"], event["client"], event["version"]) == ("enquiry", None, "Somebody", 1)
        assert [found["kind"] for found in event["phases"]] == ["load-in", "show"]
        assert get(planner, f"/events/{event['id']}/").json() == event
        early = {"name": "Festival", "phases": DAY, "gear_out_at": at(0, 6).isoformat()}
        assert gear_times(made(post(planner, "/events/", early))) == (at(0, 6), at(0, 23))
        times = {"name": "Hire", "gear_out_at": at(0).isoformat(), "gear_back_at": at(3).isoformat()}
        assert made(post(planner, "/events/", times))["phases"] == []

    @pytest.mark.parametrize(
        ("body", "fields"),
        [
            ({"phases": DAY}, {"name"}),
            ({"name": "", "phases": DAY}, {"name"}),
            ({"name": "X"}, {"phases", "gear_out_at", "gear_back_at"}),
            ({"name": "X", "gear_out_at": "2031-05-05T08:00:00Z"}, {"phases", "gear_out_at", "gear_back_at"}),
            ({"name": "X", "phases": [phase("party", at(0), at(1))]}, {"phases.0.kind"}),
            ({"name": "X", "phases": [DAY[0], phase("show", at(1), at(0))]}, {"phases.1.ends_at"}),
            ({"name": "X", "phases": [{"kind": "show"}]}, {"phases.0.starts_at", "phases.0.ends_at"}),
            ({"name": "X", "phases": DAY, "gear_back_at": "2031-05-05T08:00:00Z"}, {"gear_back_at"}),
            ({"name": "X", "phases": DAY, "venue": 999_999}, {"venue"}),
            ({"name": "X", "phases": DAY, "state": "cancelled"}, {"state"}),
            ({"name": "X", "phases": DAY, "colour": "red"}, {"colour"}),
        ],
    )
    def test_what_cannot_be_used_is_a_400_that_names_the_field(self, planner, body, fields):
        problem = refused(post(planner, "/events/", body), 400, "invalid")
        assert {error["field"] for error in problem["errors"]} == fields
        assert not Event.objects.exists()
        assert not Phase.objects.exists()

    def test_moving_the_phases_moves_the_gear_times_as_far(self, planner):
        early = {"name": "Festival", "phases": DAY, "gear_out_at": at(0, 6).isoformat()}
        event = made(post(planner, "/events/", early))
        moved = done(patch(planner, f"/events/{event['id']}/", {"phases": NEXT_DAY}))
        assert gear_times(moved) == (at(1, 6), at(1, 23))
        assert moved["version"] == 2
        assert done(patch(planner, f"/events/{event['id']}/", {"name": "Fair"}))["phases"] == moved["phases"]

    def test_the_list_is_filtered(self, planner):
        venue = VenueFactory(name="Old mill")
        here = EventFactory(venue=venue, state="confirmed", name="Wedding")
        there = EventFactory(gear_out_at=at(0, 7))

        def listed(**query):
            return [row["id"] for row in get(planner, "/events/", **query).json()["results"]]

        assert listed() == [there.pk, here.pk]
        assert listed(venue=venue.pk) == listed(state="confirmed") == listed(search="wedding mill") == [here.pk]
        refused(get(planner, "/events/", state="maybe"), 400, "invalid")
        refused(get(planner, "/events/", month="may"), 400, "invalid")

    def test_viewers_do_not_see_whose_show_it_is(self, api, planner):
        event = made(post(planner, "/events/", {"name": "Gala", "client": "Somebody", "phases": DAY}))
        viewer = api("viewer")
        assert "client" not in get(viewer, f"/events/{event['id']}/").json()
        assert "client" not in get(viewer, "/events/").json()["results"][0]
        assert get(viewer, "/events/", search="Somebody").json()["results"] == []
        assert get(api("crew"), f"/events/{event['id']}/").json()["client"] == "Somebody"

    def test_only_planners_edit(self, crew):
        event = EventFactory()
        assert post(crew, "/events/", {"name": "X", "phases": DAY}).status_code == 403
        assert patch(crew, f"/events/{event.pk}/", {"name": "X"}).status_code == 403
        assert post(crew, f"/events/{event.pk}/cancel/").status_code == 403
        assert delete(crew, f"/events/{event.pk}/").status_code == 403

    @pytest.mark.parametrize(
        ("state", "allowed"),
        [
            ("enquiry", {"confirm", "cancel"}),
            ("confirmed", {"close", "cancel"}),
            ("closed", set()),
            ("cancelled", set()),
        ],
    )
    def test_an_event_goes_from_state_to_state(self, planner, state, allowed):
        ends = {"confirm": "confirmed", "close": "closed", "cancel": "cancelled"}
        for verb, end in ends.items():
            event = EventFactory(state=state)
            response = post(planner, f"/events/{event.pk}/{verb}/")
            if verb in allowed:
                assert done(response)["state"] == end
            else:
                assert refused(response, 409, "wrong-state")["state"] == state
        if "confirm" in allowed:
            assert done(patch(planner, f"/events/{EventFactory().pk}/", {"state": "confirmed"}))["state"] == "confirmed"

    def test_a_verb_takes_nothing_and_says_so(self, planner):
        event = EventFactory()
        problem = refused(post(planner, f"/events/{event.pk}/cancel/", {"why": "rain"}), 400, "invalid")
        assert [error["field"] for error in problem["errors"]] == ["why"]
        assert planner.post(f"/api/v1/events/{event.pk}/cancel/").status_code == 200

    def test_an_event_with_bookings_is_not_deleted(self, planner):
        booking = BookingFactory()
        problem = refused(delete(planner, f"/events/{booking.event.pk}/"), 409, "held-by-history")
        assert problem["bookings"] == [booking.pk]
        event = made(post(planner, "/events/", {"name": "Never", "phases": DAY}))
        assert delete(planner, f"/events/{event['id']}/").status_code == 204
        refused(get(planner, f"/events/{event['id']}/"), 404, "not-found")

    def test_cancelling_releases_what_was_booked(self, planner):
        event, unit = EventFactory(), UnitFactory()
        made(post(planner, "/bookings/", {"event": event.pk, "unit": unit.pk, "state": "confirmed"}))
        made(post(planner, "/bookings/", {"event": event.pk, "unit": UnitFactory().pk}))
        done(post(planner, f"/events/{event.pk}/cancel/"))
        assert set(Booking.objects.values_list("state", flat=True)) == {"cancelled"}
        assert set(Claim.objects.values_list("standing", flat=True)) == {"released"}


class TestMoving:
    def test_bookings_that_follow_move_and_those_with_a_period_of_their_own_stay(self, planner):
        event = made(post(planner, "/events/", {"name": "Festival", "phases": DAY}))
        kit = KitFactory()
        PositionFactory(kit=kit)
        follows = made(post(planner, "/bookings/", {"event": event["id"], "kit": kit.pk, "state": "confirmed"}))
        pencil = made(post(planner, "/bookings/", {"event": event["id"], "unit": UnitFactory().pk}))
        own = {"event": event["id"], "unit": UnitFactory().pk, "starts_at": at(0).isoformat()}
        stays = made(post(planner, "/bookings/", own))
        done(patch(planner, f"/events/{event['id']}/", {"phases": NEXT_DAY}))
        for booking in (follows, pencil):
            moved = get(planner, f"/bookings/{booking['id']}/").json()
            assert (parse_datetime(moved["starts_at"]), parse_datetime(moved["ends_at"])) == (at(1, 8), at(1, 23))
            assert {parse_datetime(claim["starts_at"]) for claim in moved["claims"]} == {at(1, 8)}
            assert [claim["id"] for claim in moved["claims"]] == [claim["id"] for claim in booking["claims"]]
        assert get(planner, f"/bookings/{stays['id']}/").json() == stays

    def test_everything_in_the_way_is_listed_and_nothing_moves(self, planner):
        event = made(post(planner, "/events/", {"name": "Festival", "phases": DAY}))
        taken, down = UnitFactory.create_batch(2)
        for unit in (taken, down):
            made(post(planner, "/bookings/", {"event": event["id"], "unit": unit.pk, "state": "confirmed"}))
        rival = ClaimFactory(
            booking=BookingFactory(unit=taken, event__gear_out_at=at(1, 9), event__gear_back_at=at(1, 10))
        )
        downtime = DowntimeFactory(unit=down, starts_at=at(1))
        before = list(Claim.objects.order_by("pk").values()), list(Booking.objects.order_by("pk").values())
        path = f"/events/{event['id']}/"
        problem = refused(patch(planner, path, {"phases": NEXT_DAY}), 409, "claim-conflict")
        assert [(found["unit"], found.get("booking"), found.get("downtime")) for found in problem["conflicts"]] == [
            (taken.pk, rival.booking.pk, None),
            (down.pk, None, downtime.pk),
        ]
        assert (list(Claim.objects.order_by("pk").values()), list(Booking.objects.order_by("pk").values())) == before
        assert get(planner, path).json() == event
        done(patch(planner, path, {"phases": NEXT_DAY, "accept_shortfalls": True}))
        listed = get(planner, "/bookings/", event=event["id"]).json()["results"]
        assert [row["shortfalls"][0]["reason"] for row in listed] == ["conflict", "held-back"]
        assert [row["claims"] for row in listed] == [[], []]

    def test_bookings_of_one_event_do_not_stand_in_each_others_way(self, planner):
        """Moved by less than their length, each overlaps the place where the other was."""
        event = made(post(planner, "/events/", {"name": "Festival", "phases": DAY}))
        spec = SpecFactory()
        UnitFactory.create_batch(3, spec=spec)
        booking = made(
            post(planner, "/bookings/", {"event": event["id"], "spec": spec.pk, "quantity": 3, "state": "confirmed"})
        )
        slightly = [phase("show", at(0, 10), at(1, 4))]
        done(patch(planner, f"/events/{event['id']}/", {"phases": slightly}))
        moved = get(planner, f"/bookings/{booking['id']}/").json()
        assert len(moved["claims"]) == 3
        assert {claim["unit"] for claim in moved["claims"]} == {claim["unit"] for claim in booking["claims"]}

    def test_what_is_lacking_already_does_not_hold_the_move_up_and_more_does(self, planner):
        event = made(post(planner, "/events/", {"name": "Festival", "phases": DAY}))
        spec = SpecFactory()
        units = UnitFactory.create_batch(3, spec=spec)
        asked = {"event": event["id"], "spec": spec.pk, "quantity": 4, "state": "confirmed", "accept_shortfalls": True}
        booking = made(post(planner, "/bookings/", asked))
        path = f"/events/{event['id']}/"
        done(patch(planner, path, {"phases": NEXT_DAY}))
        assert [item["quantity"] for item in get(planner, f"/bookings/{booking['id']}/").json()["shortfalls"]] == [1]
        DowntimeFactory(unit=units[0], starts_at=at(0), ends_at=at(1))
        refused(patch(planner, path, {"phases": DAY}), 409, "claim-conflict")

    def test_a_pencil_that_somebody_has_firmly_by_now_holds_nothing_up(self, planner):
        event = made(post(planner, "/events/", {"name": "Festival", "phases": DAY}))
        unit = UnitFactory()
        pencil = made(post(planner, "/bookings/", {"event": event["id"], "unit": unit.pk}))
        ClaimFactory(booking=BookingFactory(unit=unit, event__gear_out_at=at(0), event__gear_back_at=at(3)))
        done(patch(planner, f"/events/{event['id']}/", {"phases": NEXT_DAY}))
        assert len(get(planner, f"/bookings/{pencil['id']}/").json()["claims"]) == 1

    @pytest.mark.parametrize("state", ["closed", "cancelled"])
    def test_an_event_that_is_over_does_not_move(self, planner, state):
        event = made(post(planner, "/events/", {"name": "Festival", "phases": DAY}))
        Event.objects.update(state=state)
        refused(patch(planner, f"/events/{event['id']}/", {"phases": NEXT_DAY}), 409, "wrong-state")
        assert done(patch(planner, f"/events/{event['id']}/", {"name": "Old festival"}))["name"] == "Old festival"

    def test_a_dry_run_shows_the_move_and_writes_nothing(self, planner):
        event = made(post(planner, "/events/", {"name": "Festival", "phases": DAY}))
        made(post(planner, "/bookings/", {"event": event["id"], "unit": UnitFactory().pk, "state": "confirmed"}))
        preview = done(patch(planner, f"/events/{event['id']}/?dry_run=true", {"phases": NEXT_DAY}))
        assert gear_times(preview) == (at(1, 8), at(1, 23))
        assert gear_times(get(planner, f"/events/{event['id']}/").json()) == (at(0, 8), at(0, 23))
        assert Claim.objects.get().starts_at == at(0, 8)


CIRCUIT = {
    "name": "Stage left",
    "breaker_a": 16.0,
    "volts": 230.0,
    "leg": "L1",
    "curve": "C",
    "rcd_ma": 30.0,
    "rcd_type": "A",
    "connector": None,
    "zone": "stage",
    "already_used_a": 2.5,
}


class TestVenues:
    def test_a_venue_is_kept_with_its_circuits(self, planner):
        asked = {
            "name": "Old mill",
            "timezone": "Europe/Zurich",
            "rules": "iec",
            "circuits": [CIRCUIT, {"name": "Kitchen"}],
            "lan_ranges": ["10.0.0.0/8", "2001:db8::/32"],
            "internet_down_mbps": 50.0,
            "internet_up_mbps": None,
            "ambient_celsius": 28.0,
        }
        response = post(planner, "/venues/", asked)
        venue = made(response)
        assert response["Location"] == f"/api/v1/venues/{venue['id']}/"
        assert {name: venue[name] for name in asked if name != "circuits"} == {
            name: value for name, value in asked.items() if name != "circuits"
        }
        first, second = venue["circuits"]
        assert {name: first[name] for name in CIRCUIT} == CIRCUIT
        assert (second["name"], second["breaker_a"], second["rcd_type"], second["leg"]) == ("Kitchen", None, None, "")
        assert get(planner, f"/venues/{venue['id']}/").json() == venue
        assert get(planner, "/venues/", search="mill").json()["results"] == [venue]

    def test_circuits_are_replaced_and_keep_their_ids_by_name(self, planner):
        venue = made(post(planner, "/venues/", {"name": "Hall", "circuits": [CIRCUIT, {"name": "Kitchen"}]}))
        stage = venue["circuits"][0]["id"]
        edited = done(
            patch(planner, f"/venues/{venue['id']}/", {"circuits": [{"name": "Foyer"}, CIRCUIT | {"breaker_a": 32.0}]})
        )
        assert [(row["name"], row["breaker_a"]) for row in edited["circuits"]] == [
            ("Foyer", None),
            ("Stage left", 32.0),
        ]
        assert edited["circuits"][1]["id"] == stage
        assert edited["version"] == 2

    def test_the_time_zone_is_the_companys_unless_given(self, planner):
        assert made(post(planner, "/venues/", {"name": "Hall"}))["timezone"] == "UTC"

    @pytest.mark.parametrize(
        ("fields", "named"),
        [
            ({"name": ""}, "name"),
            ({"timezone": "Middle/Earth"}, "timezone"),
            ({"rules": "none"}, "rules"),
            ({"lan_ranges": ["10.0.0.1/8"]}, "lan_ranges"),
            ({"lan_ranges": ["ten"]}, "lan_ranges"),
            ({"internet_down_mbps": -1}, "internet_down_mbps"),
            ({"circuits": [{"name": "A", "curve": "Z"}]}, "circuits.0.curve"),
            ({"circuits": [{"name": "A", "breaker_a": 0}]}, "circuits.0.breaker_a"),
            ({"circuits": [{"name": "A", "connector": "no-such"}]}, "circuits.0.connector"),
            ({"circuits": [{"name": "A"}, {"name": "A"}]}, "circuits"),
            ({"circuits": [{"zone": "A"}]}, "circuits.0.name"),
            ({"stairs": 3}, "stairs"),
        ],
    )
    def test_what_cannot_be_used_is_a_400_that_names_the_field(self, planner, fields, named):
        problem = refused(post(planner, "/venues/", {"name": "Hall"} | fields), 400, "invalid")
        assert [error["field"] for error in problem["errors"]] == [named]
        assert not Venue.objects.exists()

    def test_a_venue_with_events_is_not_deleted(self, planner):
        event = EventFactory(venue=VenueFactory())
        problem = refused(delete(planner, f"/venues/{event.venue.pk}/"), 409, "held-by-history")
        assert problem["events"] == [event.pk]
        assert delete(planner, f"/venues/{VenueFactory().pk}/").status_code == 204

    def test_only_planners_edit(self, api, crew):
        venue = VenueFactory()
        assert post(crew, "/venues/", {"name": "X"}).status_code == 403
        assert patch(crew, f"/venues/{venue.pk}/", {"name": "X"}).status_code == 403
        assert get(api("viewer"), f"/venues/{venue.pk}/").status_code == 200
