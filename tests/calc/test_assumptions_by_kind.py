"""What missing numbers are taken for.

All defaults are common practice of the trade, but for: 75 W, where IEC 61000-3-2 begins to limit harmonics (from
memory); the least and the class powers of IEEE 802.3 (tests/reference/poe.json); gauges by ASTM B258.
"""

import json
from pathlib import Path

import pytest

from calc import assumptions
from calc.errors import BadInput
from calc.given import Choice, Given
from calc.registers import load
from calc.rig.kit import CableSheet, Port, PortPower, PowerSheet, Spec
from calc.vocabulary import CASE_BUILDS

REFERENCE = Path(__file__).parent.parent / "reference"
SMALL = {"power_factor": 0.55, "third_harmonic": 0.8, "efficiency": 0.85}
LARGE = {"power_factor": 0.95, "third_harmonic": 0.1, "efficiency": 0.9}
BY_SIZE = {
    "power_factor": assumptions.power_factor,
    "third_harmonic": assumptions.third_harmonic,
    "efficiency": assumptions.efficiency,
}
LEAST, MOST = {"third_harmonic": 0.0}, {"power_factor": 1.0}
"""A heater of any size has a power factor of 1 and no harmonics: what is assumed is only the other end."""
every_size_rule = pytest.mark.parametrize("what", BY_SIZE)


def spec(kind="supply", *, provenance=None, **sheets):
    return Spec(id=1, name="thing", kind=kind, provenance=provenance or {}, **sheets)


def supply(**power):
    return spec(power=PowerSheet(**power))


def assumed(what, value):
    return Given.assumed_range(LEAST.get(what, value), MOST.get(what, value), f"power.{what}")


def outlet(rcd_ma):
    power = PortPower(role="source", rcd_ma=rcd_ma)
    return spec("distro", ports=(Port(name="out", connector="c13", side="socket", carries="mains", power=power),))


class TestSupplies:
    @every_size_rule
    @pytest.mark.parametrize("power", [{"max_w": 75}, {"output_w": 20}, {"rated_a": 0.7, "at_volts": 100}])
    def test_a_small_supply(self, what, power):
        assert BY_SIZE[what](supply(**power)) == assumed(what, SMALL[what])

    @every_size_rule
    @pytest.mark.parametrize("power", [{"max_w": 75.1}, {"output_w": 120}])
    def test_a_large_supply(self, what, power):
        assert BY_SIZE[what](supply(**power)) == assumed(what, LARGE[what])

    @every_size_rule
    @pytest.mark.parametrize("thing", [spec(), supply(), supply(rated_a=1.6, at_volts=100), supply(rated_a=0.1)])
    def test_a_supply_of_unknown_size_is_taken_for_either(self, what, thing):
        """160 VA may be 88 W at 0.55, or 152 W at 0.95: a label in volt-amperes does not tell."""
        low, high = sorted([SMALL[what], LARGE[what]])
        assert BY_SIZE[what](thing) == Given(LEAST.get(what, low), MOST.get(what, high), "assumed", f"power.{what}")

    @every_size_rule
    def test_what_is_written_wins(self, what):
        thing = spec(power=PowerSheet(max_w=20, **{what: 0.7}), provenance={f"power.{what}": "measured"})
        assert BY_SIZE[what](thing) == Given.known(0.7, "measured", f"power.{what}")

    def test_leakage(self):
        assert assumptions.leakage_ma(spec()) == Given.assumed(0.75, "power.leakage_ma")
        assert assumptions.leakage_ma(supply(protection_class="I")) == Given.assumed(0.75, "power.leakage_ma")
        assert assumptions.leakage_ma(supply(leakage_ma=0.0)) == Given.known(0.0, "data sheet", "power.leakage_ma")

    @pytest.mark.parametrize("protection_class", ["II", "III"])
    def test_without_a_protective_conductor_nothing_flows_in_it(self, protection_class):
        """IEC 61140: class II and III have no protective conductor."""
        thing = spec(
            power=PowerSheet(protection_class=protection_class), provenance={"power.protection_class": "label"}
        )
        assert assumptions.leakage_ma(thing) == Given.known(0.0, "label", "power.leakage_ma")

    def test_inrush_is_never_guessed(self):
        given = assumptions.inrush_a(supply(max_w=20))
        assert (given.low, given.high, given.provenance) == (0, float("inf"), "unknown")
        assert assumptions.inrush_a(supply(inrush_a=30)) == Given.known(30, "data sheet", "power.inrush_a")

    def test_ten_unlabelled_supplies_stay_within_the_leakage_of_a_30_ma_device_and_thirteen_do_not(self):
        """0.30 of the rated residual current, IEC 60364-5-53: 10 × 0.75 = 7.5 ≤ 9.0 < 9.75 = 13 × 0.75."""
        limit_ma = 0.3 * assumptions.residual_for_tripping_ma(outlet(None), "out", "iec").low
        assert 10 * assumptions.leakage_ma(spec()).high <= limit_ma < 13 * assumptions.leakage_ma(spec()).high


class TestPoweredDevices:
    def test_an_unknown_class_is_between_the_least_and_what_the_port_grants(self):
        """IEEE 802.3 class tables: class 1 sets aside 4.0 W."""
        assert assumptions.asked_w("in", None, 30.0) == Given.unknown("ports.in.poe.class", low=4.0, high=30.0)

    @pytest.mark.parametrize("poe_class", range(9))
    def test_a_known_class_asks_for_its_power(self, poe_class):
        published = json.loads((REFERENCE / "poe.json").read_text(encoding="utf-8"))["constants"]
        source_w = published["source_w by class 0-8"]["value"][poe_class]
        assert assumptions.asked_w("in", poe_class, 90.0) == Given.known(source_w, "data sheet", "ports.in.poe.class")

    def test_three_of_class_3_and_one_unknown_may_or_may_not_fit_65_w(self):
        """IEEE 802.3: 3 × 15.4 + 4.0 = 50.2 and 3 × 15.4 + 30 = 76.2, so 65 W is undecided."""
        unknown = assumptions.asked_w("in", None, 30.0)
        assert unknown.agrees(lambda watts: 3 * 15.4 + watts <= 65) is None
        assert unknown.agrees(lambda watts: 3 * 15.4 + watts <= 50) is False
        assert unknown.agrees(lambda watts: 3 * 15.4 + watts <= 80) is True

    @pytest.mark.parametrize(("poe_class", "port_max_w"), [(9, 30.0), (-1, 30.0), (None, 3.9), (None, float("nan"))])
    def test_what_the_standard_does_not_have_is_refused(self, poe_class, port_max_w):
        with pytest.raises(BadInput):
            assumptions.asked_w("in", poe_class, port_max_w)


class TestLeads:
    @pytest.mark.parametrize(
        ("kind", "length_m", "low", "high"),
        [
            ("cable", 1, 26, 26),
            ("cable", 5, 26, 26),
            ("cable", 5.1, 24, 26),
            ("cable", None, 24, 26),
            ("drum", 50, 24, 24),
            ("drum", None, 24, 24),
            ("drum", 3, 24, 24),
        ],
    )
    def test_gauge_of_a_data_cord(self, kind, length_m, low, high):
        thing = spec(kind, cable=CableSheet(length_m=length_m))
        assert assumptions.cord_awg(thing) == Given(low, high, "assumed", "cable.awg")

    def test_gauge_that_is_written(self):
        thing = spec("cable", cable=CableSheet(length_m=1, awg=24), provenance={"cable.awg": "label"})
        assert assumptions.cord_awg(thing) == Given.known(24, "label", "cable.awg")

    def test_category_and_strands(self):
        assert assumptions.cord_category(spec("cable")) == Choice("5e", "assumed", "cable.category")
        assert assumptions.cord_stranded(spec("cable")) == Choice(True, "assumed", "cable.stranded")
        written = spec("cable", cable=CableSheet(category="6a", stranded=False), provenance={"cable.category": "label"})
        assert assumptions.cord_category(written) == Choice("6a", "label", "cable.category")
        assert assumptions.cord_stranded(written) == Choice(False, "data sheet", "cable.stranded")

    def test_area_of_a_mains_lead(self):
        assert assumptions.mains_area_mm2(spec("cable")) == Given.assumed(0.75, "cable.area_mm2")
        assert assumptions.mains_area_mm2(spec("drum")) == Given.unknown("cable.area_mm2", low=0.75, high=2.5)
        written = spec("drum", cable=CableSheet(area_mm2=1.5))
        assert assumptions.mains_area_mm2(written) == Given.known(1.5, "data sheet", "cable.area_mm2")

    def test_area_of_a_mains_lead_sold_by_gauge(self):
        """ASTM B258: 14 AWG is 2.08 mm²."""
        given = assumptions.mains_area_mm2(spec("cable", cable=CableSheet(awg=14)))
        assert given.low == given.high == pytest.approx(2.08, abs=0.005)
        assert given.name == "cable.awg"


class TestProtection:
    def test_curves_of_a_breaker(self):
        """IEC 60898-1 has B, C and D; North American breakers carry no such letter."""
        assert assumptions.breaker_curves("C", "iec") == ("C",)
        assert assumptions.breaker_curves(None, "iec") == ("B", "C", "D")
        assert assumptions.breaker_curves(None, "north_america") == ()

    @pytest.mark.parametrize(("rules", "assumed_ma"), [("iec", 30), ("north_america", 5)])
    def test_an_unknown_residual_device_is_the_usual_one_of_the_region(self, rules, assumed_ma):
        taken = assumptions.residual_for_tripping_ma(outlet(None), "out", rules)
        assert taken == Given.assumed(assumed_ma, "ports.out.power.rcd_ma")

    def test_a_known_residual_device_is_what_it_is(self):
        known = Given.known(100, "data sheet", "ports.out.power.rcd_ma")
        assert assumptions.residual_for_tripping_ma(outlet(100), "out", "iec") == known

    @pytest.mark.parametrize("wrong", [0, -30, float("nan"), "30", True])
    def test_impossible_devices_are_refused(self, wrong):
        with pytest.raises(BadInput) as refused:
            assumptions.residual_for_tripping_ma(outlet(wrong), "out", "iec")
        assert refused.value.argument == "ports.out.power.rcd_ma"

    def test_a_port_that_is_not_there_is_refused(self):
        with pytest.raises(BadInput):
            assumptions.residual_for_tripping_ma(outlet(30), "in", "iec")

    def test_impossible_curves_and_rules_are_refused(self):
        for curve, rules in (("K", "iec"), ("", "iec"), (None, "mars"), ("B", "")):
            with pytest.raises(BadInput):
                assumptions.breaker_curves(curve, rules)


class TestCases:
    def test_a_case_of_unknown_walls_keeps_more_heat_in_than_any_other(self):
        """The heat transmittances that enclosure climate sheets publish: the assumed build has the least."""
        taken = assumptions.case_build(None)
        assert taken == Choice("foam-lined", "assumed", "build")
        published = json.loads((REFERENCE / "heat.json").read_text(encoding="utf-8"))["constants"]["k W/m2K"]["value"]
        numbers = {name: value for name, value in published.items() if isinstance(value, float)}
        assert min(numbers, key=numbers.get).startswith(taken.value)

    @pytest.mark.parametrize("build", CASE_BUILDS)
    def test_a_known_build_is_kept(self, build):
        assert assumptions.case_build(build) == Choice(build, "data sheet", "build")

    @pytest.mark.parametrize("build", ["", "gold", "steel\0", 3])
    def test_an_impossible_build_is_refused(self, build):
        with pytest.raises(BadInput) as refused:
            assumptions.case_build(build)
        assert refused.value.argument == "build"


class TestStated:
    def test_a_number_comes_with_where_it_is_from(self):
        thing = spec(weight_kg=2.5, power=PowerSheet(max_w=40), provenance={"power.max_w": "label"})
        assert assumptions.stated(thing, "power.max_w") == Given.known(40, "label", "power.max_w")
        assert assumptions.stated(thing, "weight_kg") == Given.known(2.5, "data sheet", "weight_kg")

    @pytest.mark.parametrize("path", ["depth_mm", "power.max_w", "cable.length_m"])
    def test_what_nobody_wrote_is_none_and_never_zero(self, path):
        assert assumptions.stated(spec(power=PowerSheet()), path) is None

    @pytest.mark.parametrize("path", ["", "power.", "power.watts", "colour", "power.max_w.low", "power\0", "__class__"])
    def test_what_no_spec_has_is_refused(self, path):
        with pytest.raises(BadInput):
            assumptions.stated(supply(max_w=40), path)

    @pytest.mark.parametrize("path", ["name", "power", "power.protection_class"])
    def test_what_is_no_number_is_refused(self, path):
        with pytest.raises(BadInput) as refused:
            assumptions.stated(supply(protection_class="I"), path)
        assert refused.value.argument == path


def test_every_default_says_how_it_is_known():
    register = load("assumptions")
    defaults = [entry for entry in register.values() if "value" in entry]
    defaults += [entry for size in ("small_supply", "large_supply") for entry in register[size].values()]
    assert len(defaults) == len(register) - 2 + len(SMALL) + len(LARGE)
    assert {entry["known"] for entry in defaults} <= {"read", "memory", "common practice"}
    assert all(entry["known"] == "common practice" or entry["source"] for entry in defaults)
