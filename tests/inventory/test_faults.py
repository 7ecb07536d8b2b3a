"""Faults, repairs, downtimes and inspections over the interface."""

import pytest

from tests.inventory.gear import Gear, codes

pytestmark = pytest.mark.django_db


def test_an_unusable_fault_holds_the_unit_back_until_it_is_repaired(gear: Gear):
    unit = gear.unit(gear.switch())
    fault = gear.post("/faults/", {"unit": unit, "port": "3", "what": "dead", "note": "no link light"})
    assert fault["unit_state"] == "held-back"
    assert fault["affected_bookings"] == []
    assert gear.get(f"/units/{unit}/")["port_conditions"] == [{"port": "3", "what": "dead", "fault": fault["id"]}]
    repair = gear.post("/repairs/", {"unit": unit, "faults": [fault["id"]], "note": "new socket", "cost": "12.50"})
    assert repair["unit_state"] == "in-service"
    assert repair["cost"] == "12.50"
    assert gear.get(f"/units/{unit}/")["port_conditions"] == []
    assert gear.get(f"/faults/{fault['id']}/")["repair"] == repair["id"]


@pytest.mark.parametrize(
    ("what", "usable"),
    [("latch", True), ("shell", True), ("label", True), ("contact", False), ("dead", False), ("intermittent", False)],
)
def test_what_broke_says_whether_the_unit_still_works(gear: Gear, what: str, usable: bool):
    fault = gear.post("/faults/", {"unit": gear.unit(gear.switch()), "port": "1", "what": what})
    assert fault["usable"] is usable
    assert fault["unit_state"] == ("in-service" if usable else "held-back")


def test_a_person_may_know_better(gear: Gear):
    unit = gear.unit(gear.switch())
    fault = gear.post("/faults/", {"unit": unit, "port": "1", "what": "dead", "usable": True})
    assert fault["unit_state"] == "in-service"
    assert gear.patch(f"/faults/{fault['id']}/", {"usable": False})["unit_state"] == "held-back"
    assert gear.patch(f"/faults/{fault['id']}/", {"usable": True})["unit_state"] == "in-service"


def test_the_unit_stays_held_back_while_another_fault_is_open(gear: Gear):
    unit = gear.unit(gear.switch())
    first, second = (gear.post("/faults/", {"unit": unit, "port": port, "what": "dead"})["id"] for port in "12")
    assert gear.post("/repairs/", {"unit": unit, "faults": [first]})["unit_state"] == "held-back"
    assert gear.post("/repairs/", {"unit": unit, "faults": [second]})["unit_state"] == "in-service"


def test_a_repair_without_a_list_closes_all_that_is_open(gear: Gear):
    unit = gear.unit(gear.switch())
    faults = [gear.post("/faults/", {"unit": unit, "what": "other"})["id"] for _ in range(2)]
    assert gear.post("/repairs/", {"unit": unit})["faults"] == faults
    assert gear.get("/faults/?open=true")["results"] == []
    assert len(gear.get("/faults/?open=false")["results"]) == 2
    assert len(gear.get("/faults/?open=False")["results"]) == 2


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"what": "dead", "port": "99"}, "port"),
        ({"what": "melted"}, "what"),
        ({"what": "dead", "unit": 999_999}, "unit"),
        ({}, "what"),
        ({"what": "dead", "usable": "perhaps"}, "usable"),
        ({"what": "dead", "note": "x" * 2001}, "note"),
    ],
)
def test_a_fault_that_cannot_be_is_refused_by_field(gear: Gear, body: dict, field: str):
    unit = gear.unit(gear.switch())
    problem = gear.post("/faults/", {"unit": unit, **body}, expect=400)
    assert [error["field"] for error in problem["errors"]] == [field]
    assert gear.get("/faults/")["results"] == []
    assert gear.get(f"/units/{unit}/")["state"] == "in-service"


def test_a_repair_closes_only_open_faults_of_its_unit(gear: Gear):
    unit, other = gear.unit(gear.switch()), gear.unit(gear.switch())
    fault = gear.post("/faults/", {"unit": other, "what": "other"})["id"]
    assert gear.post("/repairs/", {"unit": unit, "faults": [fault]}, expect=400)["errors"][0]["field"] == "faults"
    gear.post("/repairs/", {"unit": other, "faults": [fault]})
    gear.post("/repairs/", {"unit": other, "faults": [fault]}, expect=400)


def test_a_fault_checks_the_kit_again(gear: Gear):
    kit = gear.poe_kit((4,))
    assert codes(gear.check(kit["id"])) == set()
    switch = kit["positions"][1]["unit"]
    gear.post("/faults/", {"unit": switch, "port": "1", "what": "dead"})
    found = codes(gear.check(kit["id"]))
    assert ("port-damaged", "stop") in found
    assert ("unit-out", "stop") in found
    gear.post("/repairs/", {"unit": switch})
    assert codes(gear.check(kit["id"])) == set()


def test_a_broken_latch_lowers_what_the_panel_holds(gear: Gear):
    kit = gear.poe_kit((4,))
    gear.patch(f"/kits/{kit['id']}/", {"exposed_retention": "latch"})
    assert "retention-lost" not in {code for code, _ in codes(gear.check(kit["id"]))}
    gear.post("/faults/", {"unit": kit["case"], "port": "1", "what": "latch"})
    assert ("retention-lost", "caution") in codes(gear.check(kit["id"]))


def test_a_fault_deep_inside_reaches_the_outer_kit(gear: Gear):
    inner = gear.poe_kit((4,))
    outer = gear.kit([{"label": "inner", "unit": inner["case"]}])
    outermost = gear.kit([{"label": "outer", "unit": outer["case"]}])
    gear.check(outermost["id"])
    gear.post("/faults/", {"unit": inner["positions"][1]["unit"], "port": "1", "what": "dead"})
    assert ("port-damaged", "stop") in codes(gear.check(outermost["id"]))


def test_a_downtime_has_a_period_and_an_end(gear: Gear):
    unit = gear.unit(gear.spec())
    planned = {"unit": unit, "cause": "lent", "starts_at": "2031-05-01T00:00:00Z", "ends_at": "2031-05-03T00:00:00Z"}
    downtime = gear.post("/downtimes/", planned)
    assert downtime["unit_state"] == "in-service"
    problem = gear.post("/downtimes/", planned | {"ends_at": "2031-04-30T00:00:00Z"}, expect=400)
    assert problem["errors"][0]["field"] == "ends_at"
    now = gear.post("/downtimes/", {"unit": unit, "cause": "lent"})
    assert now["unit_state"] == "held-back"
    assert gear.patch(f"/downtimes/{now['id']}/", {})["unit_state"] == "in-service"


def test_a_failed_test_holds_back_and_a_passed_one_releases(gear: Gear):
    kit = gear.poe_kit((4,))
    switch = kit["positions"][1]["unit"]
    readings = [{"what": "earth continuity", "value": 0.4, "unit": "ohm", "limit": 0.1}]
    failed = gear.post("/inspections/", {"unit": switch, "passed": False, "readings": readings})
    assert failed["unit_state"] == "held-back"
    assert ("test-failed", "stop") in codes(gear.check(kit["id"]))
    assert gear.post("/inspections/", {"unit": switch, "passed": True})["unit_state"] == "in-service"
    assert codes(gear.check(kit["id"])) == set()


def test_an_inspection_falls_due_by_the_calendar_alone(gear: Gear):
    from datetime import timedelta

    from django.utils import timezone

    from inventory.base.queues import make_due
    from inventory.models import Kit

    kit = gear.poe_kit((4,))
    switch = kit["positions"][1]
    gear.patch(f"/specs/{switch['spec']}/", {"inspection_interval_days": 90})
    tested = timezone.now() - timedelta(days=90) + timedelta(hours=1)
    gear.post("/inspections/", {"unit": switch["unit"], "passed": True, "at": tested.isoformat()})
    assert codes(gear.check(kit["id"])) == set()
    due_at = Kit.objects.get(pk=kit["id"]).recheck_at
    assert due_at == tested + timedelta(days=90)
    make_due()
    assert Kit.objects.get(pk=kit["id"]).check_due_at is None
    Kit.objects.filter(pk=kit["id"]).update(recheck_at=timezone.now())
    make_due()
    assert Kit.objects.get(pk=kit["id"]).check_due_at is not None
