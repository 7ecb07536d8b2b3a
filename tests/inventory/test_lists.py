"""Lists: pages, cursors, orderings, and statements that do not grow with the rows."""

import pytest

from inventory.models import Fault, Inspection, Kit, Repair, Spec, Unit
from tests.inventory.gear import BASE, Gear

pytestmark = pytest.mark.django_db


def fill(gear: Gear, count: int) -> None:
    """Enter ``count`` more of everything that has a list."""
    for _ in range(count):
        kit = gear.poe_kit((4,))
        unit = kit["positions"][1]["unit"]
        gear.post("/faults/", {"unit": unit, "port": "1", "what": "latch"})
        gear.post("/repairs/", {"unit": unit, "faults": []})
        gear.post("/inspections/", {"unit": unit, "passed": True})
        gear.post("/downtimes/", {"unit": unit, "starts_at": "2031-05-01T00:00:00Z", "ends_at": "2031-05-02T00:00:00Z"})
        gear.post("/locations/", {"name": f"Shelf {unit}"})


STATEMENTS = {
    "/specs/": 2,
    "/units/": 4,
    "/kits/": 1,
    "/faults/": 1,
    "/repairs/": 2,
    "/inspections/": 1,
    "/downtimes/": 1,
    "/locations/": 1,
}


def test_a_list_takes_as_many_statements_for_thirty_rows_as_for_three(gear: Gear, django_assert_num_queries):
    fill(gear, 3)
    for path, statements in STATEMENTS.items():
        with django_assert_num_queries(statements, info=path):
            assert len(gear.get(path)["results"]) >= 3
    fill(gear, 9)
    for path, statements in STATEMENTS.items():
        with django_assert_num_queries(statements, info=path):
            assert len(gear.get(path)["results"]) >= 12


def test_a_detail_with_children_takes_as_many_statements_for_many_as_for_few(gear: Gear, django_assert_num_queries):
    few, many = gear.poe_kit((4,)), gear.poe_kit((4, 4, 3, 3))
    for kit in (few, many):
        with django_assert_num_queries(5, info="of a kit that is not checked yet"):
            gear.get(f"/kits/{kit['id']}/capability/")
    for kit in (few, many):
        gear.check(kit["id"])
        with django_assert_num_queries(5):
            gear.get(f"/kits/{kit['id']}/")
        with django_assert_num_queries(2):
            gear.get(f"/kits/{kit['id']}/check/")
        with django_assert_num_queries(1):
            gear.get(f"/kits/{kit['id']}/capability/")
        with django_assert_num_queries(2):
            gear.get(f"/specs/{kit['positions'][1]['spec']}/")


def test_pages_of_a_hundred_follow_each_other_without_gap_or_repetition(gear: Gear):
    spec = gear.spec()
    gear.units(spec, 250)
    seen, url = [], f"/units/?spec={spec}&ordering=-tag"
    while url:
        page = gear.get(url)
        assert set(page) == {"next", "previous", "results"}
        assert len(page["results"]) <= 100
        seen += [unit["tag"] for unit in page["results"]]
        assert page["next"] is None or page["next"].startswith("http://testserver/api/v1/units/?")
        url = (page["next"] or "").removeprefix("http://testserver" + BASE)
    assert len(seen) == 250
    assert seen == sorted(seen, reverse=True)


def test_rows_that_come_meanwhile_do_not_shift_a_page(gear: Gear):
    spec = gear.spec()
    gear.units(spec, 120)
    first = gear.get("/units/?ordering=id")
    gear.units(spec, 5)
    second = gear.get(first["next"].removeprefix("http://testserver" + BASE))
    ids = [unit["id"] for unit in first["results"] + second["results"]]
    assert len(ids) == len(set(ids)) == 125


@pytest.mark.parametrize("model", [Spec, Unit, Kit, Fault, Repair, Inspection])
def test_an_empty_list_is_a_list(gear: Gear, model: type):
    assert not model._default_manager.exists()
    assert gear.get(f"/{model.__name__.lower()}s/") == {"next": None, "previous": None, "results": []}


def test_search_looks_for_every_word(gear: Gear):
    gear.spec("switch", maker="Own works")
    assert len(gear.get("/specs/?search=switch works")["results"]) == 1
    assert gear.get("/specs/?search=switch elsewhere")["results"] == []
    assert gear.get("/specs/?search=100%25")["results"] == []


def test_the_register_of_connectors_is_one_page(gear: Gear):
    register = {entry["code"]: entry for entry in gear.get("/connectors/")["results"]}
    assert {"8p8c", "8p8c-rugged", "xlr-3", "xlr-5", "c13", "c14", "c19", "c20", "dc-5.5x2.1", "usb-c"} <= set(register)
    rugged = [mate for mate in register["8p8c-rugged"]["mates"] if mate["connector"] == "8p8c"]
    assert rugged == [{"own_side": "socket", "connector": "8p8c", "side": "plug", "retention": "latch"}]
