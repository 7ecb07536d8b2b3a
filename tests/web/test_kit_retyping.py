"""Another type into a place: connections whose port it has stay, the rest are listed before they go."""

import pytest

from inventory.selectors.kits import show_kit
from inventory.services.specs import create_spec
from tests.web.company import Gear, ethernet, stage_case, write
from tests.web.reading import text, words
from tests.web.test_kits import position, tag_in, tag_of
from tests.web.typed import typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def gear() -> Gear:
    return stage_case()


def router(*ports: str) -> int:
    fields = {"name": "Router", "kind": "router", "ports": tuple(ethernet(port) for port in ports)}
    return write(None, lambda c: create_spec(c, fields=fields))


def at(gear: Gear, label: str) -> list[str]:
    """Return the ports of a place that are connected."""
    kit = show_kit(gear.kit)
    assert kit is not None
    ends = [each[end] for each in kit["links"] for end in ("from", "to")]
    return sorted(end["port"] for end in ends if end["label"] == label)


def planned(gear: Gear, label: str) -> int:
    kit = show_kit(gear.kit)
    assert kit is not None
    return next(each["spec"] for each in kit["positions"] if each["label"] == label)


def test_what_does_not_stay_is_listed_before_it_goes(reader, gear: Gear) -> None:
    spec, before = router("1", "2", "3", "9"), position(gear, "switch A")
    address = f"/kits/{gear.kit}/positions/{before}/type/"
    planner = reader("planner")
    form = typed(text(planner.get(address)))
    told = planner.post(address, {**form, "spec": str(spec)})
    assert told.status_code == 200
    assert at(gear, "switch A") == ["1", "2", "3", "4", "8", "dc"]
    said = words(told)
    for lost in ("4 to case LAN 4 rear W-14", "8 to switch B 8 trunk", "dc to supply A out"):
        assert lost in said
    assert "3 stay." in said
    assert "Swap it, and unplug 3" in said
    answer = planner.post(address, typed(text(told)))
    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{gear.kit}/#p{before}")
    assert at(gear, "switch A") == ["1", "2", "3"]
    assert (planned(gear, "switch A"), position(gear, "switch A")) == (spec, before)
    assert tag_in(gear, "switch A") is None
    assert "planner made switch A a Router" in words(planner.get(f"/kits/{gear.kit}/"))


def test_a_type_with_the_same_ports_is_swapped_at_once(reader, gear: Gear) -> None:
    spec = router("1", "2", "3", "4", "8", "dc")
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/type/"
    planner = reader("planner")
    form = typed(text(planner.get(address)))
    assert planner.post(address, {**form, "spec": str(spec)}).status_code == 303
    assert at(gear, "switch A") == ["1", "2", "3", "4", "8", "dc"]


def test_another_type_than_the_one_that_was_told_is_told_first(reader, gear: Gear) -> None:
    one, other = router("1"), write(None, lambda c: create_spec(c, fields={"name": "Brick", "kind": "other"}))
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/type/"
    planner = reader("planner")
    told = typed(text(planner.post(address, {**typed(text(planner.get(address))), "spec": str(one)})))
    assert planner.post(address, {**told, "spec": str(other)}).status_code == 200
    assert planned(gear, "switch A") == gear.specs["switch"]


def test_the_unit_stays_where_it_is_of_the_new_type(reader, gear: Gear) -> None:
    from inventory.models import Position, Unit

    spec = router("1", "2", "3", "4", "8", "dc")
    unit = Unit.objects.get(pk=gear.units["switch A"])
    Unit.objects.filter(pk=unit.pk).update(spec=spec)
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/type/"
    planner = reader("planner")
    form = typed(text(planner.get(address)))
    assert planner.post(address, {**form, "spec": str(spec)}).status_code == 303
    assert Position.objects.get(unit=unit).spec_id == spec
    assert tag_in(gear, "switch A") == tag_of(unit.pk)


def test_the_planned_type_again_and_nothing_chosen_are_refused(reader, gear: Gear) -> None:
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/type/"
    planner = reader("planner")
    form = typed(text(planner.get(address)))
    again = planner.post(address, {**form, "spec": str(gear.specs["switch"])})
    assert again.status_code == 400
    assert "is planned as Compact switch, four of eight ports powered already" in words(again)
    assert planner.post(address, form).status_code == 400
    assert reader("crew").get(address).status_code == 403
    assert planner.get(f"/kits/{gear.kit}/positions/999999/type/").status_code == 404
