"""What a kit is told by itself, changed by a form; out of use, back into it, and discarded."""

import re

import pytest

from inventory.models import Kit
from inventory.selectors.measuring import numbers_worth_measuring
from inventory.services.clone import clone_kit
from inventory.services.kits import edit_kit
from scheduling.models import Shortfall
from tests.web.company import Gear, make_unit, stage_case, write
from tests.web.reading import text, words
from tests.web.shows import booked, show
from tests.web.test_kits import checked, tag_of
from tests.web.typed import typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def gear() -> Gear:
    return stage_case()


def test_a_kit_is_told_anew_and_only_what_was_changed_is_written(reader, gear: Gear) -> None:
    planner, address = reader("planner"), f"/kits/{gear.kit}/edit/"
    form = typed(text(planner.get(address)))
    assert (form["name"], form["purpose"]) == ("Stage case 2", "stage left")
    write(None, lambda c: edit_kit(c, gear.kit, fields={"purpose": "stage right"}))
    form = typed(text(planner.get(address)))
    answer = planner.post(address, {**form, "name": "Stage case 3", "ambient_celsius": "31.5", "colour": "bu"})
    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{gear.kit}/")
    kit = Kit.objects.get(pk=gear.kit)
    assert (kit.name, kit.purpose, kit.ambient_celsius, kit.colour) == ("Stage case 3", "stage right", 31.5, "blue")
    page = planner.get(f"/kits/{gear.kit}/")
    assert "planner changed the ambient celsius" not in words(page)
    assert "the temperature around it" in words(page)
    assert 'title="blue"' in text(page)


def test_the_case_is_swapped_and_taken_out_by_its_tag(reader, gear: Gear) -> None:
    planner, address = reader("planner"), f"/kits/{gear.kit}/edit/"
    other = make_unit(gear.specs["case"])
    form = typed(text(planner.get(address)))
    assert planner.post(address, {**form, "case": tag_of(other)}).status_code == 303
    assert Kit.objects.get(pk=gear.kit).positions.get(role="case").unit_id == other
    form = typed(text(planner.get(address)))
    assert planner.post(address, {**form, "case": ""}).status_code == 303
    assert Kit.objects.get(pk=gear.kit).positions.get(role="case").unit_id is None


def test_a_kit_out_of_use_lies_loose_is_listed_apart_and_comes_back_as_a_plan(reader, gear: Gear) -> None:
    planner, address = reader("planner"), f"/kits/{gear.kit}/use/"
    event = show("Harvest choirs")
    booked(event, kit=gear.kit)
    page = planner.get(address)
    assert "Harvest choirs" in words(page)
    answer = planner.post(address, {**typed(text(page)), "verb": "retire"})
    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{gear.kit}/")
    kit = Kit.objects.get(pk=gear.kit)
    assert kit.retired_at is not None
    assert not kit.positions.filter(unit__isnull=False).exists()
    assert Shortfall.objects.filter(booking__event=event, closed_at=None).exists()
    assert "Out of use since" in words(planner.get(f"/kits/{gear.kit}/"))
    assert "Stage case 2" not in text(planner.get("/kits/"))
    assert "Stage case 2" in text(planner.get("/kits/?retired"))
    assert "Stage case 2" not in text(planner.get("/free/"))
    spare = make_unit(gear.specs["case"])
    form = typed(text(planner.get(f"/kits/{gear.kit}/edit/")))
    refused = planner.post(f"/kits/{gear.kit}/edit/", {**form, "case": tag_of(spare)})
    assert refused.status_code == 400
    assert "Take it back into use first." in words(refused)
    again = typed(text(planner.get(address)))
    assert planner.post(address, {**again, "verb": "restore"}).status_code == 303
    assert Kit.objects.get(pk=gear.kit).retired_at is None


def test_a_planned_change_is_discarded_and_what_was_booked_is_not(reader, gear: Gear) -> None:
    planner = reader("planner")
    draft = write(None, lambda c: clone_kit(c, gear.kit, name="Plan B"))
    form = typed(text(planner.get(f"/kits/{draft}/use/")))
    answer = planner.post(f"/kits/{draft}/use/", {**form, "verb": "discard"})
    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{gear.kit}/")
    assert not Kit.objects.filter(pk=draft).exists()
    booked(show("Harvest choirs"), kit=gear.kit)
    form = typed(text(planner.get(f"/kits/{gear.kit}/use/")))
    refused = planner.post(f"/kits/{gear.kit}/use/", {**form, "verb": "discard"})
    assert refused.status_code == 409
    assert "has a history and cannot be deleted" in words(refused)


@pytest.mark.parametrize("rest", ["edit/", "use/"])
def test_who_may_not_edit_is_shown_no_way_and_no_form(reader, gear: Gear, rest: str) -> None:
    assert f"/kits/{gear.kit}/{rest}" in text(reader("planner").get(f"/kits/{gear.kit}/"))
    assert f"/kits/{gear.kit}/{rest}" not in text(reader("crew").get(f"/kits/{gear.kit}/"))
    assert reader("crew").get(f"/kits/{gear.kit}/{rest}").status_code == 403
    assert reader("planner").get(f"/kits/999999/{rest}").status_code == 404


def test_every_number_worth_measuring_leads_to_where_it_is_typed(reader, gear: Gear) -> None:
    """Of a kit, a port, a sheet, a brief; the temperature around a kit is one of them."""
    write(None, lambda c: edit_kit(c, gear.kit, fields={"build": "steel"}))
    for column in ("width_mm", "depth_mm", "height_mm"):
        from inventory.models import Spec

        Spec.objects.filter(pk=gear.specs["case"]).update(**{column: 500})
    checked()
    asked = {row["number"] for row in numbers_worth_measuring()}
    assert "kit.ambient_celsius" in asked
    planner = reader("planner")
    page = text(planner.get("/measuring/"))
    rows = re.findall(r"<tbody>(.*?)</tbody>", page, re.DOTALL)[0].split("</tr>")[:-1]
    assert len(rows) == len(asked)
    for row in rows:
        address = re.search(r'<th scope="row"><a href="([^"#]+)', row)
        assert address is not None, row
        assert planner.get(address[1].replace("&amp;", "&"), follow=True).status_code == 200
    assert f'href="/kits/{gear.kit}/edit/#f-ambient_celsius"' in page


def test_a_port_is_found_by_its_name(reader, gear: Gear) -> None:
    planner, sheet = reader("planner"), f"/specs/{gear.specs['case']}/ports/"
    answer = planner.get(f"{sheet}named/", {"name": "LAN 2 rear"})
    assert (answer.status_code, answer["Location"]) == (303, f"{sheet}4/")
    assert planner.get(f"{sheet}named/", {"name": "LAN 99"}).status_code == 404
    assert planner.get("/specs/999999/ports/named/", {"name": "1"}).status_code == 404
