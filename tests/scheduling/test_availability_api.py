"""What is free, over the interface: every count, every reason, and that booking agrees with it."""

from datetime import timedelta
from urllib.parse import urlencode

import pytest
from django.db import connection
from django.db.models import F
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from inventory.base.changes import ledger_version
from inventory.base.models import Ledger
from scheduling.selectors.availability.answer import ROWS, TRIES
from tests.scheduling.asking import BASE, made, post, refused
from tests.scheduling.factories import (
    BookingFactory,
    ClaimFactory,
    DowntimeFactory,
    EventFactory,
    KitFactory,
    PositionFactory,
    SpecFactory,
    UnitFactory,
    at,
)

pytestmark = pytest.mark.django_db

MONDAY = "2031-05-05T08:00:00Z/2031-05-05T20:00:00Z"
TUESDAY = "2031-05-06T08:00:00Z/2031-05-06T20:00:00Z"
LATER = "2031-05-12T08:00:00Z/2031-05-12T20:00:00Z"


def ask(client, *pairs, **headers):
    return client.get(f"{BASE}/availability/?{urlencode(pairs)}", headers=headers)


def cells(client, spec, *windows):
    body = ask(client, ("spec", spec.pk), *(("window", window) for window in windows)).json()
    [row] = body["specs"]
    assert row["name"] == spec.name
    return row["windows"]


class TestCounts:
    def test_each_state_of_a_unit_is_counted(self, planner):
        spec = SpecFactory()
        UnitFactory(spec=spec)
        PositionFactory(unit=UnitFactory(spec=spec))
        ClaimFactory(booking=BookingFactory(unit=UnitFactory(spec=spec)))
        pencil = BookingFactory(unit=UnitFactory(spec=spec), state="pencil", expires_at=at(0))
        ClaimFactory(booking=pencil, standing="soft")
        DowntimeFactory(unit=UnitFactory(spec=spec))
        UnitFactory(spec=spec, state="lost")
        UnitFactory(spec=spec, state="retired")
        UnitFactory(spec=spec, available_from=at(0, 12))
        UnitFactory(spec=spec, available_until=at(0, 12))
        assert cells(planner, spec, MONDAY) == [
            {"owned": 5, "held_back": 1, "claimed": 1, "pencilled": 1, "packed": 1, "free": 2, "bookable": 2}
        ]

    def test_windows_are_half_open(self, planner):
        spec = SpecFactory()
        ClaimFactory(booking=BookingFactory(unit=UnitFactory(spec=spec)))
        before, during, after = cells(
            planner,
            spec,
            "2031-05-05T06:00:00Z/2031-05-05T08:00:00Z",
            "2031-05-05T19:59:59Z/2031-05-05T21:00:00Z",
            "2031-05-05T20:00:00Z/2031-05-05T21:00:00Z",
        )
        assert [cell["free"] for cell in (before, during, after)] == [1, 0, 1]

    def test_what_is_bookable_may_be_more_than_what_is_free(self, planner):
        spec = SpecFactory()
        for day, unit in enumerate(UnitFactory.create_batch(2, spec=spec)):
            event = EventFactory(gear_out_at=at(day, 8), gear_back_at=at(day, 20))
            booking = BookingFactory(event=event, unit=None, spec=spec)
            ClaimFactory(booking=booking, unit=unit, dealt=True)
        both = "2031-05-05T08:00:00Z/2031-05-06T20:00:00Z"
        [cell] = cells(planner, spec, both)
        assert (cell["free"], cell["claimed"], cell["bookable"]) == (0, 2, 1)
        event = EventFactory(gear_out_at=at(0, 8), gear_back_at=at(1, 20))
        made(post(planner, "/bookings/", {"event": event.pk, "spec": spec.pk, "state": "confirmed"}))
        assert cells(planner, spec, both)[0]["bookable"] == 0

    def test_pinned_claims_are_not_counted_upon(self, planner):
        spec = SpecFactory()
        for day, unit in enumerate(UnitFactory.create_batch(2, spec=spec)):
            event = EventFactory(gear_out_at=at(day, 8), gear_back_at=at(day, 20))
            booking = BookingFactory(event=event, unit=None, spec=spec)
            ClaimFactory(booking=booking, unit=unit, dealt=True, pinned_at=timezone.now())
        assert cells(planner, spec, "2031-05-05T08:00:00Z/2031-05-06T20:00:00Z")[0]["bookable"] == 0

    @pytest.mark.parametrize(
        ("downtime", "monday", "later"),
        [
            ({"starts_at": at(0, 10), "ends_at": at(0, 11)}, 1, 0),
            ({"starts_at": at(0, 20), "ends_at": at(0, 21)}, 0, 0),
            ({"starts_at": at(0, 10)}, 1, 1),
            ({"starts_at": at(-1000), "expected_until": at(1)}, 1, 0),
            ({"starts_at": at(-9000), "expected_until": at(-8999)}, 1, 1),
        ],
        ids=["ended", "after", "open", "expected later", "expectation passed"],
    )
    def test_a_downtime_blocks_until_it_ends_or_for_as_long_as_nobody_knows(self, planner, downtime, monday, later):
        spec = SpecFactory()
        DowntimeFactory(unit=UnitFactory(spec=spec), **downtime)
        assert [cell["held_back"] for cell in cells(planner, spec, MONDAY, LATER)] == [monday, later]

    def test_an_expired_pencil_is_not_counted(self, planner):
        spec = SpecFactory()
        pencil = BookingFactory(unit=UnitFactory(spec=spec), state="pencil", expires_at=timezone.now())
        ClaimFactory(booking=pencil, standing="soft")
        assert cells(planner, spec, MONDAY)[0]["pencilled"] == 0

    def test_a_spec_without_units_has_none(self, planner):
        spec = SpecFactory()
        assert set(cells(planner, spec, MONDAY)[0].values()) == {0}


class TestKits:
    def kit_window(self, client, kit, window=MONDAY):
        body = ask(client, ("kit", kit.pk), ("include", "kits"), ("window", window)).json()
        assert "specs" not in body
        [row] = body["kits"]
        assert (row["kit"], row["name"]) == (kit.pk, kit.name)
        return row["windows"][0]

    def test_a_kit_is_free_when_booking_it_would_be_granted(self, planner):
        kit = KitFactory()
        position = PositionFactory(kit=kit)
        PositionFactory(kit=kit, unit=None)
        spare = PositionFactory(kit=kit, role="spare")
        DowntimeFactory(unit=spare.unit)
        assert self.kit_window(planner, kit) == {"free": True, "because": []}
        claim = ClaimFactory(booking=BookingFactory(unit=position.unit))
        case = kit.positions.get(role="case").unit
        down = DowntimeFactory(unit=case)
        assert self.kit_window(planner, kit) == {
            "free": False,
            "because": [
                {"unit": case.pk, "tag": case.tag, "downtime": down.pk},
                {"unit": position.unit.pk, "tag": position.unit.tag, "booking": claim.booking.pk},
            ],
        }
        assert self.kit_window(planner, kit, "2031-05-05T20:00:00Z/2031-05-05T21:00:00Z")["because"] == [
            {"unit": case.pk, "tag": case.tag, "downtime": down.pk}
        ]

    def test_nested_kits_count(self, planner):
        outer, inner = KitFactory(), KitFactory()
        PositionFactory(kit=outer, unit=inner.positions.get(role="case").unit)
        inside = PositionFactory(kit=inner).unit
        claim = ClaimFactory(booking=BookingFactory(unit=inside))
        assert self.kit_window(planner, outer) == {
            "free": False,
            "because": [{"unit": inside.pk, "tag": inside.tag, "booking": claim.booking.pk}],
        }

    def test_a_unit_that_left_the_pool_says_so(self, planner):
        kit = KitFactory()
        unit = PositionFactory(kit=kit, unit=UnitFactory(state="lost")).unit
        assert self.kit_window(planner, kit) == {
            "free": False,
            "because": [{"unit": unit.pk, "tag": unit.tag, "reason": "out-of-pool"}],
        }

    def test_a_draft_is_not_free(self, planner):
        kit = KitFactory()
        kit.positions.update(unit=None)
        [row] = ask(planner, ("kit", kit.pk), ("include", "kits"), ("window", MONDAY)).json()["kits"]
        assert row["draft"] is True
        assert row["windows"] == [{"free": False, "because": []}]

    def test_who_could_be_dealt_another_unit_is_not_in_the_way(self, planner):
        kit = KitFactory()
        unit = PositionFactory(kit=kit).unit
        dealt = BookingFactory(unit=None, spec=unit.spec, from_kits=True)
        claim = ClaimFactory(booking=dealt, unit=unit, dealt=True)
        in_the_way = [{"unit": unit.pk, "tag": unit.tag, "booking": dealt.pk}]
        assert self.kit_window(planner, kit) == {"free": False, "because": in_the_way}
        event = EventFactory()
        wanted = {"event": event.pk, "kit": kit.pk, "state": "confirmed"}
        refused(post(planner, "/bookings/", wanted), 409, "claim-conflict")
        other = UnitFactory(spec=unit.spec)
        assert self.kit_window(planner, kit) == {"free": True, "because": []}
        made(post(planner, "/bookings/", wanted))
        claim.refresh_from_db()
        assert claim.unit == other


class TestAsking:
    def test_windows_are_answered_in_the_order_asked(self, planner):
        event = EventFactory(gear_out_at=at(2), gear_back_at=at(3))
        body = ask(planner, ("window", TUESDAY), ("event", event.pk), ("window", MONDAY)).json()
        assert body["windows"] == [
            {"starts_at": "2031-05-06T08:00:00Z", "ends_at": "2031-05-06T20:00:00Z", "event": None},
            {"starts_at": "2031-05-07T00:00:00Z", "ends_at": "2031-05-08T00:00:00Z", "event": event.pk},
            {"starts_at": "2031-05-05T08:00:00Z", "ends_at": "2031-05-05T20:00:00Z", "event": None},
        ]

    @pytest.mark.parametrize(
        "window",
        [
            "2031-05-05T10:00:00+02:00/2031-05-05T22:00:00+02:00",
            "2031-05-05T08:00:00Z/PT12H",
            "PT12H/2031-05-05T20:00:00Z",
        ],
    )
    def test_an_interval_may_be_written_in_several_ways(self, planner, window):
        plain, repaired = urlencode({"window": window}), f"window={window}"
        for query in (plain, repaired):
            body = planner.get(f"{BASE}/availability/?{query}").json()
            assert body["windows"][0]["starts_at"] in {"2031-05-05T08:00:00Z", "2031-05-05T10:00:00+02:00"}

    def test_specs_are_chosen_by_id_kind_and_words(self, planner):
        tall = SpecFactory(name="Tall switch", kind="switch")
        cable = SpecFactory(name="Long cable", kind="cable")

        def names(*pairs):
            return [row["name"] for row in ask(planner, ("window", MONDAY), *pairs).json()["specs"]]

        assert names() == ["Long cable", "Tall switch"]
        assert names(("spec", tall.pk)) == ["Tall switch"]
        assert names(("kind", "cable"), ("kind", "fan")) == ["Long cable"]
        assert names(("search", "long CAB")) == ["Long cable"]
        assert names(("spec", tall.pk), ("spec", cable.pk), ("kind", "switch")) == ["Tall switch"]

    @pytest.mark.parametrize(
        ("pairs", "field"),
        [
            ([], "window"),
            ([("window", "yesterday")], "window"),
            ([("window", "2031-05-05T08:00:00/2031-05-05T20:00:00")], "window"),
            ([("window", "2031-05-05T08:00:00Z/2031-05-05T08:00:00Z")], "window"),
            ([("window", "0001-01-01T00:00:00Z/P1D")], "window"),
            ([("window", "2031-05-05T08:00:00Z/P99999999D")], "window"),
            ([("window", "P99999999D/2031-05-05T08:00:00Z")], "window"),
            ([("event", "9" * 5000)], "event"),
            ([("event", "\N{ARABIC-INDIC DIGIT THREE}")], "event"),
            ([("window", MONDAY)] * 51, "window"),
            ([("event", "999999")], "event"),
            ([("event", "x")], "event"),
            ([("window", MONDAY), ("spec", "999999")], "spec"),
            ([("window", MONDAY), ("spec", str(2**63))], "spec"),
            ([("window", MONDAY), ("kit", "999999")], "kit"),
            ([("window", MONDAY), ("kind", "lamp")], "kind"),
            ([("window", MONDAY), ("include", "specs,vans")], "include"),
            ([("window", MONDAY), ("page", "0")], "page"),
            ([("window", MONDAY), ("colour", "red")], "colour"),
        ],
    )
    def test_what_cannot_be_read_is_a_400_that_names_it(self, planner, pairs, field):
        problem = refused(ask(planner, *pairs), 400, "invalid")
        assert {error["field"] for error in problem["errors"]} == {field}

    def test_fifty_windows_are_answered(self, planner):
        SpecFactory()
        body = ask(planner, *[("window", MONDAY)] * 50).json()
        assert len(body["specs"][0]["windows"]) == 50

    def test_more_rows_than_a_page_are_on_the_next(self, planner):
        SpecFactory.create_batch(ROWS + 1)
        first = ask(planner, ("window", MONDAY)).json()
        assert first["next"].startswith("http://testserver/api/v1/availability/?window=")
        second = planner.get(first["next"]).json()
        assert second["next"] is None
        assert (len(first["specs"]), len(second["specs"])) == (ROWS, 1)
        assert len({row["spec"] for row in first["specs"] + second["specs"]}) == ROWS + 1

    def test_everybody_may_ask_who_is_signed_in(self, api):
        assert ask(api("viewer"), ("window", MONDAY)).status_code == 200
        assert ask(api(), ("window", MONDAY)).status_code == 401


class TestPolling:
    def test_the_same_answer_is_not_sent_twice(self, planner):
        unit = UnitFactory()
        first = ask(planner, ("window", MONDAY))
        assert first["ETag"].startswith(f'"{first.json()["ledger"]}.')
        with CaptureQueriesContext(
            connection,
        ) as asked:
            again = ask(planner, ("window", MONDAY), **{"If-None-Match": first["ETag"]})
        assert (again.status_code, again["ETag"], again.content) == (304, first["ETag"], b"")
        assert len([query for query in asked if "base_ledger" in query["sql"]]) == 1
        assert ask(planner, ("window", TUESDAY), **{"If-None-Match": first["ETag"]}).status_code == 200
        made(post(planner, "/bookings/", {"event": EventFactory().pk, "unit": unit.pk, "state": "confirmed"}))
        changed = ask(planner, ("window", MONDAY), **{"If-None-Match": first["ETag"]})
        assert (changed.status_code, changed.json()["ledger"]) == (200, first.json()["ledger"] + 1)

    def test_time_alone_may_make_an_answer_old(self, planner):
        pencil = BookingFactory(state="pencil", expires_at=timezone.now() + timedelta(hours=1))
        ClaimFactory(booking=pencil, standing="soft")
        tag = ask(planner, ("window", MONDAY))["ETag"]
        assert ask(planner, ("window", MONDAY), **{"If-None-Match": tag}).status_code == 304
        ledger, query, until = tag.strip('"').split(".")
        assert abs(int(until) - pencil.expires_at.timestamp()) < 2
        passed = f'"{ledger}.{query}.{int(timezone.now().timestamp()) - 1}"'
        assert ask(planner, ("window", MONDAY), **{"If-None-Match": passed}).status_code == 200


class TestCost:
    def statements(self, client, *pairs):
        ask(client, *pairs)  # whoever asks is known from now on
        with CaptureQueriesContext(connection) as asked:
            assert ask(client, *pairs).status_code == 200
        return len(asked)

    def test_the_number_of_statements_does_not_depend_on_how_much_there_is(self, planner):
        pairs = [("window", MONDAY), ("include", "specs,kits")]
        counts = []
        for number in (3, 27):
            for _ in range(number):
                kit = KitFactory()
                unit = PositionFactory(kit=kit).unit
                dealt = BookingFactory(unit=None, spec=unit.spec, from_kits=True)
                ClaimFactory(booking=dealt, unit=unit, dealt=True)
                DowntimeFactory(unit=UnitFactory(spec=unit.spec))
            counts.append(self.statements(planner, *pairs))
            counts.append(self.statements(planner, *pairs, *[("window", TUESDAY)] * 49))
        assert len(set(counts)) == 1, counts
        assert counts[0] <= 24


class Interruption:
    """Somebody books another unit, and commits, each time the counts have been read; as often as there are units."""

    def __init__(self, units):
        self.units = list(units)

    def __call__(self, execute, sql, params, many, context):
        result = execute(sql, params, many, context)
        if "WITH w(i, s, e)" in sql and self.units:
            ClaimFactory(booking=BookingFactory(unit=self.units.pop()))
            Ledger.objects.update(version=F("version") + 1)
        return result


@pytest.mark.parametrize("times", [1, 2])
def test_an_answer_is_read_again_when_somebody_writes_in_between(planner, times):
    spec = SpecFactory()
    units = UnitFactory.create_batch(times, spec=spec)
    with connection.execute_wrapper(Interruption(units)):
        body = ask(planner, ("window", MONDAY)).json()
    assert body["ledger"] == ledger_version()
    assert body["specs"][0]["windows"][0]["claimed"] == times


def test_writers_wait_when_an_answer_was_interrupted_too_often(planner):
    spec = SpecFactory()
    units = UnitFactory.create_batch(TRIES, spec=spec)
    with connection.execute_wrapper(Interruption(units)), CaptureQueriesContext(connection) as asked:
        body = ask(planner, ("window", MONDAY)).json()
    assert body["specs"][0]["windows"][0]["claimed"] == TRIES
    assert body["ledger"] == ledger_version()
    if connection.vendor == "postgresql":
        assert any("base_ledger" in query["sql"] and "FOR UPDATE" in query["sql"] for query in asked)
