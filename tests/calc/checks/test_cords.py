"""Mains cords and drums.

Copper: IEC 60228 class 5 (13.3 and 7.98 ohm/km at 20 degrees). Guidance on drop: IEC 60364-5-52 annex G. Disconnection:
IEC 60364-4-41 with Cmin 0.95 (from memory). Drums: IEC 61242. Rigs worked by hand.
"""

from dataclasses import replace

import pytest

from calc.checks import run
from calc.rig.kit import CableSheet, PowerSheet
from tests.calc.checks.kits import NOW, findings, kit, labels, mains, missing, only, spec, supply


def heater(amperes=10.0, **inlet):
    sheet = PowerSheet(max_w=230 * amperes, power_factor=1)
    return spec("heater", "other", [mains("in", "c20", "load", **inlet)], power=sheet)


def cord(length_m=50.0, area_mm2=1.5, kind="cable", coiled_a=None):
    ends = [mains("from", "c20", None, side="plug"), mains("to", "c19", None, side="plug")]
    sheet = CableSheet(length_m=length_m, area_mm2=area_mm2, coiled_a=coiled_a)
    return spec("long cord", kind, ends, cable=sheet)


def fed(cable, load=None, **outlet):
    things = {"panel": spec("panel", "case", [mains("out", "c19", "source", **outlet)]), "load": load or heater()}
    return kit(things, [("panel:out - load:in", cable)])


def test_50_m_of_thin_cord_lose_too_much():
    """2 x 10 A x 0.05 km x 13.3 ohm/km x 1.1572 (60 degrees) = 15.39 V, 6.69 %."""
    found = only(fed(cord()), "cord-drop")
    assert (found.severity, found.limit, found.unit) == ("caution", 5, "%")
    assert found.value == pytest.approx(6.69, abs=0.005)


@pytest.mark.parametrize(
    ("amperes", "percent", "limit"), [(7.4, None, None), (7.5, 3.01, 3), (12.4, 4.98, 3), (12.5, 5.02, 5)]
)
def test_the_stricter_guidance_leaves_something_to_the_venue(amperes, percent, limit):
    """2 x 0.05 km x 7.98 ohm/km x 1.1572 = 0.9234 ohm: 0.4015 % of 230 V for each ampere; guidance 3 and 5 %."""
    found = findings(fed(cord(area_mm2=2.5), heater(amperes)), "cord-drop")
    assert [(f.severity, f.limit) for f in found] == ([] if limit is None else [("caution", limit)])
    assert [f.value for f in found] == ([] if limit is None else [pytest.approx(percent, abs=0.01)])


def test_what_may_leave_too_few_volts_is_asked_for():
    """1000 W at a power factor of 1 or 0.55 are 4.3 to 7.9 A: 4.0 or 7.3 V of 230 V are lost."""
    load = spec("load", "other", [mains("in", "c20", "load", watts=1000, volts_min=224, volts_max=240)])
    asked = [f for f in findings(fed(cord(50, 2.5), load), "data-missing") if "cord-drop" in str(f.inputs)]
    assert len(asked) == 1
    safe = spec("load", "other", [mains("in", "c20", "load", watts=900, volts_min=222, volts_max=240)])
    assert [f for f in findings(fed(cord(50, 2.5), safe), "data-missing") if "cord-drop" in str(f.inputs)] == []


@pytest.mark.parametrize(("awg", "percent"), [(14, 11.4), (20, 52.6)])
def test_a_cord_sold_by_gauge_is_reckoned_by_its_own_table(awg, percent):
    """14 AWG, NFPA 70 chapter 9 table 8, stranded (memory): 3.14 ohm/kft at 75 °C, 9.82 ohm/km at 60 °C, 13.7 V of 120.

    20 AWG is in no table: 0.518 mm2 by ASTM B258, the table's 0.5 mm2 has 39.0 ohm/km at 20 °C (IEC 60228).
    """
    cable = cord(area_mm2=None)
    cable = replace(cable, cable=replace(cable.cable, length_m=70, awg=awg))
    load = spec("heater", "other", [mains("in", "c20", "load")], power=PowerSheet(max_w=1200, power_factor=1))
    things = {"panel": spec("panel", "case", [mains("out", "c19", "source")]), "load": load}
    found = only(kit(things, [("panel:out - load:in", cable)], rules="north_america"), "cord-drop")
    assert found.value == pytest.approx(percent, abs=0.1)
    assert found.inputs["lead at load in: area_mm2"] == pytest.approx({14: 2.081, 20: 0.518}[awg], abs=0.001)


def test_too_few_volts_at_the_load_are_a_stop():
    found = only(fed(cord(), heater(volts_min=220, volts_max=240)), "cord-drop")
    assert (found.severity, found.limit, found.unit) == ("stop", 220, "V")
    assert found.value == pytest.approx(214.61, abs=0.01)
    assert found.margin == pytest.approx(-5.39, abs=0.01)


def test_a_cord_of_hardly_any_length_loses_nothing():
    assert findings(fed(cord(length_m=1e-300)), "cord-drop") == []


def test_short_leads_of_unknown_length_pass():
    assert missing(fed(cord(length_m=None, area_mm2=None), heater(5))) == []


def test_a_load_with_two_ends_is_asked_about_only_where_the_worse_one_loses_too_much():
    """1000 W at a power factor of 1 or 0.55 are 4.3 to 7.9 A: over 20 m of 2.5 mm2 1.3 %, over 60 m 3.8 %."""
    load = spec("load", "other", [mains("in", "c20", "load", watts=1000)])
    assert missing(fed(cord(20, 2.5), load)) == []
    assert missing(fed(cord(60, 2.5), load)) != []


def test_the_length_of_a_drum_must_be_known():
    assert "cable.length_m" in missing(fed(cord(length_m=None, kind="drum", coiled_a=16)))


def test_the_size_of_a_drum_must_be_known_where_it_decides():
    """0.75 to 2.5 mm2: 2.0 to 6.5 % over 25 m, 4.0 to 13 % over 50 m, beyond 3 % whatever its size."""
    assert "cable.area_mm2" in missing(fed(cord(length_m=25, area_mm2=None, kind="drum", coiled_a=16)))
    assert only(fed(cord(area_mm2=None, kind="drum", coiled_a=16)), "cord-drop").severity == "caution"
    assert missing(fed(cord(length_m=10, area_mm2=None, kind="drum", coiled_a=16))) == []


def test_an_unknown_load_may_lose_too_much():
    assert missing(fed(cord(length_m=50), supply(None))) == ["power.rated_a"]


def test_a_long_loop_is_not_disconnected_by_a_c_breaker():
    """2 x 0.05 km x 13.3 x 1.1965 (70 degrees) = 1.59 ohm; C16: 0.95 x 230 / 160 = 1.37; B16: 2.73."""
    found = only(fed(cord(), breaker_a=16, curve="C"), "loop-too-long")
    assert (found.severity, found.unit) == ("stop", "Ω")
    assert found.value == pytest.approx(1.59, abs=0.005)
    assert found.limit == pytest.approx(1.366, abs=0.001)
    assert findings(fed(cord(), breaker_a=16, curve="B"), "loop-too-long") == []
    assert findings(fed(cord(30), breaker_a=16, curve="C"), "loop-too-long") == []


def test_a_loop_behind_an_outlet_without_breaker_is_not_judged_by_another_one():
    outlets = [mains("out", "c19", "source"), mains("other", "c19", "source", breaker_a=16, curve="C")]
    things = {"panel": spec("panel", "case", outlets), "load": heater()}
    assert findings(kit(things, [("panel:out - load:in", cord())]), "loop-too-long") == []
    assert labels(findings(kit(things, [("panel:other - load:in", cord())]), "loop-too-long")) == ["load"]


def test_without_a_curve_the_loop_is_asked_about_only_where_the_curve_decides():
    assert findings(fed(cord(), breaker_a=16), "loop-too-long") == []
    assert missing(fed(cord(5), breaker_a=16)) == []


def outlet_drum(**cable):
    """Return a drum with outlets in its hub, and so an inlet of its own."""
    ports = [mains("plug", "c20", "load"), mains("1", "c19", "source"), mains("2", "c19", "source")]
    return spec("drum", "drum", ports, cable=CableSheet(**{"area_mm2": 1.5, "coiled_a": 16} | cable))


def behind(box, **outlet):
    things = {"panel": spec("panel", "case", [mains("out", "c19", "source", **outlet)]), "box": box, "load": heater()}
    return kit(things, [("panel:out - box:plug", cord(1, 2.5)), ("box:1 - load:in", cord(1, 2.5))])


def test_the_own_cable_of_a_drum_with_outlets_loses_volts_too():
    """2 x 10 A x 0.05 km x 13.3 x 1.1572 = 15.39 V and twice 0.18 V of the short leads: 15.76 V, 6.85 %."""
    found = only(behind(outlet_drum(length_m=50)), "cord-drop")
    assert (found.subject.label, found.limit) == ("load", 5)
    assert found.value == pytest.approx(6.85, abs=0.01)
    assert findings(behind(outlet_drum(length_m=10)), "cord-drop") == []
    assert "cable.length_m" in missing(behind(outlet_drum(length_m=None)))


def test_the_own_cable_of_a_drum_or_a_box_is_in_the_loop():
    """2 x 0.05 km x 13.3 x 1.1965 = 1.59 ohm and 0.04 of the short leads; C16 disconnects up to 1.37."""
    found = only(behind(outlet_drum(length_m=50), breaker_a=16, curve="C"), "loop-too-long")
    assert (found.severity, found.value) == ("stop", pytest.approx(1.63, abs=0.01))
    assert findings(behind(outlet_drum(length_m=25), breaker_a=16, curve="C"), "loop-too-long") == []
    box = replace(outlet_drum(length_m=50), kind="distro")
    assert len(findings(behind(box, breaker_a=16, curve="C"), "loop-too-long")) == 1
    assert findings(behind(replace(box, cable=None), breaker_a=16, curve="C"), "loop-too-long") == []


def breakered_box(breaker_a=16, **outlet):
    ports = [mains("plug", "c20", "load"), mains("1", "c19", "source", breaker_a=breaker_a, curve="C", **outlet)]
    return spec("box", "distro", ports)


def test_a_fault_behind_a_smaller_breaker_is_that_ones_to_disconnect():
    """50 m of 2.5 mm2 are 0.95 ohm: within the 1.37 of the C16 in the box, beyond the 0.35 of the C63 before it."""
    wall = spec("panel", "case", [mains("out", "c19", "source", breaker_a=63, curve="C")])
    things = {"panel": wall, "box": breakered_box(), "load": heater()}
    links = [("panel:out - box:plug", cord(1, 16)), ("box:1 - load:in", cord(50, 2.5))]
    assert findings(kit(things, links), "loop-too-long") == []
    things["box"] = breakered_box(breaker_a=32)
    assert labels(findings(kit(things, links), "loop-too-long")) == ["load"]


@pytest.mark.parametrize(("before_ma", "own_ma", "severity"), [
    (30, None, None), (30, 0, None), (300, 30, None), (300, None, "caution"), (0, 0, "stop"),
])  # fmt: skip
def test_a_residual_current_device_before_the_breaker_disconnects_a_fault_too(before_ma, own_ma, severity):
    wall = spec("panel", "case", [mains("out", "c19", "source", rcd_ma=before_ma)])
    things = {"panel": wall, "box": breakered_box(rcd_ma=own_ma), "load": heater()}
    found = findings(kit(things, ["panel:out - box:plug", ("box:1 - load:in", cord())]), "loop-too-long")
    assert [f.severity for f in found] == ([] if severity is None else [severity])


def test_a_drum_carries_less_while_it_is_coiled():
    """A plate of 1000 W coiled: 4.35 A."""
    found = only(fed(cord(25, 2.5, "drum", coiled_a=4.35)), "drum-coiled")
    assert (found.severity, found.value, found.limit, found.margin) == ("caution", 10, 4.35, -5.65)
    assert findings(fed(cord(25, 2.5, "drum", coiled_a=4.35), heater(4)), "drum-coiled") == []


def test_an_unknown_plate_is_asked_for():
    assert missing(fed(cord(25, 2.5, "drum"))) == ["cable.coiled_a"]


def test_a_plate_is_asked_for_once_and_at_the_drum():
    drum = cord(25, 2.5, "drum")
    panel = spec("panel", "case", [mains("out 1", "c19", "source"), mains("out 2", "c19", "source")])
    things = {"panel": panel, "drum": drum, "a": heater(), "b": heater()}
    result = run(kit(things, [("panel:out 1 - a:in", drum), ("panel:out 2 - b:in", "drum")]), NOW)
    assert missing(result) == ["cable.coiled_a"]
    held = run(kit(things, [("panel:out 2 - b:in", "drum")]), NOW)
    assert labels(findings(held, "data-missing")) == ["drum"]


def test_a_drum_that_stands_in_the_way_counts_too():
    sockets = [mains("from", "c20", None), mains("to", "c19", None)]
    drum = spec("drum", "drum", sockets, cable=CableSheet(length_m=25, area_mm2=2.5, coiled_a=4.35))
    things = {"panel": spec("panel", "case", [mains("out", "c19", "source")]), "drum": drum, "load": heater()}
    result = run(kit(things, ["panel:out - drum:from", "drum:to - load:in"]), NOW)
    assert labels(findings(result, "drum-coiled")) == ["load"]
