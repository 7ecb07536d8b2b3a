"""What the lid and the plug map say of holes: what each is for, which fold into one row, whose they are."""

import re

import pytest

from calc.rig.brief import Brief, Segment, Universe
from calc.rig.capability import NO_DATE
from calc.rig.ends import End
from calc.rig.kit import Kit, Link, Port, PortPoe, Position, Spec
from calc.rig.wiring import wire
from inventory.checks.drain import drain
from inventory.drawings.holes import Hole, holes
from inventory.services.kits import edit_kit
from tests.web.company import BRIEF, Gear, stage_case, write
from tests.web.reading import text, words


def lan(name: str, **more) -> Port:
    return Port(**{"name": name, "connector": "8p8c", "side": "socket", "carries": "ethernet", **more})


def hole(name: str, **more) -> tuple[Port, Port]:
    """Return a hole of a panel and its rear."""
    return lan(name, face="outside", through=f"{name} rear", **more), lan(f"{name} rear", through=name, **more)


SWITCH = Spec(
    id=2,
    name="Switch",
    kind="switch",
    ports=(
        lan("1", group="fabric", poe=PortPoe(role="source", poe_class=4)),
        lan("2", group="fabric", poe=PortPoe(role="source", poe_class=4)),
        lan("3", group="fabric"),
    ),
)
NODE = Spec(id=3, name="Node", kind="node", ports=(Port(name="out", connector="xlr-5", side="socket", carries="dmx"),))
PANEL = Spec(
    id=1,
    name="Case",
    kind="case",
    ports=(
        *hole("LAN 1"),
        *hole("LAN 2"),
        *hole("LAN 3"),
        *hole("LAN 4"),
        Port(name="DMX", connector="xlr-5", side="socket", carries="dmx", face="outside", through="DMX rear"),
        Port(name="DMX rear", connector="xlr-5", side="plug", carries="dmx", through="DMX"),
    ),
)


def join(number: int, a: tuple[int, str], b: tuple[int, str], colour: str = "") -> Link:
    return Link(id=number, a=End(position=a[0], port=a[1]), b=End(position=b[0], port=b[1]), colour=colour)


def panelled(brief: Brief | None = None, *, more: tuple[Position, ...] = (), links: tuple[Link, ...] = ()) -> Kit:
    """A case with a switch behind three of four holes, and a node behind the fifth."""
    return Kit(
        id=1,
        name="Case",
        positions=(
            Position(id=1, label="case", role="case", spec=PANEL),
            Position(id=2, label="switch", role="required", spec=SWITCH),
            Position(id=3, label="node", role="required", spec=NODE),
            *more,
        ),
        links=(
            *(join(n, (1, f"LAN {n} rear"), (2, str(n)), "blue") for n in (1, 2, 3)),
            join(4, (1, "DMX rear"), (3, "out")),
            *links,
        ),
        brief=brief,
    )


def seen(kit: Kit) -> dict[str, Hole]:
    return {each.name: each for each in holes(wire([kit], view="design", as_of=NO_DATE))}


def test_a_hole_says_what_is_wired_behind_it_and_whether_it_gives_power() -> None:
    at = seen(panelled())
    assert [(at[name].purpose.place, at[name].purpose.port) for name in ("LAN 1", "LAN 3", "DMX")] == [
        ("switch", "1"),
        ("switch", "3"),
        ("node", "out"),
    ]
    assert [at[f"LAN {n}"].purpose.power for n in (1, 3, 4)] == ["PoE, class 4", "no PoE", ""]
    assert (at["LAN 4"].purpose.leads_nowhere, at["LAN 4"].purpose.place) == (True, "")
    assert at["LAN 1"].purpose.tape.code == "bu"


@pytest.mark.parametrize("named", [(1, "LAN 1"), (1, "LAN 1 rear"), (2, "1")])
def test_a_segment_reaches_a_hole_whichever_port_on_the_way_the_brief_names(named: tuple[int, str]) -> None:
    segment = Segment(name="sound", vlan=20, ports=(End(position=named[0], port=named[1]),))
    at = seen(panelled(Brief(segments=(segment,))))
    assert (at["LAN 1"].purpose.network, at["LAN 1"].purpose.short) == ("VLAN 20 sound", "sound")
    assert at["LAN 2"].purpose.network == ""


def test_a_hole_of_several_segments_is_a_trunk() -> None:
    ports = (End(position=2, port="3"),)
    segments = (Segment(name="sound", vlan=20, ports=ports), Segment(name="office", ports=ports))
    purpose = seen(panelled(Brief(segments=segments)))["LAN 3"].purpose
    assert (purpose.network, purpose.short) == ("trunk: VLAN 20 sound, office", "trunk")


@pytest.mark.parametrize(
    ("numbers", "said"),
    [((), ""), ((3,), "universe 3"), ((1, 2, 3), "one of universes 1-3"), ((1, 2, 7), "one of universes 1, 2, 7")],
)
def test_a_line_of_lighting_control_says_its_universes(numbers: tuple[int, ...], said: str) -> None:
    brief = Brief(universes=tuple(Universe(number=number) for number in numbers))
    assert seen(panelled(brief))["DMX"].purpose.network == said
    assert seen(panelled(brief))["LAN 1"].purpose.network == ""


def test_holes_of_a_kit_packed_inside_are_its_own_unless_this_one_plugs_into_them() -> None:
    inner = Kit(id=9, name="Box", positions=(Position(id=90, label="case", role="case", spec=PANEL),))
    box = Position(id=4, label="box", role="required", spec=PANEL, nested=inner)
    apart = panelled(more=(box,))
    joined = panelled(more=(box,), links=(join(5, (2, "3"), (4, "LAN 2")),))
    assert len(seen(apart)) == 5
    into = [each for each in holes(wire([joined], view="design", as_of=NO_DATE)) if each.of == "box"]
    assert [each.name for each in into] == ["LAN 2"]


@pytest.fixture
def gear(db: None) -> Gear:
    made = stage_case()
    write(None, lambda c: edit_kit(c, made.kit, fields={"brief": BRIEF}))
    drain(pause=lambda _: None)
    return made


def rows(page: str) -> dict[str, str]:
    """Return the rows of the plug map by what stands in their ring."""
    table = re.search(r'<table class="plugs">.*?</table>', page, re.DOTALL)
    assert table is not None
    found = re.findall(r'<span class="hole[^"]*">([^<]+)</span>(.*?)</tr>', table[0], re.DOTALL)
    return {number: " ".join(re.sub(r"<[^>]+>", " ", row).split()) for number, row in found}


@pytest.mark.django_db
def test_empty_holes_for_the_same_are_one_row_that_each_of_them_leads_to(reader, gear: Gear) -> None:
    page = text(reader("viewer").get(f"/kits/{gear.kit}/"))
    seen = rows(page)
    assert list(seen) == ["1", "2", "3", "4", "5", "6-8", "9-10", "11"]
    assert "VLAN 10 lighting" in seen["1"]
    assert seen["5"].startswith("Empty VLAN 20 sound LAN 5 to switch B 1")
    assert seen["6-8"].startswith("Empty LAN 6-8 to switch B 2-4 , PoE, class 4")
    assert "one of universes 1, 2, 3, 7" not in seen["9-10"]
    assert "Nothing is connected behind it." in seen["9-10"]
    assert [page.count(f'id="h{n}"') for n in range(1, 12)] == [1] * 11


@pytest.mark.django_db
def test_places_that_are_empty_are_one_finding_which_holds_each(reader) -> None:
    made = stage_case(without=("switch A", "switch B", "supply A", "camera 1"))
    drain(pause=lambda _: None)
    answer = reader("viewer").get(f"/kits/{made.kit}/")
    assert "4 places are empty." in text(answer)
    assert "Pack a Compact switch, four of eight ports powered into switch B." in words(answer)


@pytest.mark.django_db
def test_two_empty_places_stay_two_findings(reader) -> None:
    made = stage_case(without=("switch A", "switch B"))
    drain(pause=lambda _: None)
    assert "places are empty" not in text(reader("viewer").get(f"/kits/{made.kit}/"))


@pytest.mark.django_db
@pytest.mark.parametrize(("role", "flags"), [("viewer", False), ("crew", True)])
def test_each_unit_of_a_kit_leads_to_its_page_and_to_flagging_a_fault(reader, gear: Gear, role: str, flags) -> None:
    page = text(reader(role).get(f"/kits/{gear.kit}/"))
    for unit in gear.units.values():
        assert f'href="/units/{unit}/"' in page
        assert (f'href="/units/{unit}/fault/"' in page) is flags
