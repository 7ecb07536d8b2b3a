"""Every verb at every stage over the interface, against the table of verbs; and what each verb does."""

from datetime import timedelta

import pytest
from django.utils import timezone

from inventory.base.models import Notice
from scheduling.models import Booking, Claim
from scheduling.verbs import BOOKING_VERBS, EVENT_VERBS, Stage, legal_verbs
from tests.scheduling.asking import book, done, firm, get, made, patch, post, refused, shown, verb
from tests.scheduling.factories import EventFactory, KitFactory, SpecFactory, UnitFactory, at
from tests.scheduling.state import tables, units_of

pytestmark = pytest.mark.django_db

EARLIER = {"confirm": "pencil-expired", "loosen": "still-out", "swap": "still-out", "choose": "still-out"}


def hours(number: int):
    return timezone.now() + timedelta(hours=number)


class TestTable:
    @pytest.fixture
    def spec(self):
        spec = SpecFactory()
        UnitFactory.create_batch(3, spec=spec)
        return spec

    def at_stage(self, planner, spec, stage):
        if stage is Stage.OUT:
            return firm(planner, EventFactory(gear_out_at=hours(-1), gear_back_at=hours(9)), spec=spec.pk)
        booking = book(planner, EventFactory(), spec=spec.pk)
        if stage is Stage.CONFIRMED:
            done(verb(planner, booking, "confirm"))
        if stage is Stage.CANCELLED:
            done(verb(planner, booking, "cancel"))
        if stage is Stage.EXPIRED:
            Booking.objects.filter(pk=booking["id"]).update(expires_at=timezone.now())
        return booking

    def body(self, name, spec, booking):
        later = hours(24 * 3).isoformat()
        units = [unit.pk for unit in spec.units.order_by("pk")]
        own = Claim.objects.filter(booking=booking["id"]).values_list("unit", flat=True).first() or units[0]
        other = next(unit for unit in units if unit != own)
        return {
            "keep": {"expires_at": later},
            "challenge": {"answer_by": hours(2).isoformat()},
            "rank": {"before": booking["id"], "reason": "bigger"},
            "extend": {"ends_at": at(2).isoformat()},
            "swap": {"kit": KitFactory().pk},
            "stand-in": {"shortfall": 1, "unit": own},
            "take-back": {"position": 1},
            "choose": {"unit": other, "instead_of": own},
        }.get(name, {})

    @pytest.mark.parametrize("stage", [Stage.PENCIL, Stage.EXPIRED, Stage.CONFIRMED, Stage.OUT, Stage.CANCELLED])
    @pytest.mark.parametrize("verb_", BOOKING_VERBS, ids=lambda v: v.name)
    def test_a_verb_is_refused_where_the_table_does_not_have_it(self, planner, spec, stage, verb_):
        booking = self.at_stage(planner, spec, stage)
        before = tables()
        if verb_.name == "cancel" and stage is Stage.OUT:
            assert refused(verb(planner, booking, "cancel"), 409, "still-out")["tags"]
            return
        answer = verb(planner, booking, verb_.name, **self.body(verb_.name, spec, booking))
        at_fault = answer.json().get("type", "") in {
            f"/problems/{code}" for code in ("wrong-state", "pencil-expired", "still-out")
        }
        if verb_.name == "stand-in":
            return  # there is no shortfall to answer: refused as invalid at every stage
        assert at_fault == (stage not in verb_.stages), answer.json()
        if at_fault:
            assert tables() == before
        if answer.json().get("type") == "/problems/wrong-state":
            assert answer.json()["legal"] == legal_verbs(BOOKING_VERBS, stage)

    @pytest.mark.parametrize("state", ["enquiry", "confirmed", "closed", "cancelled"])
    def test_an_event_says_what_can_be_done_with_it(self, planner, state):
        for verb_ in EVENT_VERBS:
            event = EventFactory(state=state)
            body = {"shift_days": 7} if verb_.name == "copy" else {}
            answer = post(planner, f"/events/{event.pk}/{verb_.name}/", body)
            if Stage(state) in verb_.stages:
                assert answer.status_code in {200, 201}, answer.json()
            else:
                assert refused(answer, 409, "wrong-state")["legal"] == legal_verbs(EVENT_VERBS, Stage(state))


class TestLoosen:
    def test_its_units_can_be_promised_at_once_and_shortfalls_are_filled(self, planner, event, kit):
        mine = firm(planner, event, kit=kit.pk)
        short = firm(planner, event, kit=kit.pk, accept_shortfalls=True)
        assert len(short["shortfalls"]) == len(units_of(kit))
        loosened = done(verb(planner, mine, "loosen"))
        assert loosened["state"] == "pencil"
        assert [claim["id"] for claim in loosened["claims"]] == [claim["id"] for claim in mine["claims"]]
        assert not any(claim["firm"] for claim in loosened["claims"])
        assert shown(planner, short)["shortfalls"] == []

    def test_it_goes_to_the_end_of_the_queue(self, planner, event, kit):
        mine = firm(planner, event, kit=kit.pk)
        waiting = book(planner, event, kit=kit.pk)
        assert done(verb(planner, mine, "loosen"))["rank"] == 2
        assert shown(planner, waiting)["rank"] == 1

    def test_what_is_out_is_not_loosened(self, planner, kit):
        mine = firm(planner, EventFactory(gear_out_at=hours(-1), gear_back_at=hours(5)), kit=kit.pk)
        problem = refused(verb(planner, mine, "loosen"), 409, "still-out")
        assert len(problem["tags"]) == len(units_of(kit))


class TestCancelWhatIsOut:
    def test_it_is_refused_until_somebody_says_that_it_never_left(self, planner, kit):
        mine = firm(planner, EventFactory(gear_out_at=hours(-1), gear_back_at=hours(5)), kit=kit.pk)
        refused(verb(planner, mine, "cancel"), 409, "still-out")
        assert done(verb(planner, mine, "cancel", never_left=True))["claims"] == []

    def test_an_event_likewise(self, planner, kit):
        event = EventFactory(state="confirmed", gear_out_at=hours(-1), gear_back_at=hours(5))
        firm(planner, event, kit=kit.pk)
        assert refused(post(planner, f"/events/{event.pk}/cancel/"), 409, "still-out")["tags"]
        assert refused(post(planner, f"/events/{event.pk}/close/"), 409, "still-out")["tags"]
        assert done(post(planner, f"/events/{event.pk}/cancel/", {"never_left": True}))["state"] == "cancelled"


class TestChallengeAndRank:
    def test_whoever_waits_behind_asks_for_an_answer_and_the_holder_is_told(self, api, planner, event, kit):
        crew = api("crew")
        ahead = book(planner, event, kit=kit.pk)
        behind = book(crew, event, kit=kit.pk)
        by = hours(48)
        challenged = done(verb(crew, ahead, "challenge", answer_by=by.isoformat()))
        assert challenged["expires_at"].startswith(by.isoformat()[:19])
        [notice] = get(planner, "/notices/?unseen=true").json()["results"]
        assert notice["noun"] == "booking"
        assert notice["object"] == ahead["id"]
        assert notice["due_at"] == challenged["expires_at"]
        assert behind["before"][0]["booking"] == ahead["id"]

    def test_nobody_challenges_their_own_or_from_ahead(self, api, planner, event, kit):
        crew = api("crew")
        own = book(crew, event, kit=kit.pk)
        refused(verb(crew, own, "challenge", answer_by=hours(4).isoformat()), 403, "not-behind")
        later = book(planner, event, kit=kit.pk)
        refused(verb(crew, later, "challenge", answer_by=hours(4).isoformat()), 403, "not-behind")

    def test_a_challenge_never_gives_more_time(self, api, planner, event, kit):
        ahead = book(planner, event, kit=kit.pk, expires_at=hours(10).isoformat())
        crew = api("crew")
        book(crew, event, kit=kit.pk)
        problem = refused(verb(crew, ahead, "challenge", answer_by=hours(20).isoformat()), 400, "invalid")
        assert problem["errors"][0]["field"] == "answer_by"

    def test_a_planner_puts_one_ahead_of_another_with_a_reason(self, api, planner, event, kit):
        first, second, third = (book(api("crew"), event, kit=kit.pk) for _ in range(3))
        ranked = done(verb(planner, third, "rank", before=second["id"], reason="Signed first."))
        assert ranked["rank"] == 2
        assert [shown(planner, booking)["rank"] for booking in (first, second, third)] == [1, 3, 2]
        assert "Signed first." in Notice.objects.get().words

    def test_a_rank_is_refused_without_reason_below_or_to_itself(self, api, planner, event, kit):
        first, second = (book(planner, event, kit=kit.pk) for _ in range(2))
        for body, field in [
            ({"before": first["id"], "reason": " "}, "reason"),
            ({"before": second["id"], "reason": "x"}, "before"),
            ({"before": 999_999, "reason": "x"}, "before"),
        ]:
            assert refused(verb(planner, second, "rank", **body), 400, "invalid")["errors"][0]["field"] == field
        assert verb(api("crew"), second, "rank", before=first["id"], reason="x").status_code == 403


class TestBump:
    def test_only_those_named_lose_and_they_are_told_why(self, api, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(3, spec=spec)
        crew = api("crew")
        named, other = firm(crew, event, spec=spec.pk, quantity=2), firm(crew, event, spec=spec.pk)
        wanted = {"event": event.pk, "spec": spec.pk, "state": "confirmed"}
        refused(post(planner, "/bookings/", wanted), 409, "claim-conflict")
        pushed = wanted | {"bump": [named["id"]], "reason": "The client moved."}
        mine = made(post(planner, "/bookings/", pushed))
        assert len(mine["claims"]) == 1
        assert [told["booking"] for told in mine["affected_bookings"]] == [named["id"]]
        assert (len(shown(planner, named)["claims"]), len(shown(planner, other)["claims"])) == (1, 1)
        assert "The client moved." in Notice.objects.get().words

    def test_a_kit_takes_only_what_it_lacks(self, planner, event, kit):
        switch = kit.positions.get(label="switch A").unit
        rival = firm(planner, event, unit=switch.pk)
        pencil = book(planner, event, kit=kit.pk)
        confirmed = done(verb(planner, pencil, "confirm", bump=[rival["id"]], reason="Needed whole."))
        assert confirmed["shortfalls"] == []
        assert [lack["rival"] for lack in shown(planner, rival)["shortfalls"]] == [pencil["id"]]

    def test_what_is_out_is_not_taken(self, planner):
        unit = UnitFactory()
        running = EventFactory(gear_out_at=hours(-1), gear_back_at=hours(10))
        rival = firm(planner, running, unit=unit.pk)
        soon = EventFactory(gear_out_at=hours(2), gear_back_at=hours(3))
        wanted = {"event": soon.pk, "unit": unit.pk, "state": "confirmed", "bump": [rival["id"]], "reason": "x"}
        refused(post(planner, "/bookings/", wanted), 409, "claim-conflict")

    def test_it_is_for_a_planner_with_a_reason_and_not_of_itself(self, api, planner, event, kit):
        rival, pencil = firm(planner, event, kit=kit.pk), book(planner, event, kit=kit.pk)
        for body, field in [
            ({"bump": [rival["id"]]}, "reason"),
            ({"bump": [], "reason": "x"}, "bump"),
            ({"bump": [pencil["id"]], "reason": "x"}, "bump"),
            ({"bump": [999_999], "reason": "x"}, "bump"),
        ]:
            assert refused(verb(planner, pencil, "confirm", **body), 400, "invalid")["errors"][0]["field"] == field
        own = book(api("crew"), event, kit=kit.pk)
        refused(verb(api("crew"), own, "confirm", bump=[rival["id"]], reason="x"), 403, "not-yours")


class TestOvertaken:
    def test_confirming_over_a_pencil_says_beforehand_whom_it_hurts(self, api, planner, event, kit):
        mine, theirs = book(planner, event, kit=kit.pk), book(api("crew"), event, kit=kit.pk)
        path = f"/bookings/{mine['id']}/confirm/"
        foretold = done(post(planner, f"{path}?dry_run=true"))["affected_bookings"]
        assert [(told["booking"], told["loses"]) for told in foretold] == [(theirs["id"], "place")]
        assert not Notice.objects.exists()
        done(post(planner, path))
        [notice] = get(api("crew"), "/notices/").json()["results"]
        assert (notice["object"], notice["seen_at"]) == (theirs["id"], None)

    def test_a_pencil_that_could_still_be_confirmed_is_not_told(self, planner, event):
        spec = SpecFactory()
        UnitFactory.create_batch(2, spec=spec)
        book(planner, event, spec=spec.pk)
        mine = book(planner, event, spec=spec.pk, quantity=1)
        assert done(verb(planner, mine, "confirm"))["affected_bookings"] == []


class TestNotices:
    def test_each_person_reads_and_ticks_off_their_own(self, api, planner, event, kit):
        crew = api("crew")
        booking = firm(crew, event, kit=kit.pk)
        made(
            post(
                planner, "/faults/", {"unit": kit.positions.get(label="case").unit.pk, "what": "dead", "usable": False}
            )
        )
        [notice] = get(crew, "/notices/?unseen=true").json()["results"]
        assert notice["object"] == booking["id"]
        assert get(planner, "/notices/").json()["results"] == []
        assert post(planner, f"/notices/{notice['id']}/seen/").status_code == 404
        assert done(post(crew, f"/notices/{notice['id']}/seen/"))["seen_at"] is not None
        assert get(crew, "/notices/?unseen=true").json()["results"] == []

    def test_nobody_is_told_of_their_own_doing(self, planner, event, kit):
        firm(planner, event, kit=kit.pk)
        made(
            post(
                planner, "/faults/", {"unit": kit.positions.get(label="case").unit.pk, "what": "dead", "usable": False}
            )
        )
        assert not Notice.objects.exists()


def test_moving_an_event_can_take_gear_from_named_bookings(planner, event, kit):
    rival = firm(planner, EventFactory(gear_out_at=at(1, 8), gear_back_at=at(1, 20)), kit=kit.pk)
    firm(planner, event, kit=kit.pk)
    moved = {"gear_out_at": at(1, 8).isoformat(), "gear_back_at": at(1, 20).isoformat()}
    refused(patch(planner, f"/events/{event.pk}/", moved), 409, "claim-conflict")
    answer = done(patch(planner, f"/events/{event.pk}/", moved | {"bump": [rival["id"]], "reason": "Rain date."}))
    assert [told["booking"] for told in answer["affected_bookings"]] == [rival["id"]]
