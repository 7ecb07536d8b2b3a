"""Change a plan on paper, compare it side by side, and see which numbers are worth measuring."""

import re

import pytest

from inventory.checks.drain import drain
from inventory.models import Kit
from inventory.selectors.kits import show_kit
from inventory.selectors.measuring import numbers_worth_measuring
from inventory.services.clone import clone_kit
from inventory.services.contents import delete_link, delete_position
from inventory.services.kits import edit_kit
from inventory.services.specs import edit_spec
from tests.web.company import BRIEF, Gear, make_unit, stage_case, write
from tests.web.reading import text
from web.views.kits.page import LINES_OF_HISTORY

pytestmark = pytest.mark.django_db


@pytest.fixture
def gear() -> Gear:
    made = stage_case()
    drain(pause=lambda _: None)
    return made


def drafted(somebody, gear: Gear) -> int:
    address = f"/kits/{gear.kit}/draft/"
    assert 'value="Stage case 2 (planned change)"' in text(somebody.get(address))
    answer = somebody.post(address, {"name": "With two cameras"})
    assert answer.status_code == 303
    return int(answer["Location"].split("/")[2])


def without_camera_3(draft: int) -> None:
    kit = show_kit(draft)
    assert kit is not None
    camera = next(each["id"] for each in kit["positions"] if each["label"] == "camera 3")
    lead = next(each["id"] for each in kit["links"] if camera in (each["from"]["position"], each["to"]["position"]))
    write(None, lambda c: delete_link(c, draft, lead))
    write(None, lambda c: delete_position(c, draft, camera))


def test_a_draft_is_made_by_a_form_and_leads_to_the_comparison(reader, gear: Gear) -> None:
    somebody = reader("planner")
    draft = drafted(somebody, gear)
    kit = show_kit(draft)
    assert kit is not None
    assert kit["name"] == "With two cameras"
    assert {each["unit"] for each in kit["positions"]} == {None}
    page = text(somebody.get(f"/kits/{draft}/"))
    assert f"/kits/compare/?a={gear.kit}&amp;b={draft}" in page
    assert "A planned change cannot be promised" in page


def test_a_draft_knows_its_origin_however_long_its_history_grows(reader, gear: Gear) -> None:
    somebody = reader("planner")
    draft = drafted(somebody, gear)
    for number in range(LINES_OF_HISTORY + 1):
        write(None, lambda c, n=number: edit_kit(c, draft, fields={"purpose": f"thought {n}"}))
    page = text(somebody.get(f"/kits/{draft}/"))
    assert "made the kit from another" not in page
    assert f'Began with the plan of <a href="/kits/{gear.kit}/">Stage case 2</a>' in page
    assert f"/kits/compare/?a={gear.kit}&amp;b={draft}" in page


def test_a_kit_lists_its_open_drafts_until_they_have_a_case(reader, gear: Gear) -> None:
    somebody = reader("planner")
    first, second = (write(None, lambda c, n=name: clone_kit(c, gear.kit, name=n)) for name in ("One", "Other"))
    page = section(text(somebody.get(f"/kits/{gear.kit}/")), "drafts")
    for draft in (first, second):
        assert f'href="/kits/{draft}/"' in page
        assert f"/kits/compare/?a={gear.kit}&amp;b={draft}" in page
    case = make_unit(gear.specs["case"])
    write(None, lambda c: edit_kit(c, first, fields={"case": case}))
    page = section(text(somebody.get(f"/kits/{gear.kit}/")), "drafts")
    assert f'href="/kits/{first}/"' not in page
    assert f'href="/kits/{second}/"' in page
    assert 'aria-labelledby="drafts"' not in text(somebody.get(f"/kits/{second}/"))


def test_a_draft_needs_a_name_and_somebody_who_plans(reader, gear: Gear) -> None:
    assert reader("planner").post(f"/kits/{gear.kit}/draft/", {"name": ""}).status_code == 400
    assert reader("crew").post(f"/kits/{gear.kit}/draft/", {"name": "x"}).status_code == 403
    assert reader("planner").get("/kits/999999/draft/").status_code == 404
    assert Kit.objects.count() == 1


def section(page: str, name: str) -> str:
    start = page.index(f'aria-labelledby="{name}"')
    return page[start : page.index("</section>", start)]


def test_the_comparison_says_what_only_one_side_finds(reader, gear: Gear) -> None:
    somebody = reader("planner")
    draft = drafted(somebody, gear)
    without_camera_3(draft)
    page = text(somebody.get(f"/kits/compare/?a={gear.kit}&b={draft}"))
    assert "f-stop" in section(page, "side-1")
    assert "f-stop" not in section(page, "side-2")
    assert "1 stop" in section(page, "side-1")
    assert "25 W over 65 W" in section(page, "watts")
    assert "5 W of 65 W" in section(page, "watts")
    assert 'class="bad"' in section(page, "ports")


def test_a_kit_compared_with_itself_differs_in_nothing(reader, gear: Gear) -> None:
    page = text(reader("viewer").get(f"/kits/compare/?a={gear.kit}&b={gear.kit}"))
    assert page.count("Nothing is found only here.") == 2
    assert 'class="bad"' not in page


def test_what_either_is_asked_stands_side_by_side(reader, gear: Gear) -> None:
    address = f"/kits/compare/?a={gear.kit}&b="
    somebody = reader("planner")
    write(None, lambda c: edit_kit(c, gear.kit, fields={"brief": BRIEF}))
    draft = drafted(somebody, gear)
    assert 'class="bad"' not in section(text(somebody.get(f"{address}{draft}")), "asked")
    write(None, lambda c: edit_kit(c, draft, fields={"brief": {"transport": "air"}}))
    rows = section(text(somebody.get(f"{address}{draft}")), "asked")
    assert "<td>by road</td><td>by air, with people</td>" in rows
    assert "<td>40 at once, 2 Mb/s each</td><td>not asked</td>" in rows
    write(None, lambda c: edit_kit(c, gear.kit, fields={"brief": None}))
    assert 'id="asked"' not in text(somebody.get(f"{address}{gear.kit}"))


def test_costs_are_hidden_from_who_may_not_read_money(reader, gear: Gear) -> None:
    write(None, lambda c: edit_spec(c, gear.specs["camera"], fields={"replacement_cost": "700.00"}))
    address = f"/kits/compare/?a={gear.kit}&b={gear.kit}"
    assert "2100.00 EUR" in text(reader("planner").get(address))
    for_viewer = text(reader("viewer").get(address))
    assert "2100" not in for_viewer
    assert "Costs to replace" not in for_viewer


@pytest.mark.parametrize("asked", ["a=1&b=999999", "a=x&b=y", "a=&b="])
def test_a_pair_that_is_not_there_is_refused_in_the_form(reader, gear: Gear, asked: str) -> None:
    answer = reader("viewer").get(f"/kits/compare/?{asked}")
    assert answer.status_code == 400
    assert "side-1" not in text(answer)


def test_one_kit_waits_for_the_other(reader, gear: Gear) -> None:
    page = text(reader("viewer").get(f"/kits/compare/?a={gear.kit}"))
    assert f'<option value="{gear.kit}" selected>' in page
    assert "side-1" not in page


@pytest.fixture
def lacking() -> Gear:
    made = stage_case()
    write(None, lambda c: edit_spec(c, made.specs["switch"], fields={"poe": {"budget_w": None, "allotment": "class"}}))
    Kit.objects.update(check_due_at="2020-01-01T00:00:00Z")
    drain(pause=lambda _: None)
    return made


def test_numbers_worth_measuring_lead_to_where_they_are_typed(reader, lacking: Gear) -> None:
    rows = numbers_worth_measuring()
    assert {"poe.budget_w"} <= {row["number"] for row in rows if row["spec"] == lacking.specs["switch"]}
    planner = reader("planner")
    page = text(planner.get("/measuring/"))
    links = re.findall(r'<a href="(/specs/[^"]+)"', page)
    assert f"/specs/{lacking.specs['switch']}/numbers/poe.budget_w/" in links
    for address in links:
        assert planner.get(address).status_code == 200
    viewer = reader("viewer")
    for address in re.findall(r'<a href="(/specs/\d[^"]*)"', text(viewer.get("/measuring/"))):
        assert viewer.get(address).status_code == 200
    assert 'href="/measuring/"' in text(planner.get(f"/kits/{lacking.kit}/"))


def test_nothing_is_missing_where_nothing_was_checked(reader) -> None:
    assert "No check waits for a number" in text(reader("viewer").get("/measuring/"))
