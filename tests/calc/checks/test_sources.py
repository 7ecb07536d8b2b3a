"""Sources that are joined, overloaded or missing, and direct current over thin leads."""

import pytest

from calc.rig.sheets import BatterySheet, CableSheet, PowerSheet
from tests.calc.checks.kits import findings, kit, mains, only, spec

WALL = spec("wall", "distro", [mains("1", "cee7-3", "source", volts_min=230, volts_max=230, breaker_a=16)])
LAMP = spec("lamp", "fixture", [mains("in", "cee7-7", "load", side="plug")], power=PowerSheet(max_w=1000))


def test_a_lead_with_two_plugs_joins_two_outlets():
    found = only(kit({"wall A": WALL, "wall B": WALL}, ["wall A:1 - wall B:1"]), "sources-joined")
    assert found.severity == "stop"
    assert "live pins" in found.message


def box(*through):
    ports = [mains("in A", "c14", "load"), mains("in B", "c14", "load"), mains("1", "c13", "source", **dict(through))]
    return spec("box", "distro", ports)


@pytest.mark.parametrize(("box", "is_found"), [(box(), True), (box(("through", "in A")), False)])
def test_a_box_that_two_supplies_feed_works_in_parallel_unless_it_says_which_inlet_feeds_what(box, is_found):
    links = ["wall A:1 - box:in A", "wall B:1 - box:in B"]
    found = findings(kit({"wall A": WALL, "wall B": WALL, "box": box}, links), "sources-joined")
    assert bool(found) is is_found


@pytest.mark.parametrize(("rated", "is_found"), [(990, True), (1060, False)])
def test_a_generator_carries_what_it_is_rated_for(rated, is_found):
    """1,000 W of one lamp are at least 1,000 VA, and 1,053 VA at the least power factor of its size."""
    outlet = mains("1", "cee7-3", "source", volts_min=230, volts_max=230)
    generator = spec("generator", "supply", [outlet], power=PowerSheet(output_va=rated))
    found = findings(kit({"generator": generator, "lamp": LAMP}, ["lamp:in - generator:1"]), "source-overload")
    assert [f.limit for f in found] == ([rated] if is_found else [])


def test_what_nothing_feeds_is_told_once_the_rig_has_a_source_or_a_lead():
    things = {"wall": WALL, "lamp": LAMP, "other": LAMP}
    assert [f.subject.label for f in findings(kit(things, ["lamp:in - wall:1"]), "unfed")] == ["other"]
    assert findings(kit({"lamp": LAMP, "other": LAMP}), "unfed") == []


def test_what_is_led_outside_waits_for_the_venue():
    inlet = mains("in", "c14", "load", face="outside")
    strip = spec("strip", "distro", [inlet, mains("1", "c13", "source")])
    lamp = spec("lamp", "fixture", [mains("in", "c14", "load")], power=PowerSheet(max_w=100))
    assert findings(kit({"strip": strip, "lamp": lamp}, ["lamp:in - strip:1"]), "unfed") == []


@pytest.mark.parametrize(("length_m", "is_found"), [(30, True), (2, False)])
def test_a_thin_lead_leaves_a_camera_too_few_volts(length_m, is_found):
    """2 x 30 m of 0.75 mm2 are 1.56 ohm: at most 12² / 4R = 23 W arrive, so no current brings 25 W. Two metres do."""
    battery = spec(
        "battery", "battery", [mains("out", "xlr-4", "source", carries="dc", volts_min=12, volts_max=12)],
        battery=BatterySheet(volts=12, amp_hours=7),
    )  # fmt: skip
    camera = spec(
        "camera", "camera", [mains("in", "xlr-4", "load", carries="dc", volts_min=11, volts_max=17, watts=25)]
    )
    cable = CableSheet(length_m=length_m, area_mm2=0.75)
    ends = [mains("a", "xlr-4", None, side="plug", carries="dc"), mains("b", "xlr-4", None, carries="dc")]
    link = ("camera:in - battery:out", spec("lead", "cable", ends, cable=cable))
    found = findings(kit({"battery": battery, "camera": camera}, [link]), "dc-drop")
    assert [f.value for f in found] == ([0.0] if is_found else [])


def test_the_breakers_behind_a_lead_protect_it_if_they_let_no_more_through():
    """Six of 16 A on three phases let 32 A through each; on one phase, 96 A."""
    for code, is_found in (("iec60309-63-3pne-400", False), ("iec60309-63-2pe-230", True)):
        feed = spec("feed", "distro", [mains("out", code, "source", breaker_a=63)])
        outlets = [mains(f"{n}", "cee7-3", "source", breaker_a=16) for n in range(6)]
        box = spec("box", "distro", [mains("in", code, "load", side="plug"), *outlets])
        ends = [mains("a", code, None, side="plug"), mains("b", code, None)]
        lead = spec("lead", "cable", ends, cable=CableSheet(length_m=25, rated_a=32))
        found = findings(kit({"feed": feed, "box": box}, [("box:in - feed:out", lead)]), "unprotected-reduction")
        assert bool(found) is is_found
