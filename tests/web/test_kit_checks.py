"""The page of a kit in each state of its check: done, due, broken off; and while somebody edits the kit."""

import re

import pytest
from django.db import connection

from inventory.base.changes import change
from inventory.models import Port
from inventory.services.clone import clone_kit
from inventory.services.kits import edit_kit
from tests.web.busy import break_check, due_now
from tests.web.company import Gear, stage_case, write
from tests.web.reading import text

pytestmark = pytest.mark.django_db


@pytest.fixture
def gear() -> Gear:
    made = stage_case()
    due_now(made.kit)
    return made


def rename(kit: int, name: str) -> None:
    with change(actor_id=None, request_id=name) as c:
        edit_kit(c, kit, fields={"name": name})


def test_a_kit_that_is_edited_is_read_anew_at_every_sight(reader, gear: Gear) -> None:
    somebody = reader("planner")
    for name in ("stage right", "stage middle", "stage right"):
        rename(gear.kit, name)
        assert f"Outside of {name}" in text(somebody.get(f"/kits/{gear.kit}/"))


class Edit:
    """Somebody edits the kit, and commits, when its contents have been read for a page."""

    def __init__(self, kit: int) -> None:
        self.kit, self.is_done = kit, False

    def __call__(self, execute, sql, params, many, context):
        result = execute(sql, params, many, context)
        if "inventory_position_accepts" in sql and not self.is_done:
            self.is_done = True
            rename(self.kit, "stage right")
        return result


def test_an_edit_that_comes_while_the_page_is_read_is_said_to_be_checked(reader, gear: Gear) -> None:
    somebody = reader("planner")
    with connection.execute_wrapper(Edit(gear.kit)):
        page = text(somebody.get(f"/kits/{gear.kit}/"))
    assert "Outside of Stage case 2" in page
    assert "Checking what was changed" in page
    assert "Outside of stage right" in text(somebody.get(f"/kits/{gear.kit}/"))


def test_a_check_that_broke_off_is_said_to_have_with_what_was_found_before(reader, gear: Gear) -> None:
    before = text(reader("crew").get(f"/kits/{gear.kit}/"))
    assert "25 W over" in before
    break_check(gear.kit)
    page = text(reader("crew").get(f"/kits/{gear.kit}/"))
    assert "The check broke off." in page
    assert "It is tried again by itself." in page
    assert page.count("the check broke off</span>") == 2
    assert re.search(r"Before: <span[^>]*>.{,80}Stop</span> ?\. It is tried again by itself", page)
    assert "25 W over" not in page
    assert "Check again" in page
    assert 'hx-trigger="every' not in page


def test_what_calculation_refuses_leaves_the_rest_of_the_page(reader, gear: Gear) -> None:
    break_check(gear.kit)
    somebody = reader("planner")
    page = text(somebody.get(f"/kits/{gear.kit}/"))
    assert (
        len(re.findall("What is in Stage case 2 cannot be worked out: [a-z]+=&#x27;no-such&#x27; is not usable", page))
        == 2
    )
    assert "What goes where cannot be said before that is put right." in page
    assert "Nothing of this kit is on the outside" not in page
    assert "<td>supply A" in page or ">supply A<" in page
    assert "W-11" in page
    for rest in ("wiring/", "links/new/"):
        assert somebody.get(f"/kits/{gear.kit}/{rest}").status_code == 200
    compared = somebody.get(f"/kits/compare/?a={gear.kit}&b={gear.kit}")
    assert compared.status_code == 409
    assert "What is in Stage case 2 cannot be worked out" in text(compared)
    for rest in ("capability/", "drawing.svg"):
        answer = somebody.get(f"/api/v1/kits/{gear.kit}/{rest}")
        assert (answer.status_code, answer.json()["type"].rpartition("/")[2]) == (409, "contents-refused")


def test_a_kit_whose_sheet_is_put_right_is_whole_again(reader, gear: Gear) -> None:
    break_check(gear.kit)
    Port.objects.filter(connector="no-such").update(connector="dc-5.5x2.1")
    due_now(gear.kit)
    page = text(reader("viewer").get(f"/kits/{gear.kit}/"))
    assert "25 W over" in page
    assert "broke off" not in page


def test_a_plan_on_paper_has_no_verdict_on_what_is_packed(reader, gear: Gear) -> None:
    draft = write(None, lambda c: clone_kit(c, gear.kit, name="Draft"))
    due_now(draft)
    for address in (f"/kits/{draft}/", "/kits/"):
        page = reader("viewer").get(address).content.decode()
        assert page.count("On paper") == 1
        assert "not checked yet" not in page
