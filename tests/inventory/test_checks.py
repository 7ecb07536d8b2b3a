"""The background checks: what makes one due, and that a worker's result is kept once and never for an older kit."""

import pytest
from django.db import IntegrityError, transaction

from calc.checking.deferral import DECIDES, MATTER_OF_CODE, MATTER_OF_THEME
from calc.checks import CHECKS
from inventory.assembly import fingerprint, read_kits
from inventory.checks.acceptance import verb_to_accept
from inventory.models import Check, Finding, Kit
from tests.inventory.gear import Gear, codes, drain_now

pytestmark = pytest.mark.django_db


def test_three_class_4_devices_on_one_source_of_65_w_are_too_many(gear: Gear):
    """Class 4 sets 30 W aside at the source (IEEE 802.3 clause 33): 3 × 30 = 90 W of 65 W."""
    kit = gear.poe_kit((4, 4, 4), (65, 120))
    check = gear.check(kit["id"])
    found = check["findings"][0]
    assert (found["code"], found["severity"]) == ("poe-budget-exceeded", "stop")
    assert (found["value"], found["limit"], found["margin"], found["unit"]) == (90.0, 65.0, -25.0, "W")
    assert gear.get(f"/kits/{kit['id']}/capability/")["plug_map"]["any_order_ok"] is False
    assert found["subject"]["label"] == "switch A"
    assert found["in"] == ["design", "packed"]
    link = f"/kits/{kit['id']}/links/{kit['links'][2]['id']}/"
    gear.patch(link, {"to": {"position": "switch B", "port": "1"}})
    assert gear.check(kit["id"])["verdict"] == "nothing-found"


def test_five_devices_fit_on_two_sources_only_in_some_orders(gear: Gear):
    """Class 4 takes 30 W, class 3 takes 15.4 W: 65 W holds two of class 4, or one of each and one of class 3."""
    kit = gear.poe_kit((4, 4, 4, 4, 3), (65, 120), linked=False)
    plug_map = gear.get(f"/kits/{kit['id']}/capability/")["plug_map"]
    assert plug_map["any_order_ok"] is False
    assert plug_map["worst_w"] == pytest.approx(65 - 4 * 30)
    assert len(plug_map["rows"]) == 5
    watts = {"switch A": 0.0, "switch B": 0.0}
    drawn = {f"camera {n}": 15.4 if n == 5 else 30.0 for n in range(1, 6)}
    for row in plug_map["rows"]:
        watts[row["source"]["label"]] += drawn[row["device"]["label"]]
    assert watts["switch A"] <= 65
    assert watts["switch B"] <= 120
    assert ("poe-budget-exceeded", "caution") in codes(gear.check(kit["id"]))


def test_what_is_not_known_carries_both_ends(gear: Gear):
    """65 W, three of class 3 are 46.2 W; a device of no class takes 4 to 30 W (IEEE 802.3 clauses 33 and 145)."""
    kit = gear.poe_kit((3, 3, 3, None))
    (found,) = gear.check(kit["id"])["findings"]
    assert (found["code"], found["severity"], found["unlocks"]) == ("data-missing", "unknown", "ports.lan.poe.class")
    assert (found["value"], found["limit"], found["margin"], found["unit"]) == (None, 65.0, -11.2, "W")
    assert (found["range"], found["at_least"]) == ({"low": 50.2, "high": 76.2}, False)
    side = gear.get(f"/kits/compare/?a={kit['id']}&b={kit['id']}")["a"]
    assert side["findings"][0]["range"] == {"low": 50.2, "high": 76.2}


def test_a_decided_finding_has_no_range(gear: Gear):
    kit = gear.poe_kit((4, 4, 4))
    assert gear.check(kit["id"])["findings"][0]["range"] is None


@pytest.mark.parametrize(("low", "high"), [(2.0, 2.0), (2.0, 3.0), (None, 1.0), (2.0, None), (None, None)])
def test_the_ends_of_a_range_stand_in_their_order(gear: Gear, low: float | None, high: float | None):
    gear.check(gear.poe_kit((4, 4, 4))["id"])
    Finding.objects.update(low=low, high=high)
    with pytest.raises(IntegrityError, match="inventory_finding_range_in_order"), transaction.atomic():
        Finding.objects.update(low=2.0, high=1.999)


def test_a_new_kit_is_queued_and_then_done(gear: Gear):
    kit = gear.poe_kit((4,))
    before = gear.get(f"/kits/{kit['id']}/check/")
    assert (before["state"], before["verdict"], before["last"]) == ("queued", None, None)
    after = gear.check(kit["id"])
    assert (after["state"], after["verdict"]) == ("done", "nothing-found")
    assert after["revision"] == before["revision"]
    listed = gear.get("/kits/?verdict=nothing-found")["results"]
    assert [row["verdicts"] for row in listed] == [{"design": "nothing-found", "packed": "nothing-found"}]


def test_an_edit_shows_the_last_result_while_the_next_is_due(gear: Gear):
    kit = gear.poe_kit((4,))
    done = gear.check(kit["id"])
    gear.patch(f"/kits/{kit['id']}/", {"purpose": "choir"})
    queued = gear.get(f"/kits/{kit['id']}/check/")
    assert queued["state"] == "queued"
    assert queued["last"]["revision"] == done["revision"]
    assert gear.client.get(f"/api/v1/kits/{kit['id']}/check/")["Retry-After"] == "1"


def test_a_kit_of_bare_specs_reads_not_known(gear: Gear):
    kit = gear.kit([{"label": "box", "unit": gear.unit(gear.spec("switch"))}])
    assert gear.check(kit["id"])["verdict"] == "unknown"


def test_a_burst_of_edits_is_checked_once(gear: Gear):
    kit = gear.poe_kit((4,))
    for purpose in ("a", "b", "c", "d"):
        gear.patch(f"/kits/{kit['id']}/", {"purpose": purpose})
    assert drain_now() == 1
    assert Check.objects.filter(kit=kit["id"]).count() == 1


def test_somebody_may_ask_for_a_check(gear: Gear, api):
    kit = gear.poe_kit((4,))["id"]
    gear.check(kit)
    response = api("crew").post(f"/api/v1/kits/{kit}/check/")
    assert response.status_code == 202
    assert response["Location"] == f"/api/v1/kits/{kit}/check/"
    assert response.json()["state"] == "queued"
    assert gear.check(kit)["state"] == "done"
    assert len(gear.get(f"/kits/{kit}/checks/")["results"]) == 2


@pytest.mark.parametrize(
    "edit",
    [
        lambda gear, kit: gear.patch(f"/kits/{kit['id']}/", {"build": "foam-lined"}),
        lambda gear, kit: gear.patch(f"/specs/{kit['positions'][1]['spec']}/", {"poe": {"budget_w": 20}}),
        lambda gear, kit: gear.patch(f"/units/{kit['positions'][1]['unit']}/", {"measured_w": 12}),
        lambda gear, kit: gear.post("/faults/", {"unit": kit["positions"][1]["unit"], "port": "1", "what": "latch"}),
        lambda gear, kit: gear.post("/downtimes/", {"unit": kit["positions"][1]["unit"]}),
        lambda gear, kit: gear.client.delete(f"/api/v1/kits/{kit['id']}/links/{kit['links'][0]['id']}/"),
        lambda gear, kit: gear.post(f"/kits/{kit['id']}/positions/", {"label": "new", "spec": gear.spec()}),
        lambda gear, kit: gear.patch(
            f"/kits/{kit['id']}/positions/{kit['positions'][1]['id']}/", {"accepts": [gear.spec()]}
        ),
    ],
)
def test_whatever_the_checks_can_see_raises_the_revision(gear: Gear, edit):
    """The guard of the queue: the assembled kit changed, so its revision rose, and so did the outer kit's."""
    kit = gear.poe_kit((4,))
    outer = gear.kit([{"label": "inner", "unit": kit["case"]}])["id"]
    before = {
        key: (fingerprint(value), Kit.objects.get(pk=key).revision)
        for key, value in read_kits([kit["id"], outer]).items()
    }
    edit(gear, kit)
    for key, value in read_kits([kit["id"], outer]).items():
        assert fingerprint(value) != before[key][0]
        assert Kit.objects.get(pk=key).revision > before[key][1]


def test_a_finding_is_accepted_until_what_it_rests_on_moves(gear: Gear):
    kit = gear.poe_kit((4, 4, 4))
    finding = gear.check(kit["id"])["findings"][0]
    accepted = gear.post(f"/findings/{finding['id']}/accept/", {"reason": "The third one is a spare."}, expect=200)
    assert accepted["accepted"]["reason"] == "The third one is a spare."
    gear.patch(f"/kits/{kit['id']}/", {"purpose": "changed"})
    assert gear.check(kit["id"])["findings"][0]["accepted"] is not None
    gear.patch(f"/specs/{kit['positions'][1]['spec']}/", {"poe": {"budget_w": 70}})
    assert gear.check(kit["id"])["findings"][0]["accepted"] is None


def test_a_missing_number_is_about_mains_if_a_check_of_mains_waits_for_it():
    for waiting, verb in (
        ("poe-budget-exceeded", "finding.accept"),
        ("circuit-overload", "finding.accept-mains"),
        ("case-hot, leakage-high", "finding.accept-mains"),
    ):
        assert verb_to_accept("data-missing", {"waiting": waiting}) == verb
    assert verb_to_accept("data-missing", {}) == "finding.accept"
    assert verb_to_accept("dc-mismatch", {}) == "finding.accept"


def test_every_theme_of_mains_has_checks():
    """A file that is renamed must not take its findings away from electrics."""
    assert {check.theme for check in CHECKS.values()} >= set(MATTER_OF_THEME)
    assert set(MATTER_OF_CODE) <= set(CHECKS)
    assert {*MATTER_OF_THEME.values(), *MATTER_OF_CODE.values()} == set(DECIDES)


def test_the_number_that_settles_most_kits_comes_first(gear: Gear, django_assert_num_queries):
    often, seldom = gear.device(4), gear.device(4)
    for spec in (often, seldom):
        port = {"name": "lan", "connector": "8p8c", "side": "socket", "carries": "ethernet", "poe": {"role": "load"}}
        gear.patch(f"/specs/{spec}/", {"ports": [port]})
    for spec in (often, often, seldom):
        source = gear.switch(20)
        places = [{"label": "source", "unit": gear.unit(source)}, {"label": "camera", "unit": gear.unit(spec)}]
        ends = {"from": {"position": "camera", "port": "lan"}, "to": {"position": "source", "port": "1"}}
        gear.check(gear.kit(places, [ends])["id"])
    with django_assert_num_queries(1):
        missing = gear.get("/numbers-worth-measuring/")["results"]
    assert [(row["spec"], row["number"], row["kits"]) for row in missing] == [
        (often, "ports.lan.poe.class", 2),
        (seldom, "ports.lan.poe.class", 1),
    ]


def test_a_draft_is_judged_as_a_design_only(gear: Gear):
    draft = gear.kit([{"label": "switch A", "spec": gear.switch()}], case=None)
    assert gear.check(draft["id"])["verdicts"] == {"design": "nothing-found", "packed": None}


def test_a_reading_takes_a_fixed_number_of_statements(gear: Gear, django_assert_num_queries):
    small = gear.poe_kit((4,))["id"]
    large = [gear.poe_kit((4, 4, 3, 3))["id"] for _ in range(3)]
    gear.kit([{"label": "inner", "unit": Kit.objects.get(pk=small).positions.get(role="case").unit_id}])
    with django_assert_num_queries(4):
        read_kits([small])
    with django_assert_num_queries(4):
        read_kits(large)


def test_kits_are_read_for_a_place_with_its_rules_and_temperature(gear: Gear):
    inner = gear.kit(ambient_celsius=25)
    outer = gear.kit([{"label": "inner", "unit": inner["case"]}])["id"]

    def read(**place) -> list[tuple[str, float | None]]:
        kit = read_kits([outer], **place)[outer]
        nested = next(each.nested for each in kit.positions if each.nested is not None)
        return [(kit.rules, kit.ambient_celsius), (nested.rules, nested.ambient_celsius)]

    assert read() == [("iec", None), ("iec", 25)]
    assert read(rules="north_america", ambient=38.0) == [("north_america", 38.0)] * 2
