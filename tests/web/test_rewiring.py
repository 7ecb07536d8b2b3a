"""A dead port whose kit has another of the same kind: the page of the fault offers to move what is connected there."""

import re

import pytest

from inventory.selectors.kits import show_kit
from inventory.services.faults import record_repair, report_fault
from tests.web.company import Gear, stage_case, write
from tests.web.reading import text, words
from tests.web.test_statements import statements

pytestmark = pytest.mark.django_db


@pytest.fixture
def gear() -> Gear:
    return stage_case()


def broken(gear: Gear, place: str, port: str | None, **more) -> int:
    given = {"what": "dead", "usable": None, "note": "", **more}
    return write(None, lambda c: report_fault(c, unit_id=gear.units[place], port=port, **given))


def offers(page: str) -> list[str]:
    return re.findall(r">Move it to ([^<]+)</button>", page)


def ends(gear: Gear) -> list[tuple[str, str]]:
    kit = show_kit(gear.kit)
    assert kit is not None
    labels = {each["id"]: each["label"] for each in kit["positions"]}
    return [tuple(f"{labels[each[e]['position']]} {each[e]['port']}" for e in ("from", "to")) for each in kit["links"]]


def free_a_port(gear: Gear, place: str, port: str) -> None:
    from inventory.models import LinkEnd

    LinkEnd.objects.get(position__kit=gear.kit, position__label=place, port_name=port).link.delete()


def test_what_is_connected_moves_to_the_free_port_in_one_tap(reader, gear: Gear) -> None:
    free_a_port(gear, "switch A", "4")
    fault = broken(gear, "switch A", "2")
    planner = reader("planner")
    page = planner.get(f"/faults/{fault}/")
    assert "Move case LAN 2 rear from 2 to 4 , in Stage case 2" in words(page)
    assert offers(text(page))[0] == "4"
    form = dict(re.findall(r'name="(position|to)" value="([^"]*)"', text(page))[:2])
    answer = planner.post(f"/faults/{fault}/move/", form)
    assert (answer.status_code, answer["Location"]) == (303, f"/faults/{fault}/")
    assert ("case LAN 2 rear", "switch A 4") in ends(gear)
    assert offers(text(planner.get(f"/faults/{fault}/"))) == []
    again = planner.post(f"/faults/{fault}/move/", form)
    assert again.status_code == 400
    assert "It cannot go there any more" in words(again)


def test_ports_of_other_units_of_the_kit_come_after_those_of_the_same(reader, gear: Gear) -> None:
    free_a_port(gear, "switch A", "4")
    free_a_port(gear, "switch B", "1")
    assert offers(text(reader("planner").get(f"/faults/{broken(gear, 'switch A', '2')}/"))) == ["4", "switch B 1"]


def test_a_port_of_another_kind_is_not_offered(reader, gear: Gear) -> None:
    """Ports 5 to 8 of the switch give no power."""
    assert offers(text(reader("planner").get(f"/faults/{broken(gear, 'switch A', '2')}/"))) == []


def test_a_port_that_is_broken_itself_is_not_offered(reader, gear: Gear) -> None:
    free_a_port(gear, "switch A", "4")
    broken(gear, "switch A", "4")
    assert offers(text(reader("planner").get(f"/faults/{broken(gear, 'switch A', '2')}/"))) == []


def test_nothing_is_offered_for_a_port_that_nothing_is_connected_to_or_that_was_mended(reader, gear: Gear) -> None:
    free_a_port(gear, "switch A", "4")
    planner = reader("planner")
    assert offers(text(planner.get(f"/faults/{broken(gear, 'switch A', '4')}/"))) == []
    fault = broken(gear, "switch A", "2")
    unit = gear.units["switch A"]
    write(
        None,
        lambda c: record_repair(c, unit_id=unit, fault_ids=None, note="", cost=None, currency=None, minutes=None),
    )
    assert offers(text(planner.get(f"/faults/{fault}/"))) == []


def test_crew_is_told_and_does_not_move(reader, gear: Gear) -> None:
    free_a_port(gear, "switch A", "4")
    fault = broken(gear, "switch A", "2")
    page = reader("crew").get(f"/faults/{fault}/")
    assert "Move case LAN 2 rear from 2 to 4" in words(page)
    assert offers(text(page)) == []
    assert reader("crew").post(f"/faults/{fault}/move/", {"position": 1, "to": "4"}).status_code == 403


@pytest.mark.parametrize("form", [{}, {"position": "x", "to": "4"}, {"position": "1", "to": "nowhere"}])
def test_a_form_that_nobody_was_shown_is_refused(reader, gear: Gear, form: dict[str, str]) -> None:
    fault = broken(gear, "switch A", "2")
    assert reader("planner").post(f"/faults/{fault}/move/", form).status_code == 400


def test_the_page_of_a_fault_at_a_port_costs_one_statement_more(reader, gear: Gear) -> None:
    """The busiest page of a fault without one costs ten."""
    free_a_port(gear, "switch A", "4")
    planner = reader("planner")
    at_port, of_whole = broken(gear, "switch A", "2"), broken(gear, "switch B", None, what="other")
    assert statements(planner, f"/faults/{at_port}/") == statements(planner, f"/faults/{of_whole}/") + 1
