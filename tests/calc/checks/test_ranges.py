"""Both ends of what is not known, in the finding itself.

Watts by class: IEEE 802.3-2022 clauses 33 and 145, class tables. Copper: IEC 60228, 60028. Limits as in the tests of
each theme. Rigs worked by hand.
"""

import hashlib
import json

import pytest

from calc.checking.compared import Compared, against
from calc.checks import Range, run
from calc.given import Given
from calc.rig.kit import CableSheet
from tests.calc.checks import test_cabling as copper
from tests.calc.checks import test_circuits as circuits
from tests.calc.checks import test_cords as cords
from tests.calc.checks import test_direct_current as direct
from tests.calc.checks import test_fibre as fibre
from tests.calc.checks import test_heat as heat
from tests.calc.checks import test_poe_runs as poe_runs
from tests.calc.checks.kits import NOW, distributed, findings, only, plugs, spec
from tests.calc.checks.test_poe import rig
from tests.calc.checks.test_registry import finding

SILENT_FAN = spec("fan", "fan", [])


def ends(found):
    return (found.range.low, found.range.high)


def asking(wired, unlocks):
    """Return the finding that asks for that number."""
    (found,) = (one for one in findings(wired, "data-missing") if one.unlocks == unlocks)
    return found


# 65 W, three of class 3 are 46.2 W; a device of no class takes 4.0 W (class 1) to 30 W (class 4, the port's).


def test_one_device_of_no_class_leaves_14_8_w_or_lacks_11_2():
    found = only(rig(3, 3, 3, None), "data-missing")
    assert (found.value, found.limit, found.unit) == (None, 65.0, "W")
    assert ends(found) == (50.2, 76.2)
    assert [round(found.limit - end, 3) for end in ends(found)] == [14.8, -11.2]
    assert found.margin == -11.2  # of the worse end


@pytest.mark.parametrize("poe_class", [2, 4])
def test_once_the_class_is_typed_there_is_no_range(poe_class):
    assert all(found.range is None for found in run(rig(3, 3, 3, poe_class), NOW).findings)


def test_what_is_beyond_the_limit_at_both_ends_carries_both():
    """Two of class 4 are 60 W, and a third device at least 4 and at most 30 W: beyond 63 W either way."""
    found = only(rig(4, 4, None, budget_w=63), "poe-budget-exceeded")
    assert (found.severity, found.value, found.margin) == ("stop", 90.0, -27.0)
    assert ends(found) == (64.0, 90.0)


def test_against_a_budget_that_nobody_knows_there_is_a_value_and_no_limit():
    found = only(rig(3, 3, 3, budget_w=None), "data-missing")
    assert (found.value, found.limit, found.margin, found.unit, found.range) == (46.2, None, None, "W", None)


def test_a_port_of_no_class_may_give_less_than_is_asked():
    """Class 4 asks for 25.5 W; a port of class 1 gives none of the classes that it can be demoted to."""
    found = only(rig(4, poe_class=None), "data-missing")
    assert (ends(found), found.limit, found.margin, found.unit) == ((0.0, 25.5), 25.5, -25.5, "W")


def test_volts_are_held_against_the_least():
    """Nothing is lost over no cord; over 100 m of 26 AWG, 14.7 ohm hot: I = 0.625 A and 40.81 V, below 42.5."""
    solid = CableSheet(awg=26, stranded=False)
    found = only(poe_runs.at_the_end_of(spec("cord", "cable", plugs(), cable=solid)), "data-missing")
    assert (found.range.high, found.limit, found.unit) == (50.0, 42.5, "V")
    assert found.range.low == pytest.approx(40.81, abs=0.005)
    assert found.margin == pytest.approx(found.range.low - 42.5)


def loads(known_a):
    """Return a 16 A breaker with a load of so many amperes, and one of which nothing is known."""
    return distributed(circuits.one_breaker(), [circuits.load(known_a), circuits.load(0, max_w=None)])


def test_a_draw_that_nobody_knows_is_open_above():
    found = asking(loads(10), "power.rated_a")
    assert (ends(found), found.limit, found.unit, found.margin) == ((10.0, None), 16.0, "A", None)


def test_a_drum_of_no_length_loses_nothing_or_too_much():
    """10 A over up to 100 m of 2.5 mm2: 2 x 10 x 0.1 km x 7.98 ohm/km x 1.1572 (60 degrees) = 18.47 V, 8.03 %."""
    drum = cords.cord(length_m=None, area_mm2=2.5, kind="drum", coiled_a=16)
    found = asking(cords.fed(drum), "cable.length_m")
    assert (found.range.low, found.limit, found.unit) == (0.0, 3.0, "%")
    assert found.range.high == pytest.approx(8.03, abs=0.005)


def test_a_drum_without_a_plate_has_a_load_and_no_limit():
    found = only(cords.fed(cords.cord(25, 2.5, "drum")), "data-missing")
    assert (found.value, found.limit, found.unit) == (10.0, None, "A")


def test_harmonics_of_a_supply_of_unknown_size_are_held_against_the_neutral():
    found = only(circuits.of_unknown_size(), "data-missing")
    assert (found.limit, found.unit) == (16.0, "A")
    assert found.range.low <= 16 < found.range.high


def test_a_curve_that_nobody_knows_lets_few_or_all_be_switched_on():
    """B16 peaks at 68 A, D16 at 226: two of 30 A or seven; three are there."""
    found = only(circuits.rushing(3, curve=None), "data-missing")
    assert (found.limit, found.unit, found.margin) == (3, "supplies", found.range.low - 3)
    assert found.range.low < 3 <= found.range.high


def test_what_hangs_on_an_output_is_held_against_it():
    """78 W and a device of no draw on 90 W."""
    found = only(direct.fed(direct.brick(outputs=2), direct.device(), direct.device(watts=None)), "data-missing")
    assert (ends(found), found.limit, found.unit) == ((78.0, None), 90.0, "W")


def test_an_output_that_is_open_itself_is_held_against_what_it_feeds():
    """A splitter of no class on a port of class 4 gets 3.84 to 25.5 W; at 90 %, 3.46 to 22.95 W, for 12 W."""
    found = asking(direct.split(12, poe_class=None), "ports.in.poe.class")
    assert (ends(found), found.limit, found.margin, found.unit) == ((3.456, 22.95), 12.0, -8.544, "W")


def test_heat_without_an_end_may_cook_the_case():
    """Steel, 30 degrees outside: a switch of no draw warms it by nothing or by anything; 45 degrees are borne."""
    found = asking(heat.warm("steel", switch=heat.powered_switch(max_w=None)), "power.max_w")
    assert (ends(found), found.limit, found.unit) == ((30.0, None), 45.0, "°C")


def test_a_fan_that_states_no_flow_may_do_nothing_or_everything():
    """Foam-lined: 81.3 degrees with the fan stopped, never below the 30 degrees outside."""
    found = asking(heat.warm(fan=SILENT_FAN), "cooling.fan_m3h")
    assert (found.range.low, found.limit, found.unit) == (30.0, 45.0, "°C")
    assert found.range.high == pytest.approx(81.28, abs=0.01)


def test_no_fan_helps_where_the_ambient_is_too_warm_already():
    found = only(heat.warm(ambient=50.0, fan=SILENT_FAN), "case-hot")
    assert (found.severity, found.value, found.range.low) == ("stop", 50.0, 50.0)


def test_a_part_that_does_not_say_what_it_bears_leaves_no_limit():
    found = asking(heat.warm("steel", switch=heat.powered_switch(bears_c=None)), "cooling.max_ambient_celsius")
    assert (found.value, found.limit, found.unit) == (pytest.approx(43.99, abs=0.01), None, "°C")


def test_a_run_of_unknown_gauge_counts_as_one_length_or_another():
    """84 m of 24 AWG count as 84 x 1.2 = 100.8 m, of 26 AWG as 84 x 1.5 = 126 m; 102 m may be."""
    found = only(copper.chain(copper.cord(84, awg=None)), "data-missing")
    assert (ends(found), found.limit, found.margin, found.unit) == ((100.8, 126.0), 102.0, -24.0, "m")


def test_a_category_that_nobody_knows_leaves_the_speed_open():
    found = only(copper.chain(copper.cord(20, category=None), speed=10_000), "data-missing")
    assert (found.limit, found.unit) == (10_000, "Mb/s")
    assert found.range.low < 10_000


def test_a_fibre_without_a_length_is_open_above():
    """80 m and a lead of no length; OM3 reaches 300 m at 10 Gb/s (IEEE 802.3 clause 52)."""
    found = only(fibre.chain(fibre.glass(80, "OM3"), fibre.glass(None, "OM3")), "data-missing")
    assert (ends(found), found.limit, found.unit) == ((80.0, None), 300.0, "m")


def test_of_several_checks_that_wait_the_nearest_to_its_limit_is_told():
    """The coupler of the load may carry nothing, of 16 A; the breaker carries 10 A already, of 16."""
    found = asking(loads(10), "power.rated_a")
    assert found.inputs["waiting"] == "circuit-overload, cord-drop, coupler-overload"
    assert "load 2" in found.message


# The other way round, and what an acceptance is bound to.


def test_a_limit_that_is_open_changes_places_with_what_is_known():
    drawn, gives = Given.known(12.0, "data sheet", "drawn"), Given.unknown("gives", low=4.0, high=20.0)
    turned = against(drawn, gives, "W")
    assert (turned.range, turned.limit, turned.at_least, turned.margin) == (Range(low=4.0, high=20.0), 12.0, True, -8.0)


def test_two_open_numbers_have_no_limit():
    both = against(Given.unknown("drawn", low=3.0), Given.unknown("gives", high=9.0), "W")
    assert (both.range, both.limit, both.margin) == (Range(low=3.0, high=None), None, None)


def test_a_settled_number_is_a_value_and_no_range():
    settled = Compared(low=3.0, high=3.0, unit="W", limit=4.0)
    assert (settled.value, settled.range, settled.margin) == (3.0, None, 1.0)


def test_between_two_open_ends_there_is_no_range():
    assert Compared(low=float("-inf"), high=float("inf"), unit="W").range is None


def test_a_finding_without_a_range_has_the_fingerprint_that_it_had_before_there_were_ranges():
    bound = ["poe-budget-exceeded", 4, None, 90.0, 65.0, {"budget": 65.0}]
    written = json.dumps(bound, sort_keys=True, separators=(",", ":")).encode()
    assert finding().fingerprint == hashlib.sha256(written).hexdigest()


@pytest.mark.parametrize("other", [None, Range(low=50.2, high=80.0), Range(low=50.2, high=None)])
def test_an_acceptance_dies_with_the_range_it_was_about(other):
    accepted = finding(value=None, range=Range(low=50.2, high=76.2))
    assert finding(value=None, range=other).fingerprint != accepted.fingerprint


def test_another_load_behind_the_breaker_moves_what_was_accepted():
    """The finding names the missing draw alone: what else hangs there stands in its range and nowhere else."""
    few, more = (asking(loads(amperes), "power.rated_a") for amperes in (4, 10))
    assert (few.range.low, more.range.low) == (4.0, 10.0)
    assert few.fingerprint != more.fingerprint
