"""All connections of a kit as lines: what is read, what is refused, and that all of it is one edit and one check."""

import pytest

from inventory.models import Kit, Link
from inventory.selectors.drawings import kit_facts
from inventory.selectors.kits import show_kit
from inventory.services.specs import create_spec
from tests.web.company import Gear, stage_case, write
from tests.web.reading import text, words
from tests.web.test_kits import position
from tests.web.typed import typed
from web.link_lines import UnreadLinesError
from web.views.kits.link_lines import lines_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def gear() -> Gear:
    write(None, lambda c: create_spec(c, fields={"name": "Patch lead, 0.5 m", "kind": "cable"}))
    return stage_case()


def read(gear: Gear, lines: str) -> list[tuple[str, str, bool, str, str]]:
    facts = kit_facts(gear.kit)
    assert facts is not None
    labels = {each.id: each.label for each in facts.positions}
    return [
        (
            *(f"{labels[end.position]} {end.port}" for end in (draft.a, draft.b)),
            draft.cable_spec is not None,
            draft.label,
            draft.colour,
        )
        for draft in lines_of(facts).read(lines)
    ]


PLAIN = ("case LAN 1 rear", "switch A 1")


@pytest.mark.parametrize(
    ("lines", "found"),
    [
        ("case LAN 1 rear; switch A 1", [(*PLAIN, False, "", "")]),
        ("CASE lan 1 REAR - switch a 1", [(*PLAIN, False, "", "")]),
        ("case LAN 1 rear to switch A 1; patch lead, 0.5 M; W-11; blue", [(*PLAIN, True, "W-11", "blue")]),
        ("case LAN 1 rear\tswitch A 1\t\tW-11", [(*PLAIN, False, "W-11", "")]),
        ("\n \ncase LAN 1 rear; switch A 1;;;BU\n", [(*PLAIN, False, "", "BU")]),
        (
            "case LAN 1-2 rear; switch A 1-2",
            [(*PLAIN, False, "", ""), ("case LAN 2 rear", "switch A 2", False, "", "")],
        ),
        ("", []),
    ],
)
def test_lines_are_read(gear: Gear, lines: str, found) -> None:
    assert read(gear, lines) == found


@pytest.mark.parametrize(
    ("lines", "sentence"),
    [
        ("case LAN 1 rear", "Line 1: Say both ends"),
        ("\ncase LAN 1-3 rear; switch A 1-2", "Line 2: 3 ports on one side and 2 on the other"),
        ("case LAN 1 rear; switch A 1; String", "No lead of the kit and no type of lead is called String."),
        ("case LAN 1 rear; switch A 1;;;plaid", "There is no tape plaid."),
        ("case LAN 1 rear; switch A 1;;;blue;5", "After the tape nothing more is read"),
        ("case LAN 1 rear; switch A 77", "switch A has no port 77."),
    ],
)
def test_a_line_that_cannot_be_read_is_told_by_its_number(gear: Gear, lines: str, sentence: str) -> None:
    with pytest.raises(UnreadLinesError) as refused:
        read(gear, lines)
    assert sentence in str(refused.value)


def test_what_stands_is_written_as_it_is_read(gear: Gear) -> None:
    facts = kit_facts(gear.kit)
    assert facts is not None
    lines = lines_of(facts)
    written = lines.written(facts)
    assert written.splitlines()[0] == "case LAN 1 rear; switch A 1; ; W-11"
    assert written.splitlines() == lines.told(lines.read(written))


def links(gear: Gear) -> dict[int, tuple[str, str, str]]:
    kit = show_kit(gear.kit)
    assert kit is not None
    return {
        each["id"]: (*(f"{each[end]['label']} {each[end]['port']}" for end in ("from", "to")), each["label"])
        for each in kit["links"]
    }


def test_many_connections_are_saved_as_one_edit_and_those_that_stay_keep_their_ids(reader, gear: Gear) -> None:
    planner, address = reader("planner"), f"/kits/{gear.kit}/links/"
    form, before = typed(text(planner.get(address))), links(gear)
    version = Kit.objects.get(pk=gear.kit).version
    lines = form["lines"].replace("switch A 8; switch B 8", "switch A 7; switch B 7").replace("W-12", "W-99")
    told = planner.post(address, {**form, "lines": lines, "verb": "read"})
    assert "2 to be made, 2 to be unplugged. Nothing is saved yet." in words(told)
    assert links(gear) == before
    answer = planner.post(address, {**form, "lines": lines, "verb": "save"})
    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{gear.kit}/#wiring")
    after = links(gear)
    assert set(before) - set(after) == {at for at, each in before.items() if each[2] == "trunk"}
    assert {each[2] for at, each in after.items() if at in before and each != before[at]} == {"W-99"}
    assert ("switch A 7", "switch B 7", "trunk") in after.values()
    assert Kit.objects.get(pk=gear.kit).version == version + 1
    assert "planner rewired it: made 1, changed 1, unplugged 1" in words(planner.get(f"/kits/{gear.kit}/"))


def test_lines_that_change_nothing_are_no_edit(reader, gear: Gear) -> None:
    planner, address = reader("planner"), f"/kits/{gear.kit}/links/"
    version = Kit.objects.get(pk=gear.kit).version
    assert planner.post(address, typed(text(planner.get(address)))).status_code == 303
    assert Kit.objects.get(pk=gear.kit).version == version


def test_a_port_that_two_lines_want_is_refused_and_nothing_is_saved(reader, gear: Gear) -> None:
    planner, address = reader("planner"), f"/kits/{gear.kit}/links/"
    form, before = typed(text(planner.get(address))), links(gear)
    refused = planner.post(address, {**form, "lines": f"{form['lines']}\nswitch A 8; switch B 7"})
    assert refused.status_code == 409
    assert "Port 8 of switch A has a connection already." in words(refused)
    assert "switch A 8; switch B 7" in text(refused)
    assert links(gear) == before


def test_a_lead_of_the_kit_moves_from_one_connection_to_another(reader, gear: Gear) -> None:
    from inventory.models import Position, Spec

    lead = Position.objects.create(
        kit_id=gear.kit, label="spare lead", role="spare", spec=Spec.objects.get(name="Patch lead, 0.5 m"), sort=99
    )
    Link.objects.filter(label="W-11").update(cable_position=lead)
    planner, address = reader("planner"), f"/kits/{gear.kit}/links/"
    form = typed(text(planner.get(address)))
    lines = form["lines"].replace("; spare lead; W-11", "; ; W-11").replace("; ; W-12", "; spare lead; W-12")
    assert planner.post(address, {**form, "lines": lines}).status_code == 303
    assert Link.objects.get(cable_position=lead).label == "W-12"


def test_a_connection_is_moved_by_picking_its_other_end(reader, gear: Gear) -> None:
    link = next(at for at, each in links(gear).items() if each[2] == "desk")
    planner, address = reader("planner"), f"/kits/{gear.kit}/links/{link}/"
    form = typed(text(planner.get(address)))
    assert (form["label"], form["colour"]) == ("desk", "ye")
    form["b"] = f"{position(gear, 'case')}:LAN 6"
    assert planner.post(address, form).status_code == 303
    assert links(gear)[link] == ("sound desk net", "case LAN 6", "desk")
    assert Link.objects.get(pk=link).colour == "YE"
    taken = {**typed(text(planner.get(address))), "b": f"{position(gear, 'case')}:LAN 1"}
    assert planner.post(address, taken).status_code == 400
    assert planner.get(f"/kits/{gear.kit}/links/999999/").status_code == 404
    assert reader("crew").get(address).status_code == 403
