"""Sources that are joined, overloaded or missing, and direct current over thin leads."""

import pytest

from calc.checks import run
from calc.rig.sheets import BatterySheet, CableSheet, PowerSheet
from tests.calc.checks.kits import NOW, findings, kit, mains, only, spec

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


def powered(max_w, inlets=("in",)):
    sheet = PowerSheet(max_w=max_w, power_factor=1, protection_class="II")
    return spec("device", "computer", [mains(name, "c14", "load") for name in inlets], power=sheet)


def strip(outlets, **fields):
    return spec("strip", "distro", [mains(f"{n}", "c13", "source", **fields) for n in range(1, outlets + 1)])


def test_what_has_two_inlets_draws_its_power_once():
    """Two supplies of 1,500 W each, redundant, on one breaker of 16 A: 13 A, not 26 A."""
    server = powered(1500, ("A", "B"))
    links = ["strip:1 - server:A", "strip:2 - server:B"]
    both = kit({"strip": strip(2, breaker_a=10, group="one"), "server": server}, links)
    assert findings(both, "circuit-overload") == findings(both, "same-breaker") == []
    assert [
        f.value for f in findings(kit({"strip": strip(2, breaker_a=6), "server": server}, links), "circuit-overload")
    ] == [pytest.approx(6.522, abs=0.001)] * 2, "each of two breakers must carry all of it when the other trips"


def test_inlets_that_say_what_they_draw_add_up():
    ports = [mains(name, "c14", "load", watts=1500) for name in ("A", "B")]
    heater = spec("heater", "other", ports, power=PowerSheet(power_factor=1))
    links = ["strip:1 - heater:A", "strip:2 - heater:B"]
    found = only(kit({"strip": strip(2, breaker_a=10, group="one"), "heater": heater}, links), "same-breaker")
    assert found.value == pytest.approx(13.043, abs=0.001)


@pytest.mark.parametrize(("apart", "is_found"), [(None, True), (False, True), (True, False)])
def test_a_change_over_switch_keeps_two_sources_apart(apart, is_found):
    ports = [mains("A", "c20", "load"), mains("B", "c20", "load"), mains("1", "c13", "source")]
    box = spec("box", "distro", ports, power=PowerSheet(inlets_apart=apart))
    house = spec("house", "distro", [mains("out", "c19", "source")])
    things = {"house": house, "other": house, "box": box}
    found = findings(kit(things, ["house:out - box:A", "other:out - box:B"]), "sources-joined")
    assert bool(found) is is_found


def inverter(bonded=None, rcd_ma=30, battery=None, **sheet):
    outlet = mains("1", "c13", "source", rcd_ma=rcd_ma)
    power = PowerSheet(**{"output_va": 1000, "neutral_bonded": bonded, "efficiency": 0.9} | sheet)
    return spec("inverter", "supply", [mains("in", "c14", "load"), outlet], power=power, battery=battery)


@pytest.mark.parametrize(
    ("bonded", "rcd_ma", "severities"),
    [(False, 30, ["caution"]), (None, 30, ["unknown"]), (True, 30, []), (None, 0, []), (False, None, [])],
)
def test_a_residual_current_device_needs_a_bonded_neutral(bonded, rcd_ma, severities):
    rig = kit({"inverter": inverter(bonded, rcd_ma), "device": powered(100)}, ["inverter:1 - device:in"])
    asked = [f for f in findings(rig, "data-missing") if f.unlocks == "power.neutral_bonded"]
    assert [f.severity for f in [*findings(rig, "neutral-unbonded"), *asked]] == severities


def test_what_only_passes_mains_on_has_no_neutral_of_its_own():
    rig = kit({"strip": strip(1, rcd_ma=30), "device": powered(100)}, ["strip:1 - device:in"])
    assert findings(rig, "neutral-unbonded") == findings(rig, "data-missing") == []


def run_times(supply, load):
    return run(kit({"inverter": supply, "device": load}, ["inverter:1 - device:in"]), NOW).figures["run_times"]


def test_a_supply_with_a_battery_tells_how_long_it_runs_its_load():
    """36 V, 9 Ah: 324 Wh, times 0.9 over 300 W: 58.3 minutes."""
    stored = BatterySheet(volts=36, amp_hours=9)
    (told,) = run_times(inverter(battery=stored), powered(300))
    assert (told["label"], told["minutes"]) == ("inverter", 58.3)
    assert [one["minutes"] for one in run_times(inverter(battery=stored), powered(None))] == [None]
    assert (
        run_times(inverter(battery=BatterySheet(volts=36)), powered(300)) == run_times(inverter(), powered(300)) == []
    )
    assert run(kit({"inverter": inverter(battery=stored)}), NOW).figures["run_times"] == []


def test_a_battery_runs_what_an_inverter_makes_of_it():
    """12 V, 100 Ah: 1,200 Wh; 270 W at 0.9 are 300 W: four hours."""
    battery = spec(
        "battery", "battery", [mains("out", "xlr-4", "source", carries="dc")],
        battery=BatterySheet(volts=12, amp_hours=100),
    )  # fmt: skip
    ports = [mains("dc", "xlr-4", "load", carries="dc"), mains("1", "c13", "source")]
    made = spec("inverter", "supply", ports, power=PowerSheet(output_va=500, efficiency=0.9))
    things = {"battery": battery, "inverter": made, "device": powered(270)}
    figures = run(kit(things, ["battery:out - inverter:dc", "inverter:1 - device:in"]), NOW).figures
    assert [one["minutes"] for one in figures["run_times"]] == [240]
