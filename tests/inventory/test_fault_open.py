"""A unit does not come back into service past a fault that keeps it from use."""

import pytest

from inventory.models import Unit
from tests.inventory.gear import Gear

pytestmark = pytest.mark.django_db


def test_an_open_fault_keeps_a_unit_out_of_service_until_it_is_mended(gear: Gear):
    unit = gear.unit(gear.switch())
    fault = gear.post("/faults/", {"unit": unit, "port": "3", "what": "dead"})
    problem = gear.patch(f"/units/{unit}/", {"state": "in-service"}, expect=409)
    assert problem["type"] == "/problems/fault-open"
    assert problem["fault"] == fault["id"]
    assert Unit.objects.get(pk=unit).state == "held-back"
    gear.post("/repairs/", {"unit": unit, "note": "new socket"})
    assert Unit.objects.get(pk=unit).state == "in-service"


def test_a_fault_that_leaves_it_usable_holds_nothing_back(gear: Gear):
    unit = gear.unit(gear.switch())
    gear.post("/faults/", {"unit": unit, "port": "3", "what": "latch"})
    gear.patch(f"/units/{unit}/", {"state": "held-back"})
    gear.patch(f"/units/{unit}/", {"state": "in-service"})
    assert Unit.objects.get(pk=unit).state == "in-service"
