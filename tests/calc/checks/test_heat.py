"""Heat in a closed case. Method: IEC/TR 60890, rise = P / (k A); k by build and f = 3.1 as in the registers.

The rig is worked by hand: 0.50 x 0.40 x 0.25 m on the floor, 0.20 + 2 x 0.25 x (0.50 + 0.40) = 0.65 m2, 50 W inside.
"""

from dataclasses import replace

import pytest

from calc.checks import run
from calc.rig.brief import Brief
from calc.rig.kit import CoolingSheet, PoeSheet, Port, PortPoe, PortPower, PowerSheet
from calc.rig.wiring import single_points, wire
from tests.calc.checks.kits import (
    NOW,
    At,
    camera,
    distro,
    ethernet,
    findings,
    kit,
    labels,
    mains,
    missing,
    only,
    panel,
    spec,
    supply,
)


def box(**fields):
    return spec("box", "case", panel(2), **{"width_mm": 500.0, "depth_mm": 400.0, "height_mm": 250.0} | fields)


def powered_switch(max_w=110.0, budget_w=60.0, bears_c=45.0):
    ports = [mains("in", "c14", "load"), *(ethernet(f"{n}", poe=PortPoe(role="source", poe_class=4)) for n in (1, 2))]
    return spec(
        "switch",
        "switch",
        ports,
        power=PowerSheet(max_w=max_w),
        poe=PoeSheet(budget_w=budget_w, allotment="class"),
        cooling=CoolingSheet(max_ambient_celsius=bears_c),
    )


def warm(build="foam-lined", ambient=30.0, fan_m3h=None, case=None, switch=None, **more):
    things = {"case": case or box(), "switch A": switch or powered_switch()} | more
    if fan_m3h is not None:
        things["fan"] = spec("fan", "fan", [], cooling=CoolingSheet(fan_m3h=fan_m3h))
    links = ["switch A:1 - case:LAN 1 rear", "switch A:2 - case:LAN 2 rear"]
    return kit(things, links, build=build, ambient_celsius=ambient)


def test_a_foam_lined_case_cooks_what_is_in_it():
    """50 / (1.5 x 0.65) = 51.3 K, 81.3 degrees."""
    found = only(warm(), "case-hot")
    assert (found.severity, found.subject.label, found.limit, found.unit) == ("stop", "case", 45, "°C")
    assert found.value == pytest.approx(81.28, abs=0.01)


def test_within_5_k_of_the_weakest_part_is_a_caution():
    """Steel: 50 / (5.5 x 0.65) = 14.0 K, 44.0 degrees, 1 K below 45."""
    found = only(warm("steel"), "case-hot")
    assert (found.severity, found.limit) == ("caution", 45)
    assert found.value == pytest.approx(43.99, abs=0.01)
    assert findings(warm("steel", ambient=25), "case-hot") == []


def test_figures_of_heat():
    figures = run(warm("steel"), NOW).figures
    assert figures["heat_w"] == 50
    assert figures["case_rise_celsius"] == pytest.approx(13.99, abs=0.01)


def test_what_is_powered_outside_heats_nothing_inside():
    outside = warm("steel", camera=camera(4))
    assert run(outside, NOW).figures["heat_w"] == 50


def converter():
    """Return a device that takes up to 25.5 W over Ethernet and works with the lid shut."""
    return spec("converter", "converter", [ethernet("net", poe=PortPoe(role="load", poe_class=4))])


def test_what_is_powered_inside_heats_the_case():
    things = {"case": box(), "switch A": powered_switch(), "converter": converter()}
    assert run(kit(things, ["switch A:1 - converter:net"]), NOW).figures["heat_w"] == 75.5


@pytest.mark.parametrize("kind", ["fixture", "camera"])
def test_what_shines_or_looks_works_outside(kind):
    """1 kW of light on an outlet of the distribution unit inside: it burns above the stage, not in the case."""
    lamp = spec("lamp", kind, [mains("in", "c14", "load")], power=PowerSheet(max_w=1000))
    things = {"case": box(), "distro": distro(), "lamp": lamp, "box": heater(7)}
    assert run(kit(things, ["distro:1 - lamp:in", "distro:2 - box:in"]), NOW).figures["heat_w"] == 7


def test_the_rating_of_what_passes_mains_on_is_no_heat():
    """A strip for 10 A at 230 V is no heater of 2.3 kW."""
    strip = distro()
    strip = replace(strip, power=PowerSheet(rated_a=10, at_volts=230))
    things = {"case": box(), "strip": strip, "box": heater(7)}
    assert run(kit(things, ["strip:1 - box:in"]), NOW).figures["heat_w"] == 7


def test_an_uninterruptible_supply_gives_off_what_it_loses():
    """60 W at a power factor of 1 on 90 %: 60 / 0.9 - 60 = 6.67 W, and the 60 W of what it feeds."""
    ports = [mains("in", "c14", "load"), mains("1", "c13", "source")]
    sheet = PowerSheet(rated_a=10, at_volts=230, output_va=1000, efficiency=0.9)
    device = spec("device", "other", [mains("in", "c14", "load")], power=PowerSheet(max_w=60, power_factor=1.0))
    things = {"case": box(), "ups": spec("ups", "supply", ports, power=sheet), "device": device}
    assert run(kit(things, ["ups:1 - device:in"]), NOW).figures["heat_w"] == pytest.approx(66.667, abs=0.001)


def dc(name, role, watts):
    power = PortPower(role=role, watts=watts, volts_min=12, volts_max=12)
    return Port(name=name, connector="dc-5.5x2.1", side="socket", carries="dc", power=power)


def test_a_splitter_keeps_only_what_it_loses():
    """17 W at 85 % are 20 W in: 3 W of the splitter, 17 W of what it feeds; of the switch its own 50 W."""
    ports = [ethernet("in", poe=PortPoe(role="load", poe_class=4)), dc("out", "source", 18)]
    things = {"case": box(), "switch A": powered_switch(), "player": spec("player", "other", [dc("in", "load", 17)])}
    things["splitter"] = spec("splitter", "splitter", ports, poe=PoeSheet(efficiency=0.85))
    links = ["switch A:1 - splitter:in", "splitter:out - player:in"]
    assert run(kit(things, links), NOW).figures["heat_w"] == pytest.approx(70)


def test_what_a_device_feeds_is_not_its_own_heat():
    """A computer of 65 W that feeds a screen of 15 W: 65 W turn to heat in all, not 80."""
    computer = spec("pc", "computer", [mains("in", "c14", "load"), dc("out", "source", 20)], power=PowerSheet(max_w=65))
    things = {"case": box(), "pc": computer, "screen": spec("screen", "other", [dc("in", "load", 15)])}
    assert run(kit(things, ["pc:out - screen:in"]), NOW).figures["heat_w"] == 65
    assert run(kit(things), NOW).figures["heat_w"] == 80


def test_an_unknown_build_is_taken_for_the_warmest():
    assert only(warm(None), "case-hot").value == pytest.approx(81.28, abs=0.01)
    assert only(warm(None), "case-hot").basis["assumed"] == 3  # the build, what its walls let through, and the shade


@pytest.mark.parametrize(
    ("fields", "asked"),
    [
        ({"case": box(height_mm=None)}, "height_mm"),
        ({"ambient": None}, "kit.ambient_celsius"),
        ({"switch": powered_switch(bears_c=None)}, "cooling.max_ambient_celsius"),
        ({"switch": powered_switch(budget_w=None)}, "poe.budget_w"),
        ({"switch": powered_switch(max_w=None)}, "power.max_w"),
    ],
)
def test_each_missing_number_is_asked_for(fields, asked):
    result = run(warm("steel", **fields), NOW)
    assert asked in missing(result)
    assert sum(f.basis["unknown"] for f in findings(result, "data-missing")) >= 1
    assert findings(result, "case-hot") == []


def test_a_bag_is_no_closed_case():
    open_rack = spec("rack", "case", panel(2))
    assert missing(warm(None, case=open_rack, ambient=None, switch=powered_switch(bears_c=None))) == []


def test_a_case_of_passive_things_is_not_warm():
    passive = kit({"case": box()}, build="foam-lined")
    assert [f.code for f in run(passive, NOW).findings] == []


def test_a_supply_gives_off_what_it_loses():
    """90 W out at 90 %: 10 W are lost; what hangs on it counts where it is known: 45 W lose 5 W."""
    out = Port(name="out", connector="dc-5.5x2.1", side="plug", carries="dc", power=PortPower(role="source"))
    ports = [mains("in", "c14", "load"), out]
    sheet = PowerSheet(output_w=90, efficiency=0.9, output_volts=12)
    dc = PortPower(role="load", watts=45, volts_min=12, volts_max=12)
    lamp = spec("lamp", "other", [Port(name="dc", connector="dc-5.5x2.1", side="socket", carries="dc", power=dc)])
    things = {"supply": spec("supply", "supply", ports, power=sheet), "lamp": lamp}
    assert run(kit(things), NOW).figures["heat_w"] == 55
    assert run(kit(things, ["supply:out - lamp:dc"]), NOW).figures["heat_w"] == 50


def test_a_box_that_lives_on_power_over_ethernet_keeps_its_own_draw():
    ports = [
        ethernet("in", poe=PortPoe(role="load", poe_class=4)),
        ethernet("out", poe=PortPoe(role="source", poe_class=1)),
    ]
    sheet = PoeSheet(budget_w=5, efficiency=0.9)
    box = spec("booth box", "switch", ports, power=PowerSheet(max_w=13), poe=sheet)
    things = {"switch A": powered_switch(), "booth box": box}
    assert run(kit(things, ["switch A:1 - booth box:in"]), NOW).figures["heat_w"] == 63


def test_a_spare_gives_off_no_heat():
    spare = warm("steel", spare=At(powered_switch(), role="spare"))
    assert run(spare, NOW).figures["heat_w"] == 50


def heater(watts=100.0, face="inside", **fields):
    ports = [mains("in", "c14", "load", face=face), ethernet("net")]
    return spec("heater", "other", ports, power=PowerSheet(max_w=watts), **fields)


INLET = [mains("in", "c14", None, face="outside", through="rear"), mains("rear", "c13", None, through="in")]


@pytest.mark.parametrize(
    ("links", "heat_w"),
    [
        ([], 107),  # no power is drawn: nobody has said what is at work
        (["case:rear - box:in"], 7),  # one is fed through the panel, the other is fed by nothing
        (["case:rear - distro:in", "distro:1 - box:in"], 7),
        (["distro:1 - box:in"], 7),  # nobody drew what feeds the distribution unit, and yet it feeds
        (["case:rear - box:in", "box:net - other:net"], 107),  # it works with the other, however it is fed
    ],
)
def test_what_nothing_feeds_is_only_stowed(links, heat_w):
    case = spec("box", "case", INLET, width_mm=500.0, depth_mm=400.0, height_mm=250.0)
    things = {"case": case, "distro": distro(connector="c13", inlet="c14"), "box": heater(7), "other": heater()}
    assert run(kit(things, links), NOW).figures["heat_w"] == heat_w


def test_an_inlet_on_the_outside_needs_no_link():
    things = {"case": box(), "distro": distro(), "box": heater(7), "other": heater(face="outside")}
    assert run(kit(things, ["distro:1 - box:in"]), NOW).figures["heat_w"] == 107


def test_a_switch_that_the_plug_map_uses_is_at_work():
    things = {"case": box(), "distro": distro(), "box": heater(7), "switch": powered_switch(), "converter": converter()}
    assert run(kit(things, ["distro:1 - box:in"]), NOW).figures["heat_w"] == 7 + 50 + 25.5
    del things["converter"]
    assert run(kit(things, ["distro:1 - box:in"]), NOW).figures["heat_w"] == 7


def test_a_fan_that_moves_too_little():
    """Installed 4.5 of 9 m3/h; needed 3.1 x 50 / 15 = 10.33; with it 3.1 x 50 / 4.5 = 34.4 K, 64.4 degrees."""
    fanned = warm(fan_m3h=9.0)
    found = only(fanned, "fan-short")
    assert (found.severity, found.subject.label, found.value, found.unit) == ("caution", "fan", 4.5, "m³/h")
    assert found.limit == pytest.approx(10.33, abs=0.01)
    assert found.margin == pytest.approx(-5.83, abs=0.01)
    assert only(fanned, "case-hot").value == pytest.approx(64.44, abs=0.01)


def test_a_fan_that_moves_enough_is_watched():
    """30 m3/h: 15 installed, 10.3 K, 40.3 degrees, within 5 K of 45; without it 81.3."""
    found = only(warm(fan_m3h=30.0), "fan-dead")
    assert (found.severity, found.subject.label) == ("caution", "fan")
    assert found.value == pytest.approx(81.28, abs=0.01)
    assert findings(warm(fan_m3h=30.0), "fan-short") == []


def test_where_the_walls_are_enough_no_fan_is_missed():
    cool = warm("steel", ambient=20, fan_m3h=9.0)
    assert findings(cool, "fan-short") == []
    assert findings(cool, "fan-dead") == []


def test_a_fan_of_unknown_flow_is_asked_about_where_it_decides():
    things = {"fan": spec("fan", "fan", [])}
    result = run(warm(**things), NOW)
    assert "cooling.fan_m3h" in missing(result)
    assert findings(result, "case-hot") == []
    assert "cooling.fan_m3h" not in missing(warm("steel", ambient=20, **things))


def test_a_missing_fan_is_missed():
    fan = spec("fan", "fan", [mains("in", "c14", "load", watts=1)], cooling=CoolingSheet(fan_m3h=60.0))
    found = only(warm(fan=At(fan, empty=True)), "case-hot")
    assert found.views == {"packed"}


def test_the_fan_is_a_single_point_for_all_that_is_warm():
    wired = wire([warm(fan_m3h=30.0)], view="design", as_of=NOW)
    cooling = [point for point in single_points(wired) if point.loses == "cooling"]
    assert [(point.place.label, [other.label for other in point.others]) for point in cooling] == [
        ("fan", ["switch A"])
    ]


def test_a_label_in_volt_amperes_bounds_the_heat():
    """160 VA at a power factor of at most 1."""
    labelled = kit({"case": box(), "supply": supply(160)}, build="aluminium", ambient_celsius=20)
    assert run(labelled, NOW).figures["heat_w"] is None
    assert missing(labelled) == ["power.max_w"]


def test_nested_cases_are_judged_by_their_own_walls():
    inner = warm()
    outer = kit({"case": spec("rack", "case", []), "box": At(inner.positions[0].spec, nested=inner)})
    assert labels(findings(outer, "case-hot")) == ["box"]


def test_a_fan_that_moves_nothing_is_no_fan():
    still = warm(fan_m3h=0.0)
    assert only(still, "case-hot").value == only(warm(), "case-hot").value
    assert findings(still, "fan-dead") == findings(still, "fan-short") == []


class TestWalls:
    """Aluminium lets through 5.5 W/(m2 K) in still air and 12 in moving air: the rise is 14.0 or 6.4 K."""

    def test_within_in_still_air_is_within(self):
        assert findings(warm("aluminium", ambient=25), "case-hot") == []

    def test_too_hot_in_still_air_only_is_a_caution(self):
        found = only(warm("aluminium", ambient=35), "case-hot")
        assert (found.severity, found.range.low, found.range.high) == ("caution", 41.41, 48.986)
        assert "49 °C inside with the lid shut in still air" in found.message

    def test_too_hot_in_moving_air_too_is_a_stop(self):
        assert only(warm("aluminium", ambient=40), "case-hot").severity == "stop"


class TestSun:
    """1120 W/m2 (IEC 60068-2-5, from memory) on the largest shadow of the box, sqrt(.2^2 + .125^2 + .1^2) = 0.256 m2.

    0.394 of its 0.65 m2 are lit; a film of 10 W/(m2 K): black 0.95 is 41.9 K, white 0.3 in half of that sun 6.6 K.
    """

    def stands(self, where, ambient=10.0, build="steel"):
        return replace(warm(build, ambient=ambient), brief=Brief(stands=where))

    @pytest.mark.parametrize("where", ["indoors", "shade", None])
    def test_in_the_shade_only_what_is_inside_warms_it(self, where):
        assert findings(self.stands(where), "case-hot") == []

    def test_a_black_lid_in_the_sun_may_be_too_hot(self):
        """10 + 14.0 + 41.9 = 65.9 of 45 degrees; white in a veiled sun 30.6."""
        found = only(self.stands("sun"), "case-hot")
        assert (found.severity, found.value) == ("caution", pytest.approx(65.9, abs=0.1))
        assert found.message.startswith("Shade case")
        assert "in full sun" in found.message

    def test_even_a_white_lid_may_be_too_hot(self):
        """25 + 14.0 + 6.6 = 45.6 of 45 degrees."""
        found = only(self.stands("sun", ambient=25), "case-hot")
        assert (found.severity, found.value) == ("stop", pytest.approx(45.6, abs=0.1))

    def test_outdoors_asks_whether_it_stands_in_the_sun(self):
        assert missing(self.stands("outdoors")) == ["brief.stands"]
        assert missing(self.stands("outdoors", ambient=-20)) == []
        assert only(self.stands("outdoors", ambient=40), "case-hot").severity == "stop"


def test_one_of_two_fans_may_stop():
    """Two of 20 m3/h: 10 installed are left, 15.5 K, 45.5 degrees of 45; two of 24 leave 12.9 K."""

    def fans(flow):
        fan = spec("fan", "fan", [], cooling=CoolingSheet(fan_m3h=flow))
        return warm(**{"fan 1": fan, "fan 2": fan})

    assert only(fans(20.0), "fan-dead").value == pytest.approx(45.5)
    assert findings(fans(24.0), "fan-dead") == []
