"""Breakers inside a kit.

Limits: IEC 60898 and NFPA 70 210.20(A) (load), IEC 60364-5-53 (leakage), IEC 60898 (instant region), IEC 60364-5-52
(neutral). Rigs worked by hand; breakers, curves and steps from memory as the registers say.
"""

import pytest

from calc.checks import run
from calc.rig.kit import PowerSheet
from tests.calc.checks.kits import (
    NOW,
    distributed,
    distro,
    findings,
    kit,
    labels,
    mains,
    missing,
    only,
    span,
    spec,
    supply,
)


def load(amperes, volts=230, **sheet):
    """Return a load of so many amperes at 230 V."""
    power = PowerSheet(**{"max_w": amperes * volts, "power_factor": 1, "protection_class": "I"} | sheet)
    return spec("load", "other", [mains("in", "c20", "load")], power=power)


def one_breaker(breaker_a=16, group="breaker 1", **fields):
    return distro(connector="c19", breaker_a=breaker_a, group=group, **fields)


@pytest.mark.parametrize(("amperes", "severity"), [(12.8, None), (13, "caution"), (16, "caution"), (16.1, "stop")])
def test_load_behind_a_breaker(amperes, severity):
    """16 A: up to 12.8 A is good headroom, common practice; beyond 16 A is beyond its rating."""
    found = findings(distributed(one_breaker(), [load(amperes / 2)] * 2), "same-breaker")
    assert [f.severity for f in found] == ([] if severity is None else [severity])


@pytest.mark.parametrize(("amperes", "is_found"), [(13, False), (16, False), (16.1, True)])
def test_one_appliance_alone_needs_no_headroom(amperes, is_found):
    """9 kW on a three-phase plug of 16 A are 13 A: it is sold so."""
    found = findings(distributed(one_breaker(), [load(amperes)]), "circuit-overload")
    assert [f.severity for f in found] == (["stop"] if is_found else [])


def test_the_message_tells_a_limit_from_good_headroom():
    beyond = only(distributed(one_breaker(), [load(8.05)] * 2), "same-breaker").message
    close = only(distributed(one_breaker(), [load(6.5)] * 2), "same-breaker").message
    assert "where 16 A are the limit" in beyond
    assert "where 12.8 A are good headroom" in close


def test_a_distribution_unit_that_draws_something_itself_counts():
    screen = spec("distro with a screen", "distro", [mains("in", "c20", "load")], power=PowerSheet(max_w=3800))
    assert missing(distributed(one_breaker(), [screen])) == []
    assert only(distributed(one_breaker(), [screen]), "circuit-overload").severity == "stop"


def test_where_the_rules_leave_headroom_there_is_no_second_step():
    """20 A at 120 V: 16 A is the limit of NFPA 70, and 13.33 A leave 2.67 A."""
    loads = [load(1.333, volts=120)] * 10
    assert findings(distributed(one_breaker(20), loads, rules="north_america"), "circuit-overload") == []
    loads = [load(1.61, volts=120)] * 10
    found = only(distributed(one_breaker(20), loads, rules="north_america"), "same-breaker")
    assert (found.severity, found.limit) == ("stop", 16)


def test_outlets_that_look_separate_share_a_breaker():
    """9 A on each of two outlets behind one 16 A breaker: 18 A."""
    found = only(distributed(one_breaker(), [load(9), load(9)]), "same-breaker")
    assert (found.severity, found.value, found.limit, found.margin) == ("stop", 18, 16, -2)
    assert findings(distributed(one_breaker(), [load(9), load(9)]), "circuit-overload") == []


def test_outlets_with_breakers_of_their_own_do_not_share():
    apart = distributed(one_breaker(group=None), [load(9), load(9)])
    assert findings(apart, "same-breaker") == []
    assert findings(apart, "circuit-overload") == []


def test_an_unknown_load_behind_a_breaker_is_asked_for():
    assert missing(distributed(distro(breaker_a=16, curve="C"), [supply(None)])) == ["power.rated_a"]


def leaking(count, rcd_ma=30, **fields):
    return distributed(distro(outlets=30, rcd_ma=rcd_ma), [supply(20, **fields)] * count)


@pytest.mark.parametrize(("count", "severity"), [(10, None), (12, None), (13, "caution"), (20, "stop"), (21, "stop")])
def test_leakage_of_supplies_that_state_none(count, severity):
    """0.75 mA each, assumed: 12 make 9.0 of 30 mA; 13 make 9.75; 20 make 15.0, from where it may trip."""
    found = findings(leaking(count), "leakage-high")
    assert [f.severity for f in found] == ([] if severity is None else [severity])
    if found:
        assert found[0].basis["assumed"] == count
        assert found[0].value == 0.75 * count


def test_stated_leakage_counts_and_class_ii_has_none():
    assert only(leaking(3, leakage_ma=3.5), "leakage-high").value == 10.5
    assert findings(leaking(21, protection_class="II"), "leakage-high") == []


@pytest.mark.parametrize(
    ("count", "rules", "limit"), [(12, "iec", None), (13, "iec", 9), (21, "iec", 9), (5, "north_america", 3)]
)
def test_an_unknown_residual_current_device_is_assumed_and_never_stops(count, rules, limit):
    """30 mA under IEC 60364-5-53: caution above 9 mA; a class A device in North America: above 3 mA (memory)."""
    source = distro(outlets=30, rcd_ma=None)
    found = findings(distributed(source, [supply(20)] * count, rules=rules), "leakage-high")
    assert [(f.severity, f.limit) for f in found] == ([] if limit is None else [("caution", limit)])
    if found:
        assert found[0].basis["assumed"] == count + 1
        assert "an assumed" in found[0].message
        assert ("GFCIs" if rules == "north_america" else "RCDs") in found[0].message


def test_where_it_is_stated_that_there_is_no_device_nothing_trips():
    assert findings(leaking(21, rcd_ma=0), "leakage-high") == []


def chained(first_ma, second_ma, count=13):
    """Return a distribution unit that feeds another one with supplies on it."""
    outlet = mains("out", "c19", "source", rcd_ma=first_ma)
    first = spec("first", "distro", [mains("in", "c20", "load"), outlet])
    things = {"first": first, "second": distro(outlets=30, rcd_ma=second_ma)}
    loads = {f"load {n}": supply(20) for n in span(count)}
    links = [f"second:{n} - load {n}:in" for n in span(count)]
    return kit(things | loads, ["first:out - second:in", *links])


@pytest.mark.parametrize(
    ("first_ma", "second_ma", "where", "rated_ma"),
    [
        (None, None, "first", 30),  # one is assumed where the supply comes in, not one behind the other
        (30, None, "first", 30),  # a stated one in front of it all will do
        (0, None, "second", 30),
        (None, 30, "second", 30),  # what a stated one protects is judged there
        (None, 300, None, None),
    ],
)
def test_a_device_is_assumed_once_where_the_supply_comes_in(first_ma, second_ma, where, rated_ma):
    found = findings(chained(first_ma, second_ma), "leakage-high")
    assert labels(found) == ([] if where is None else [where])
    assert [value for f in found for name, value in f.inputs.items() if "rcd_ma" in name] == [rated_ma] * len(found)


def rushing(count, curve="C", inrush_a=30.0):
    source = distro(breaker_a=16, curve=curve, group="breaker 1")
    return distributed(source, [supply(160, inrush_a=inrush_a, inrush_ms=0.5)] * count)


def test_supplies_are_switched_on_in_groups():
    """C16: 5 x 16 x 1.414 = 113 A peak does not trip it, three times 30 A."""
    assert findings(rushing(3), "inrush-group") == []
    found = only(rushing(4), "inrush-group")
    assert (found.severity, found.value, found.limit) == ("caution", 4, 3)
    assert "in groups of 3" in found.message


def test_an_unknown_inrush_is_asked_for():
    assert missing(rushing(4, inrush_a=None)) == ["power.inrush_a"]


def test_an_unknown_curve_is_asked_for_where_it_decides():
    assert missing(rushing(3, curve=None)) == ["ports.1.power.curve"]
    assert missing(rushing(2, curve=None)) == []
    assert only(rushing(10, curve=None), "inrush-group").severity == "caution"


def test_breakers_that_carry_no_curve_are_not_judged():
    source = distro(breaker_a=16, group="breaker 1")
    fed = distributed(source, [supply(160, inrush_a=30.0)] * 4, rules="north_america")
    assert findings(fed, "inrush-group") == []


def three_phase(third_harmonic, amperes=36.0):
    """Return a three-phase feed of 16 A with loads of so many effective amperes together."""
    inlet = "iec60309-16-3pne-400"
    outlet = spec("panel", "case", [mains("out", inlet, "source")])
    each = load(amperes / 6, third_harmonic=third_harmonic)
    ports = [mains("in", inlet, "load", side="plug"), *(mains(f"{n}", "c19", "source") for n in span(6))]
    things = {"panel": outlet, "distro": spec("distro", "distro", ports), **{f"load {n}": each for n in span(6)}}
    return kit(things, ["panel:out - distro:in", *(f"distro:{n} - load {n}:in" for n in span(6))])


def test_harmonics_add_in_the_neutral_of_a_balanced_feed():
    """12 A of fundamental and 60 % third harmonic in each phase: 13.99 A effective, 3 x 7.2 = 21.6 A in the neutral."""
    found = only(three_phase(0.6, amperes=3 * 13.994), "neutral-overload")
    assert (found.severity, found.limit) == ("stop", 16)
    assert found.value == pytest.approx(21.6, abs=0.01)
    assert found.margin == pytest.approx(-5.6, abs=0.01)


def test_corrected_supplies_leave_the_neutral_alone():
    result = run(three_phase(0.1, amperes=36), NOW)
    assert findings(result, "neutral-overload") == []
    assert missing(result) == []


def test_an_unknown_harmonic_is_taken_by_the_size_of_the_supply():
    assert findings(three_phase(None), "neutral-overload") == []


def of_unknown_size():
    """Return a three-phase feed of six loads with a label and nothing else."""
    label = {"max_w": None, "power_factor": None, "rated_a": 16.0, "at_volts": 100}
    inlet = "iec60309-16-3pne-400"
    ports = [mains("in", inlet, "load", side="plug"), *(mains(f"{n}", "c19", "source") for n in span(6))]
    things = {"panel": spec("p", "case", [mains("out", inlet, "source")]), "distro": spec("d", "distro", ports)}
    each = load(1, **label)
    things |= {f"load {n}": each for n in span(6)}
    return kit(things, ["panel:out - distro:in", *(f"distro:{n} - load {n}:in" for n in span(6))])


def test_an_unknown_harmonic_of_an_unknown_size_is_asked_for():
    assert missing(of_unknown_size()) == ["power.third_harmonic"]
