"""The drawings: what they show, where things stand, and the files that programs ask for."""

import sys
from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest

from calc.rig.ends import End
from calc.rig.kit import Kit, Link, Port, PortPoe, Position, Spec
from calc.rig.wiring import wire
from inventory.checks.drain import drain
from inventory.drawings import layout
from inventory.drawings.graph import WALL, graph
from inventory.drawings.holes import holes
from inventory.drawings.layout import content_hash, lay_out
from inventory.drawings.panel import panel, short
from inventory.drawings.symbols import OTHER, sprite, symbol_of
from inventory.drawings.tape import tape
from inventory.drawings.wiring import wiring
from inventory.selectors.checks import read_check
from inventory.selectors.drawings import assembled, is_laid_out, kit_facts, wiring_drawing, wiring_graph
from tests.web.company import Gear, stage_case

SVG = "{http://www.w3.org/2000/svg}"


def port(name: str, **more) -> Port:
    return Port(**{"name": name, "connector": "8p8c", "side": "socket", "carries": "ethernet", **more})


def big_kit(switches: int = 6, devices_each: int = 9) -> Kit:
    """A rack of switches in a chain, devices on each, and a panel: 60 positions that are wired."""
    case = Spec(
        id=1,
        name="Rack",
        kind="case",
        ports=tuple(
            each
            for n in range(1, switches + 1)
            for each in (port(f"LAN {n}", face="outside", through=f"rear {n}"), port(f"rear {n}", through=f"LAN {n}"))
        ),
    )
    switch = Spec(
        id=2,
        name="Switch, sixteen ports",
        kind="switch",
        ports=tuple(port(str(n), group="fabric", poe=PortPoe(role="source", poe_class=4)) for n in range(1, 17)),
    )
    device = Spec(
        id=3, name="Camera, class 3", kind="camera", ports=(port("lan", poe=PortPoe(role="load", poe_class=3)),)
    )
    positions = [Position(id=1, label="case", role="case", spec=case)]
    links = []

    def join(a: tuple[int, str], b: tuple[int, str]) -> None:
        ends = [End(position=position, port=name) for position, name in (a, b)]
        links.append(Link(id=len(links) + 1, a=ends[0], b=ends[1], label=f"W-{len(links) + 1}"))

    for s in range(switches):
        own = 100 * (s + 1)
        positions.append(Position(id=own, label=f"switch {s + 1}", role="required", spec=switch))
        join((1, f"rear {s + 1}"), (own, "1"))
        if s:
            join((own - 100, "16"), (own, "2"))
        for d in range(devices_each):
            positions.append(Position(id=own + d + 1, label=f"camera {s + 1}.{d + 1}", role="required", spec=device))
            join((own, str(d + 3)), (own + d + 1, "lan"))
    return Kit(id=1, name="Big rack", positions=tuple(positions), links=tuple(links))


def wired_of(kit: Kit):
    from calc.rig.capability import NO_DATE

    return wire([kit], view="design", as_of=NO_DATE)


def overlap(a: dict, b: dict) -> bool:
    return not (
        a["x"] + a["width"] <= b["x"]
        or b["x"] + b["width"] <= a["x"]
        or a["y"] + a["height"] <= b["y"]
        or b["y"] + b["height"] <= a["y"]
    )


def test_sixty_devices_are_laid_out_apart_with_lines_that_end_at_their_ports() -> None:
    wired = wired_of(big_kit())
    drawn = graph(wired, holes(wired))
    assert len(drawn.boxes) == 60
    laid = lay_out(drawn.for_layout())
    assert not any(overlap(a, b) for a, b in combinations(laid["children"], 2))
    spots = {
        each["id"]: (box["x"] + each["x"], box["y"] + each["y"], each.get("width", 0), each.get("height", 0))
        for box in laid["children"]
        for each in box["ports"]
    }
    for edge in laid["edges"]:
        section = edge["sections"][0]
        for name, point in ((edge["sources"][0], section["startPoint"]), (edge["targets"][0], section["endPoint"])):
            x, y, width, height = spots[name]
            assert x - 1 <= point["x"] <= x + width + 1
            assert y - 1 <= point["y"] <= y + height + 1
        way = [section["startPoint"], *section.get("bendPoints", ()), section["endPoint"]]
        assert all(a["x"] == b["x"] or a["y"] == b["y"] for a, b in pairwise(way))


def test_the_same_wiring_is_laid_out_the_same_and_known_by_its_content() -> None:
    wired = wired_of(big_kit(2, 3))
    one, other = (graph(wired, holes(wired)).for_layout() for _ in range(2))
    assert content_hash(one) == content_hash(other)
    assert lay_out(one) == lay_out(other)
    fewer = wired_of(big_kit(2, 2))
    assert content_hash(graph(fewer, holes(fewer)).for_layout()) != content_hash(one)


def test_holes_stand_on_the_wall_in_their_order() -> None:
    wired = wired_of(big_kit(3, 1))
    drawn = graph(wired, holes(wired))
    wall = next(each for each in lay_out(drawn.for_layout())["children"] if each["id"] == WALL)
    heights = [each["y"] for each in wall["ports"] if each["id"].endswith(":in")]
    assert heights == sorted(heights)
    assert len(heights) == 3


def test_a_finding_is_marked_on_its_line_and_on_its_hole() -> None:
    wired = wired_of(big_kit(1, 1))
    marks = {(100, "1"): "stop"}
    seen = holes(wired, marks=marks)
    assert seen[0].severity == "stop"
    drawn = graph(wired, seen)
    svg = wiring(drawn, lay_out(drawn.for_layout()), name="x", marks=marks)
    lead = next(each for each in svg.iter("g") if each.get("id") == "w-k1")
    assert [each.get("href") for each in lead.iter("use")] == ["#s-stop"]
    face = panel(seen, name="x")
    assert "#s-stop" in [each.get("href") for each in face.iter("use")]


def test_power_is_drawn_as_a_dot_at_the_end_that_gives_it() -> None:
    wired = wired_of(big_kit(1, 1))
    drawn = graph(wired, holes(wired))
    beads = {lead.key: lead.bead for lead in drawn.leads}
    assert beads == {"k1": None, "k2": "p100:3"}


def test_every_half_of_the_register_has_a_symbol_of_the_sprite() -> None:
    from calc.connectors import all_connectors

    known = {each.get("id") for each in sprite("c-")}
    plain = set()
    for connector in all_connectors():
        for side in connector.sides:
            symbol = symbol_of(connector.code, side)
            assert symbol in known
            if symbol == OTHER:
                plain.add(connector.code)
    assert plain <= {"c5", "c6", "c7", "c8"}


@pytest.mark.parametrize(
    ("written", "code", "word"),
    [("BU", "bu", "blue"), (" yellow ", "ye", "yellow"), ("gray", "gy", "grey"), ("mauve", "", "mauve"), ("", "", "")],
)
def test_colours_are_read_as_letters_or_words(written: str, code: str, word: str) -> None:
    assert (tape(written).code, tape(written).word) == (code, word)


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("Cam 1", "Cam 1"),
        ("camera 1", "cam 1"),
        ("camera 12", "cam 12"),
        ("sound desk", "sound…"),
        ("x" * 80, "xxxxx…"),
    ],
)
def test_names_are_cut_to_fit_the_tape(name: str, shown: str) -> None:
    assert short(name) == shown


def test_without_the_engine_the_drawing_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    from inventory.errors import DrawingUnavailableError

    layout._context.cache_clear()
    monkeypatch.setitem(sys.modules, "quickjs", None)
    with pytest.raises(DrawingUnavailableError, match="QuickJS, which is not installed"):
        lay_out({"id": "kit", "children": []})
    monkeypatch.undo()
    layout._context.cache_clear()


@pytest.fixture
def gear(db: None) -> Gear:
    made = stage_case()
    drain(pause=lambda _: None)
    return made


def test_the_files_are_whole_and_described(gear: Gear, api) -> None:
    for view in ("wiring", "panel"):
        answer = api("viewer").get(f"/api/v1/kits/{gear.kit}/drawing.svg?view={view}", HTTP_ACCEPT="image/svg+xml")
        assert (answer.status_code, answer["Content-Type"]) == (200, "image/svg+xml")
        assert "default-src 'none'" in answer["Content-Security-Policy"]
        root = ElementTree.fromstring(answer.content)
        assert root.tag == f"{SVG}svg"
        assert "Stage case 2" in root.findtext(f"{SVG}title", "")
        assert "camera 3" in root.findtext(f"{SVG}desc", "")
        used = {each.get("href", "")[1:] for each in root.iter(f"{SVG}use")}
        there = {each.get("id") for each in root.iter(f"{SVG}symbol")}
        assert used <= there
        outside = [
            value
            for each in root.iter()
            for name, value in each.attrib.items()
            if name.endswith("href") and not value.startswith("#")
        ]
        assert outside == []
        again = api("viewer").get(f"/api/v1/kits/{gear.kit}/drawing.svg?view={view}", HTTP_IF_NONE_MATCH=answer["ETag"])
        assert again.status_code == 304


def test_the_style_of_a_file_is_the_one_that_its_policy_lets_in(gear: Gear, api) -> None:
    import base64
    import hashlib

    answer = api("viewer").get(f"/api/v1/kits/{gear.kit}/drawing.svg?view=panel")
    style = ElementTree.fromstring(answer.content).findtext(f"{SVG}style", "")
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert f"'sha256-{digest}'" in answer["Content-Security-Policy"]


def test_what_cannot_be_drawn_is_a_problem_document(gear: Gear, api) -> None:
    base = "/api/v1/kits"
    asked = [
        (api("viewer").get(f"{base}/{gear.kit}/drawing.svg?view=roof", HTTP_ACCEPT="image/svg+xml"), 400),
        (api("viewer").get(f"{base}/999999/drawing.svg"), 404),
        (api().get(f"{base}/{gear.kit}/drawing.svg"), 401),
    ]
    for answer, status in asked:
        assert (answer.status_code, answer["Content-Type"]) == (status, "application/problem+json")


def test_a_layout_is_kept_by_its_content(gear: Gear) -> None:
    facts, check = kit_facts(gear.kit), read_check(gear.kit)
    assert facts is not None
    assert check is not None
    kit = assembled(facts, check)
    drawn = wiring_graph(kit)
    svg = wiring_drawing(drawn, name="x")
    assert is_laid_out(drawn)
    assert svg.get("viewBox", "").startswith("0 0 ")


def test_the_page_waits_for_a_layout_and_the_wiring_page_makes_it(reader, gear: Gear) -> None:
    from django.core.cache import caches

    caches["layouts"].clear()
    somebody = reader("viewer")
    page = somebody.get(f"/kits/{gear.kit}/").content.decode()
    assert f'data-hx-get="/kits/{gear.kit}/wiring/" data-hx-trigger="load"' in page
    assert f'href="/kits/{gear.kit}/wiring/#w-' in page
    drawn = somebody.get(f"/kits/{gear.kit}/wiring/").content.decode()
    assert 'class="wire"' in drawn
    page = somebody.get(f"/kits/{gear.kit}/").content.decode()
    assert 'class="wire"' in page
    assert 'hx-trigger="load"' not in page


def test_every_drawing_of_a_page_has_a_title_and_a_description(reader, gear: Gear) -> None:
    import re

    somebody = reader("viewer")
    somebody.get(f"/kits/{gear.kit}/wiring/")
    page = somebody.get(f"/kits/{gear.kit}/").content.decode()
    for name in ("face", "wire"):
        drawing = re.search(rf'<svg[^>]*class="{name}".*?</svg>', page, re.S)
        assert drawing is not None
        assert "<title>" in drawing[0]
        assert "<desc>" in drawing[0]
