"""Whole rigs as they happen on the road, worked by hand.

Watts by class: IEEE 802.3-2022 clauses 33 and 145.
"""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from calc.checks import CHECKS, run
from calc.rig.capability import capability
from calc.rig.kit import CableSheet, PoeSheet, PortPoe, PowerSheet
from tests.calc.checks.kits import (
    NOW,
    At,
    camera,
    ethernet,
    findings,
    kit,
    labels,
    missing,
    only,
    panel,
    plugs,
    span,
    spec,
    switch,
)


def two_sources(*classes):
    sources = {"switch A": switch(55), "switch B": switch(55)}
    return kit(sources | {f"device {n}": camera(c) for n, c in enumerate(classes, start=1)})


def test_three_of_class_4_on_two_sources_of_55_w():
    """Pooled, 110 W would be enough for 90 W; each source feeds one."""
    wired = two_sources(4, 4, 4)
    assert labels(findings(wired, "poe-starved")) == ["device 3"]
    offered = capability(wired)
    assert [source.watts_left for source in offered.powered] == [25, 25]
    assert offered.plug_map.any_order_ok is False


def test_four_devices_that_fit_in_some_orders_only():
    """{4, 4, 3, 3}: 30 + 15.4 on each. All four on one source: 90.8 of 55 W."""
    wired = two_sources(4, 4, 3, 3)
    assert findings(wired, "poe-starved") == []
    found = only(wired, "poe-budget-exceeded")
    assert (found.severity, found.value, found.margin) == ("caution", 90.8, -35.8)
    offered = capability(wired)
    assert [source.watts_left for source in offered.powered] == [9.6, 9.6]
    assert offered.plug_map.worst_w == -35.8


def booth_box(passes):
    ports = [
        ethernet("in", poe=PortPoe(role="load", poe_class=4)),
        ethernet("out", poe=PortPoe(role="source", poe_class=passes)),
    ]
    sheets = {"poe": PoeSheet(efficiency=0.9), "power": PowerSheet(max_w=13)}
    return spec("booth box", "switch", ports, **sheets)


def stage_and_booth(passes):
    """Return a stage box with one device on it, and a booth box 52 m away that feeds a camera."""
    thin, thick = (
        spec("cord", "cable", plugs(), cable=CableSheet(length_m=length_m, awg=awg, category="6"))
        for length_m, awg in ((1, 26), (50, 24))
    )
    things = {
        "case": spec("stage box", "case", panel(1)),
        "switch": switch(55),
        "far panel": spec("booth panel", "adapter", panel(1, "FAR ")),
        "booth box": booth_box(passes),
        "camera": camera(passes),
        "other": camera(3),
    }
    links = [
        "switch:1 - other:net",
        ("switch:2 - case:LAN 1 rear", thin),
        ("far panel:FAR 1 rear - booth box:in", thin),
        "booth box:out - camera:net",
    ]
    return kit(things, [*links, ("case:LAN 1 - far panel:FAR 1", thick)])


def test_a_booth_box_fed_by_the_stage_box():
    """Class 2 through it: 13 + 7 / 0.9 = 20.8 of 25.5 W; the source sets aside 15.4 + 30 of 55 W."""
    result = run(stage_and_booth(2), NOW)
    assert [f.code for f in result.findings if f.severity != "note"] == []
    assert result.figures["poe"][0]["allotted_w"] == 45.4


def test_a_booth_box_that_passes_on_too_much():
    """Class 3 through it: 13 + 15.4 / 0.9 = 30.1 of 25.5 W."""
    found = only(stage_and_booth(3), "poe-budget-exceeded")
    assert (found.subject.label, found.severity) == ("booth box", "stop")
    assert found.margin == pytest.approx(-4.6, abs=0.05)
    assert "camera net" in found.message


@pytest.mark.parametrize(("budget_w", "expected"), [(None, 11.25), (5, 5), (50, 11.25)])
def test_a_box_has_no_more_to_pass_on_than_arrives(budget_w, expected):
    """(25.5 - 13) x 0.9 = 11.25 W, unless its own sheet says less."""
    box = replace(booth_box(2), poe=PoeSheet(budget_w=budget_w, efficiency=0.9))
    (source,) = capability(kit({"box": box})).powered
    assert source.budget_w == expected


def test_a_nested_kit_counts_in_the_outer_one():
    """A box with one class 4 device drawn inside; a second one outside still fits its 65 W, a third does not."""
    box_case = spec("box", "case", panel(4))
    rear = [f"switch:{n} - case:LAN {n} rear" for n in span(3)]
    box = kit({"case": box_case, "switch": switch(65), "own": camera(4)}, [*rear, "switch:4 - own:net"])
    things = {"case": spec("trunk", "case", []), "box": At(box_case, nested=box), "a": camera(4), "b": camera(4)}
    fits = kit(things, ["a:net - box:LAN 1"])
    assert findings(fits, "poe-budget-exceeded") == []
    assert labels(findings(fits, "poe-starved")) == ["b"]
    found = only(kit(things, ["a:net - box:LAN 1", "b:net - box:LAN 2"]), "poe-budget-exceeded")
    assert (found.subject.label, found.value) == ("switch", 90)


def test_what_is_empty_in_a_nested_kit_stops_the_outer_one():
    box_case = spec("box", "case", [])
    box = kit({"case": box_case, "switch": At(switch(65), empty=True)})
    outer = kit({"case": spec("trunk", "case", []), "box": At(box_case, nested=box)})
    assert "box, switch" in only(outer, "position-empty").message


def test_a_number_typed_later_settles_what_was_unknown():
    """65 W and three of class 3; the fourth device has no class yet."""
    outcomes = {}
    for poe_class in (None, 2, 4):
        things = {"switch A": switch(65), **{f"device {n}": camera(3) for n in span(3)}, "device 4": camera(poe_class)}
        result = run(kit(things, [f"switch A:{n} - device {n}:net" for n in span(4)]), NOW)
        outcomes[poe_class] = (
            result.verdict,
            missing(result),
            [f.margin for f in findings(result, "poe-budget-exceeded")],
        )
    assert outcomes == {
        None: ("unknown", ["ports.net.poe.class"], []),
        2: ("nothing-found", [], []),
        4: ("stop", [], [-11.2]),
    }


def test_every_check_is_tested():
    written = "".join(path.read_text() for path in Path(__file__).parent.glob("test_*.py"))
    tested = set(re.findall(r'"([a-z0-9]+(?:-[a-z0-9]+)*)"', written))
    assert set(CHECKS) <= tested
