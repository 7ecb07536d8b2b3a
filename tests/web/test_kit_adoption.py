"""A planned change is adopted in one go, after it was said what moves and whom it hurts; or the two are compared."""

import pytest

from inventory.models import Kit, Position, Unit
from inventory.selectors.compare import compare_kits
from inventory.selectors.kits import show_kit
from inventory.services.clone import clone_kit
from inventory.services.contents import add_link, add_position, delete_link, edit_position
from inventory.services.kits import edit_kit
from inventory.services.positions import PositionDraft
from inventory.services.retirement import retire_kit
from inventory.services.retyping import retype_position
from inventory.services.specs import create_spec
from scheduling.models import Booking, Shortfall
from tests.web.company import Gear, ethernet, link, make_unit, stage_case, write
from tests.web.reading import text, words
from tests.web.shows import booked, show
from tests.web.typed import typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def gear() -> Gear:
    return stage_case()


def at(kit: int, label: str) -> int:
    return Position.objects.get(kit=kit, label=label).pk


@pytest.fixture
def draft(gear: Gear) -> int:
    """Switch B becomes a router, the lamp goes, a second desk comes, the trunk is taken out, a colour is given."""
    made = write(None, lambda c: clone_kit(c, gear.kit, name="Next year"))
    fields = {"name": "Router", "kind": "router", "ports": tuple(ethernet(str(n)) for n in range(1, 9))}
    router = write(None, lambda c: create_spec(c, fields=fields))
    shown = show_kit(made)
    assert shown is not None
    trunk = next(each["id"] for each in shown["links"] if each["label"] == "trunk")
    write(None, lambda c: delete_link(c, made, trunk))
    write(None, lambda c: retype_position(c, made, at(made, "switch B"), spec_id=router))
    Position.objects.get(kit=made, label="lamp").delete()
    desk = PositionDraft(label="desk 2", spec=gear.specs["desk"])
    write(None, lambda c: add_position(c, made, draft=desk))
    write(None, lambda c: add_link(c, made, draft=link(("desk 2", "net"), ("switch A", "7"), "desk 2", "green")))
    write(None, lambda c: edit_kit(c, made, fields={"colour": "red", "purpose": "stage, all of it"}))
    return made


def adopt(reader, draft: int):
    """Try it, then send the form that this shows; return both answers."""
    planner, address = reader("planner"), f"/kits/{draft}/adopt/"
    tried = planner.post(address, {**typed(text(planner.get(address))), "verb": "try"})
    return tried, planner.post(address, {**typed(text(tried)), "verb": "adopt"})


def test_what_moves_and_whom_it_hurts_is_said_before_anything_is_done(reader, gear: Gear, draft: int) -> None:
    booked(show("Harvest choirs"), kit=gear.kit)
    before = show_kit(gear.kit)
    planner, address = reader("planner"), f"/kits/{draft}/adopt/"
    first = planner.get(address)
    assert "Adopt it</button>" not in text(first)
    tried = planner.post(address, {**typed(text(first)), "verb": "try"})
    said = words(tried)
    for unit, place in (("switch B", "switch B"), ("lamp", "lamp")):
        tag = Unit.objects.get(pk=gear.units[unit]).tag
        assert f"{tag} Stage case 2, {place} loose" in said
    assert "switch B Router" in said
    assert "desk 2 Sound desk, stage end" in said
    assert "Harvest choirs" in said
    assert show_kit(gear.kit) == before
    assert Kit.objects.filter(pk=draft).exists()


def test_the_kit_takes_the_plan_over_and_keeps_its_bookings(reader, gear: Gear, draft: int) -> None:
    event = show("Harvest choirs")
    booked(event, kit=gear.kit)
    ids = {each["label"]: each["id"] for each in show_kit(gear.kit)["positions"]}  # type: ignore[index]
    wanted = compare_kits(gear.kit, draft, money=False)
    assert wanted is not None
    assert wanted["places"] != []
    _, answer = adopt(reader, draft)
    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{gear.kit}/")
    assert not Kit.objects.filter(pk=draft).exists()
    kit = show_kit(gear.kit)
    assert kit is not None
    assert (kit["name"], kit["purpose"], kit["colour"]) == ("Stage case 2", "stage, all of it", "red")
    held = {each["label"]: each["unit"] for each in kit["positions"]}
    assert held.keys() == {*ids, "desk 2"} - {"lamp"}
    assert (held["switch A"], held["switch B"], held["desk 2"]) == (gear.units["switch A"], None, None)
    assert {each["id"] for each in kit["positions"] if each["label"] in ids} <= set(ids.values())
    assert "desk 2" in {each["label"] for each in kit["links"]}
    assert "trunk" not in {each["label"] for each in kit["links"]}
    assert Booking.objects.get(event=event).kit_id == gear.kit
    assert Shortfall.objects.filter(booking__event=event, closed_at=None, spec__name="Router").count() == 1
    assert "planner adopted the planned change Next year" in words(reader("viewer").get(f"/kits/{gear.kit}/"))


def test_what_was_packed_into_the_plan_moves_along(reader, gear: Gear, draft: int) -> None:
    desk = make_unit(gear.specs["desk"])
    write(None, lambda c: edit_position(c, draft, at(draft, "desk 2"), fields={"unit": desk}))
    tried, _ = adopt(reader, draft)
    assert f"{Unit.objects.get(pk=desk).tag} Next year, desk 2 desk 2" in words(tried)
    assert Position.objects.get(unit=desk).kit_id == gear.kit


def test_a_brief_names_the_places_of_the_kit_afterwards(reader, gear: Gear, draft: int) -> None:
    asked = {"firmware": [{"position": at(draft, "desk 2"), "version": "4.2"}]}
    write(None, lambda c: edit_kit(c, draft, fields={"brief": asked}))
    adopt(reader, draft)
    kit = show_kit(gear.kit)
    assert kit is not None
    assert kit["brief"] is not None
    assert [(each["position"], each["label"]) for each in kit["brief"]["firmware"]] == [
        (at(gear.kit, "desk 2"), "desk 2")
    ]


def test_what_cannot_be_adopted_is_refused_in_words(reader, gear: Gear, draft: int) -> None:
    planner, address = reader("planner"), f"/kits/{draft}/adopt/"
    form = typed(text(planner.get(address)))
    case = make_unit(gear.specs["case"])
    write(None, lambda c: edit_kit(c, draft, fields={"case": case}))
    stale = planner.post(address, {**form, "verb": "adopt"})
    assert stale.status_code == 412
    refused = planner.post(address, {**typed(text(stale)), "verb": "try"})
    assert refused.status_code == 400
    assert "has a case of its own" in words(refused)
    write(None, lambda c: edit_kit(c, draft, fields={"case": None}))
    write(None, lambda c: retire_kit(c, gear.kit))
    again = planner.post(address, {**typed(text(planner.get(address))), "verb": "try"})
    assert "is out of use. Take it back into use first." in words(again)
    assert planner.get(f"/kits/{gear.kit}/adopt/").status_code == 404
    assert reader("crew").get(address).status_code == 403


def test_the_comparison_lists_places_and_connections_that_differ(reader, gear: Gear, draft: int) -> None:
    page = words(reader("viewer").get(f"/kits/compare/?a={gear.kit}&b={draft}"))
    for row in (
        "switch B , differs Compact switch, four of eight ports powered Router",
        "lamp , differs Lamp for the case (spare) none",
        "desk 2 , differs none Sound desk, stage end",
        "switch A 8 to switch B 8 , differs trunk not connected",
        "desk 2 net to switch A 7 , differs not connected desk 2, green",
    ):
        assert row in page
    same = words(reader("viewer").get(f"/kits/compare/?a={gear.kit}&b={gear.kit}"))
    assert "The same places for the same types." in same
    assert "The same ports are connected." in same
