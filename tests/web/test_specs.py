"""Data sheets on pages: the list, a sheet with where its numbers came from, and the forms that write them."""

import pytest

from inventory.models import Port, Spec
from inventory.services.specs import create_spec
from tests.scheduling.factories import SpecFactory, UnitFactory
from tests.web.company import write
from tests.web.reading import text
from web.views.specs.new import EXAMPLES, read_back

pytestmark = pytest.mark.django_db

LINE = "1-4 8p8c 1G class4 out; 5-8 8p8c 1G; dc dc-5.5x2.1 48-57V 78W"
NEW = {
    "name": "Compact switch",
    "kind": "switch",
    "ports_text": LINE,
    "origin": "label",
    "poe-budget_w": "65",
    "verb": "write",
}


@pytest.fixture
def spec() -> Spec:
    from calc.ports_text import parse

    fields = {
        "name": "Switch, eight ports",
        "kind": "switch",
        "weight_kg": 0.6,
        "replacement_cost": "120.50",
        "poe": {"budget_w": 65.0, "allotment": "class"},
        "network": {"vlans": True},
        "provenance": {"weight_kg": "measured", "power.max_w": "unknown"},
        "ports": parse(LINE, "switch"),
    }
    return Spec.objects.get(pk=write(None, lambda c: create_spec(c, fields=fields)))


def at(spec: Spec, rest: str = "") -> str:
    return f"/specs/{spec.pk}/{rest}"


def stamped(spec: Spec, **typed: object) -> dict[str, object]:
    spec.refresh_from_db()
    return {"version": spec.version, "ledger": 0, **typed}


# The list


def test_an_empty_list_says_what_to_do_first(reader) -> None:
    planner, viewer = text(reader("planner").get("/specs/")), text(reader("viewer").get("/specs/"))
    assert "No types yet" in planner
    assert 'href="/specs/new/"' in planner
    assert 'href="/specs/new/"' not in viewer


def test_the_list_is_narrowed_by_words_and_kind(reader, spec) -> None:
    SpecFactory(name="Camera on a stick", kind="camera")
    viewer = reader("viewer")
    assert "Camera on a stick" in text(viewer.get("/specs/"))
    by_word = text(viewer.get("/specs/?q=eight switch"))
    assert spec.name in by_word
    assert "Camera on a stick" not in by_word
    assert spec.name not in text(viewer.get("/specs/?kind=camera"))
    assert "No type goes by that" in text(viewer.get("/specs/?q=nothing such\x00"))


# The sheet


def test_the_sheet_shows_numbers_with_where_they_came_from(reader, spec) -> None:
    page = " ".join(text(reader("viewer").get(at(spec))).split())
    assert '>Weight</th><td class="num">0.6 kg</td><td class="small">measured</td>' in page
    assert '>Power budget</th><td class="num">65 W</td><td class="small">data sheet</td>' in page
    assert '>VLANs</th><td class="num">yes</td>' in page
    assert '>Width</th><td class="num unknown">not known</td><td class="small"></td>' in page
    assert "Battery: nothing is written down" in page
    assert "gives class 4" in page
    assert "takes 48 to 57 V, 78 W" in page


def test_what_it_costs_is_for_those_who_may_see_money(reader, spec) -> None:
    assert "120.50 EUR" in text(reader("crew").get(at(spec)))
    assert "120.50" not in text(reader("viewer").get(at(spec)))


def test_its_units_are_listed_with_what_can_be_said_of_them(reader, spec) -> None:
    unit = UnitFactory(spec=spec, state="held-back", condition="dented")
    page = text(reader("viewer").get(at(spec)))
    assert f'href="/units/{unit.pk}/"' in page
    assert "held back" in page
    assert "dented" in page


def test_only_a_planner_is_offered_to_change_the_sheet(reader, spec) -> None:
    assert f"{at(spec)}numbers/" in text(reader("planner").get(at(spec)))
    for role in ("viewer", "crew", "electrics"):
        page = text(reader(role).get(at(spec)))
        assert f"{at(spec)}numbers/" not in page
        assert f"{at(spec)}edit/" not in page
        assert "/units/new/" not in page


@pytest.mark.parametrize("rest", ["edit/", "numbers/weight_kg/", "ports/", "ports/1/"])
@pytest.mark.parametrize("role", ["viewer", "crew", "electrics"])
def test_the_wrong_role_is_refused_even_when_forced(reader, spec, role: str, rest: str) -> None:
    somebody = reader(role)
    assert somebody.get(at(spec, rest)).status_code == 403
    assert somebody.post(at(spec, rest), stamped(spec, value="9", name="x")).status_code == 403
    spec.refresh_from_db()
    assert spec.version == 1


def test_what_people_wrote_is_text_and_not_markup(reader) -> None:
    evil = SpecFactory(name="<b>bold</b>", maker='"><script>alert(1)</script>')
    page = text(reader("planner").get(f"/specs/{evil.pk}/")) + text(reader("planner").get("/specs/"))
    assert "<b>bold" not in page
    assert "<script>alert" not in page


def test_a_sheet_that_is_not_there(reader) -> None:
    planner = reader("planner")
    for rest in ("", "edit/", "numbers/weight_kg/", "ports/", "ports/1/"):
        assert planner.get(f"/specs/999999/{rest}").status_code == 404
    assert planner.get("/specs/999999/numbers/no_such/").status_code == 404


# A new sheet


@pytest.mark.parametrize(("what", "line"), EXAMPLES)
def test_every_line_that_is_shown_as_an_example_can_be_read(what: str, line: str) -> None:
    reading = read_back({"ports_text": line, "kind": ""})
    assert reading.refusal == ""
    assert reading.ports >= 1


def test_a_line_becomes_a_sheet(reader) -> None:
    answer = reader("planner").post("/specs/new/", NEW)
    spec = Spec.objects.get()
    assert (answer.status_code, answer["Location"]) == (303, at(spec))
    assert spec.ports.count() == 9
    assert spec.poe.budget_w == 65
    assert spec.provenance == {"poe.budget_w": "label"}
    assert spec.weight_kg is None


def test_without_a_script_the_line_is_read_back_and_nothing_is_written(reader) -> None:
    answer = reader("planner").post("/specs/new/", {**NEW, "verb": "read"})
    page = text(answer)
    assert answer.status_code == 200
    assert "Read as 9 ports." in page
    assert "1, 2, 3, 4" in page
    assert 'value="Compact switch"' in page
    assert not Spec.objects.exists()


def test_with_a_script_only_the_reading_is_answered(reader) -> None:
    answer = reader("planner").post("/specs/new/", {**NEW, "verb": "read"}, headers={"HX-Request": "true"})
    assert "Read as 9 ports." in text(answer)
    assert "<html" not in text(answer)


def test_what_cannot_be_read_is_shown_with_its_place(reader) -> None:
    planner = reader("planner")
    bad = {**NEW, "ports_text": "1-4 8p8c <1G>"}
    part = text(planner.post("/specs/new/", {**bad, "verb": "read"}, headers={"HX-Request": "true"}))
    assert "Column 10" in part
    assert "1-4 8p8c <mark>&lt;1G&gt;</mark>" in part
    whole = planner.post("/specs/new/", bad)
    assert whole.status_code == 400
    assert "f-ports_text_error" in text(whole)
    assert 'value="Compact switch"' in text(whole)
    assert 'value="65"' in text(whole)
    assert not Spec.objects.exists()


@pytest.mark.parametrize(
    ("field", "value"), [("name", ""), ("kind", "spaceship"), ("weight_kg", "-1"), ("weight_kg", "nan")]
)
def test_what_cannot_be_used_is_said_beside_its_field(reader, field: str, value: str) -> None:
    answer = reader("planner").post("/specs/new/", {**NEW, field: value})
    assert answer.status_code == 400
    assert f"f-{field}_error" in text(answer)
    assert LINE in text(answer)


def test_a_line_typed_without_a_session_is_kept_and_laid_back(reader, people) -> None:
    import re

    people["planner"]
    nobody = reader()
    asked = nobody.post("/specs/new/", {**NEW, "verb": "read"}, headers={"HX-Request": "true"})
    assert asked.status_code == 401
    assert asked["HX-Retarget"] == "body"
    kept = re.search(r'name="kept" value="([^"]+)"', text(asked))
    signing_in = {"username": "planner", "password": "a long enough password", "kept": kept[1]}
    back = nobody.post("/sign-in/", signing_in)
    assert back["Location"] == "/specs/new/"
    page = text(nobody.get("/specs/new/"))
    assert LINE in page
    assert 'value="Compact switch"' in page
    assert "This is what you typed before signing in" in page


# Editing


def test_one_number_is_typed_with_where_it_came_from(reader, spec) -> None:
    answer = reader("planner").post(at(spec, "numbers/power.max_w/"), stamped(spec, value="31.5", origin="measured"))
    assert (answer.status_code, answer["Location"]) == (303, at(spec))
    spec.refresh_from_db()
    assert spec.power.max_w == 31.5
    assert spec.provenance == {"weight_kg": "measured", "power.max_w": "measured"}


@pytest.mark.parametrize(
    ("path", "typed", "column"),
    [
        ("weight_kg", "", None),
        ("network.vlans", "no", False),
        ("network.vlans", "", None),
        ("cable.awg", "23", 23),
        ("poe.allotment", "measured", "measured"),
        ("cable.category", "6A", "6A"),
    ],
)
def test_each_kind_of_fact_is_read(reader, spec, path: str, typed: str, column: object) -> None:
    answer = reader("planner").post(at(spec, f"numbers/{path}/"), stamped(spec, value=typed, origin="label"))
    assert answer.status_code == 303
    spec.refresh_from_db()
    sheet, _, name = path.rpartition(".")
    assert getattr(getattr(spec, sheet) if sheet else spec, name) == column


def test_a_number_beyond_what_can_be_is_refused_by_the_database(reader, spec) -> None:
    answer = reader("planner").post(at(spec, "numbers/power.power_factor/"), stamped(spec, value="1.2", origin="label"))
    assert answer.status_code == 400
    assert 'value="1.2"' in text(answer)


def test_a_number_that_somebody_else_changed_meanwhile_is_not_lost(reader, spec) -> None:
    planner = reader("planner")
    old = stamped(spec, value="5", origin="label")
    planner.post(at(spec, "numbers/weight_kg/"), stamped(spec, value="4", origin="measured"))
    answer = planner.post(at(spec, "numbers/weight_kg/"), old)
    assert answer.status_code == 412
    assert "What changed meanwhile" in text(answer)
    assert 'value="5"' in text(answer)
    spec.refresh_from_db()
    assert spec.weight_kg == 4


def test_what_else_a_sheet_says_is_changed_at_once(reader, spec) -> None:
    typed = {"name": "Switch, new", "kind": "switch", "maker": "Somebody", "country_of_origin": "CH", "currency": "CHF"}
    answer = reader("planner").post(at(spec, "edit/"), stamped(spec, **typed, inspection_interval_days="365"))
    assert answer.status_code == 303
    spec.refresh_from_db()
    assert (spec.name, spec.country_of_origin, spec.inspection_interval_days) == ("Switch, new", "CH", 365)
    assert spec.replacement_cost is None
    assert spec.ports.count() == 9


def test_more_ports_are_added_to_those_that_stand(reader, spec) -> None:
    reader("planner").post(at(spec, "ports/"), stamped(spec, ports_text="console usb-c"))
    assert [port.name for port in spec.ports.all()] == [*"12345678", "dc", "console"]
    answer = reader("planner").post(at(spec, "ports/"), stamped(spec, ports_text="dc usb-c"))
    assert answer.status_code == 400
    assert "The name dc is used 2 times." in text(answer)
    assert "dc usb-c" in text(answer)


def port_form(spec: Spec, number: int, reader, **changes: object) -> dict[str, object]:
    form = reader("planner").get(at(spec, f"ports/{number}/")).context["page"].form
    typed = {name: "" if (value := form[name].value()) is None else value for name in form.fields if name != "remove"}
    return typed | stamped(spec) | changes


def test_one_port_is_changed_and_the_others_stay(reader, spec) -> None:
    before = list(Port.objects.exclude(name="dc").values())
    typed = port_form(spec, 9, reader, name="DC in", watts="81", origin="measured")
    answer = reader("planner").post(at(spec, "ports/9/"), typed)
    assert answer.status_code == 303
    port = spec.ports.get(name="DC in")
    assert (port.power_watts, port.power_volts_max) == (81, 57)
    spec.refresh_from_db()
    assert spec.provenance["ports.DC in.power.watts"] == "measured"
    assert list(Port.objects.exclude(name="DC in").values()) == before


def test_the_leg_of_an_outlet_is_shown_and_changed(reader, spec) -> None:
    reader("planner").post(at(spec, "ports/"), stamped(spec, ports_text="out 1-2 c13 230V rcd30 L1"))
    assert "residual current 30 mA, on L1" in text(reader("planner").get(at(spec)))
    typed = port_form(spec, 11, reader, leg="L3")
    assert reader("planner").post(at(spec, "ports/11/"), typed).status_code == 303
    legs = spec.ports.filter(connector="c13").values_list("name", "power_leg", "power_rcd_ma")
    assert list(legs) == [("out 1", "L1", 30.0), ("out 2", "L3", 30.0)]


def test_a_port_is_taken_off_the_sheet(reader, spec) -> None:
    reader("planner").post(at(spec, "ports/9/"), port_form(spec, 9, reader, remove="on"))
    assert [port.name for port in spec.ports.all()] == [*"12345678"]


def test_a_port_that_cannot_be_is_refused_and_stays_typed(reader, spec) -> None:
    answer = reader("planner").post(at(spec, "ports/9/"), port_form(spec, 9, reader, through="nowhere"))
    assert answer.status_code == 400
    assert "There is no other port nowhere to join it to." in text(answer)
    assert 'value="nowhere"' in text(answer)
