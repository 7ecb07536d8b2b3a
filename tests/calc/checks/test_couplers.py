"""Mains couplers and cords.

Ratings: IEC 60320, IEC 60309, NEMA WD 6 and BS 7671 table 4F3A, in the registers. Rigs worked by hand.
"""

import pytest

from calc.checks import run
from calc.rig.kit import CableSheet, PowerSheet
from calc.rig.wiring import power_feeds, wire
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
    plugs,
    span,
    spec,
    supply,
)

HEATER = spec("heater", "other", [mains("in", "c14", "load")], power=PowerSheet(max_w=2415, power_factor=1))
"""10.5 A at 230 V."""
FITTING = spec("fitting", "other", [mains("in", "c14", "load")], power=PowerSheet(max_w=2300, power_factor=1))
"""10.0 A at 230 V."""


def cord(area_mm2=None, rated_a=None, fuse_a=None):
    ends = [mains("from", "c14", None, side="plug"), mains("to", "c13", None, side="plug")]
    return spec("cord", "cable", ends, cable=CableSheet(length_m=2, area_mm2=area_mm2, rated_a=rated_a, fuse_a=fuse_a))


def test_a_coupler_carries_its_rating_and_no_more():
    found = only(distributed(distro(), [HEATER]), "coupler-overload")
    assert (found.severity, found.value, found.limit, found.margin, found.unit) == ("stop", 10.5, 10, -0.5, "A")
    assert findings(distributed(distro(), [FITTING]), "coupler-overload") == []


def test_the_rating_follows_the_rules():
    """2415 W at 120 V are 20.1 A, above the 15 A of a C13 there; the 20 A in front are exceeded by less."""
    found = only(distributed(distro(), [HEATER], rules="north_america"), "coupler-overload")
    assert (found.value, found.limit) == (20.125, 15)


@pytest.mark.parametrize(
    ("cable", "limit"), [(cord(0.75), 6), (cord(rated_a=7), 7), (cord(fuse_a=5), 5), (cord(1.0), None)]
)
def test_a_cord_may_carry_less_than_its_couplers(cable, limit):
    found = findings(distributed(distro(), [FITTING], cable), "coupler-overload")
    assert [f.limit for f in found] == ([] if limit is None else [limit])


@pytest.mark.parametrize(
    ("rules", "size", "amperes", "outcome"),
    [
        ("north_america", {"area_mm2": 4.0}, 24, None),
        ("north_america", {"area_mm2": 4.0}, 28, "asked"),
        ("north_america", {"area_mm2": 4.0}, 31, "stopped"),
        ("north_america", {"area_mm2": 0.82}, 10, None),
        ("north_america", {"area_mm2": 0.82}, 11, "stopped"),
        ("iec", {"awg": 12}, 24, None),
        ("iec", {"awg": 12}, 30, "asked"),
        ("iec", {"awg": 12, "rated_a": 30}, 30, None),
        ("iec", {"awg": 28}, 1, "asked"),
    ],
)
def test_a_size_that_the_table_lacks_lies_between_its_neighbours(rules, size, amperes, outcome):
    """NFPA 70 table 400.5(A)(1): 12 AWG (3.3 mm2) 25 A, 10 AWG (5.3 mm2) 30 A, 18 AWG (0.82 mm2) 10 A; BS 7671 table
    4F3A: 2.5 mm2 25 A, 4 mm2 32 A, 0.5 mm2 3 A. All from memory."""
    volts = {"iec": 230, "north_america": 120}[rules]
    coupler = "single-pole-cam-l1"  # carries more than any of these cables
    ends = [mains(name, coupler, None, side=side) for name, side in (("a", "plug"), ("b", "socket"))]
    cable = spec("cable", "cable", ends, cable=CableSheet(length_m=1, **size))
    load = spec("load", "other", [mains("in", coupler, "load", side="plug")],
                power=PowerSheet(max_w=amperes * volts, power_factor=1))  # fmt: skip
    source = spec("source", "distro", [mains("out", coupler, "source", volts_max=volts)])
    result = run(kit({"source": source, "load": load}, [("load:in - source:out", cable)], rules=rules), NOW)
    assert ("cable.rated_a" in missing(result)) is (outcome == "asked")
    assert len(findings(result, "coupler-overload")) == (outcome == "stopped")


def test_a_breaker_above_what_a_cable_of_unlisted_size_surely_carries_is_asked_about():
    ends = [mains(name, "iec60309-63-2pe-230", None, side=side) for name, side in (("a", "plug"), ("b", "socket"))]
    cable = spec("cable", "cable", ends, cable=CableSheet(length_m=1, awg=12))
    inlet = mains("in", "iec60309-63-2pe-230", "load", side="plug")
    load = spec("load", "other", [inlet], power=PowerSheet(max_w=230, power_factor=1))
    for breaker_a, asked, found in ((25, False, 0), (32, True, 0), (63, False, 1)):
        outlet = mains("out", "iec60309-63-2pe-230", "source", breaker_a=breaker_a, rcd_ma=30)
        things = {"source": spec("source", "distro", [outlet]), "load": load}
        result = run(kit(things, [("load:in - source:out", cable)]), NOW)
        assert ("cable.rated_a" in missing(result)) is asked
        assert len(findings(result, "unprotected-reduction")) == found


def test_what_several_loads_take_meets_in_the_inlet():
    outlet = spec("panel", "case", [mains("mains", "c19", "source", face="outside")])
    things = {"panel": outlet, "distro": distro(), **{f"load {n}": FITTING for n in span(2)}}
    links = ["panel:mains - distro:in", "distro:1 - load 1:in", "distro:2 - load 2:in"]
    found = only(kit(things, links), "coupler-overload")
    assert (found.value, found.limit) == (20, 16)
    assert findings(kit(things, links[:2]), "coupler-overload") == []


def test_a_strip_of_plain_feed_throughs_adds_up_too():
    strip = spec(
        "strip", "distro", [mains("in", "c14", None), *(mains(f"{n}", "c13", None, through="in") for n in span(3))]
    )
    things = {"panel": spec("panel", "case", [mains("out", "c13", "source")]), "strip": strip}
    things |= {f"load {n}": FITTING for n in span(2)}
    links = ["panel:out - strip:in", "strip:1 - load 1:in", "strip:2 - load 2:in"]
    assert only(kit(things, links), "coupler-overload").value == 20


@pytest.mark.parametrize(
    ("name", "side", "takes"),
    [
        ("in", "socket", True), ("Inlet", "socket", True), ("mains in 2", "socket", True), ("link", "socket", False),
        ("inside", "socket", False), ("in/out", "socket", False), ("link", "plug", True), ("out", "plug", False),
    ],
)  # fmt: skip
def test_the_name_of_a_port_tells_whether_it_takes_power_where_nobody_else_does(name, side, takes):
    box = spec("box", "distro", [mains(name, "mains-lock-16a-sealed", None, side=side)])
    wired = wire([kit({"box": box})], view="design", as_of=NOW)
    assert [node[1] for nodes in power_feeds(wired).inlets.values() for node in nodes] == ([name] if takes else [])


def test_a_label_counts_at_its_lowest_volts():
    """Ten labels of "100-240 V, 1.6 A" are 1600 VA, 6.96 A at 230 V."""
    fed = distributed(distro(connector="c13", inlet="c14"), [supply(160)] * 10)
    assert run(fed, NOW).figures["mains_va"] == pytest.approx(1600)
    assert run(fed, NOW).figures["mains_a"] == pytest.approx(6.957, abs=0.001)
    assert [f.code for f in run(fed, NOW).findings] == []


def test_an_unknown_label_is_asked_for_once():
    unknown = supply(None)
    result = run(distributed(distro(), [unknown, unknown]), NOW)
    assert missing(result) == ["power.rated_a"]
    assert labels(findings(result, "data-missing")) == ["load 1"]
    assert result.figures["mains_va"] is None


@pytest.mark.parametrize(
    ("max_w", "asked", "stopped"), [(2180, [], 0), (2200, ["power.power_factor"], 0), (2310, [], 1)]
)
def test_an_assumed_power_factor_alone_stops_nothing(max_w, asked, stopped):
    """2,180 W are 9.98 A of 10 A at 0.95; 2,200 W are 10.07 A at 0.95 and 9.57 A at 1; 2,310 W are 10.04 A at 1."""
    kettle = spec("kettle", "other", [mains("in", "c14", "load")], power=PowerSheet(max_w=max_w))
    result = run(distributed(distro(1), [kettle]), NOW)
    assert missing(result) == asked
    assert len(findings(result, "coupler-overload")) == stopped


def test_a_load_beyond_the_rating_is_found_beside_an_unknown_one():
    strip = distro(inlet="c14")
    things = {
        "panel": spec("panel", "case", [mains("out", "c13", "source")]),
        "distro": strip,
        "a": HEATER,
        "b": supply(None),
    }
    links = ["panel:out - distro:in", "distro:1 - a:in", "distro:2 - b:in"]
    assert labels(findings(kit(things, links), "coupler-overload")) == ["panel", "distro"]


@pytest.mark.parametrize(
    ("volts", "is_found"),
    [((100, 240), False), ((100, 120), True), ((220, None), False), ((250, None), False), ((300, None), True)],
)
def test_an_inlet_must_bear_the_volts(volts, is_found):
    load = spec("load", "other", [mains("in", "c14", "load", volts_min=volts[0], volts_max=volts[1], watts=10)])
    assert bool(findings(distributed(distro(), [load]), "mains-voltage")) is is_found


def test_stated_volts_of_an_outlet_count():
    load = spec("load", "other", [mains("in", "c14", "load", volts_min=200, volts_max=240, watts=10)])
    found = only(distributed(distro(volts_max=120), [load]), "mains-voltage")
    assert (found.severity, found.value, found.limit) == ("stop", 120, 200)


def three_phase(load_v, source_v=None, code="iec60309-32-3pne-400", **fields):
    """Return a kit with one three-phase distro on a panel, which is a source only where it states volts."""
    role = None if source_v is None else "source"
    given = {} if source_v is None else {"volts_max": source_v}
    panel = spec("panel", "case", [mains("supply", code, role, face="outside", **given)])
    fed = spec("distro", "distro", [mains("in", code, "load", side="plug", volts_min=load_v, volts_max=load_v)])
    return kit({"panel": panel, "distro": fed}, ["panel:supply - distro:in"], **fields)


@pytest.mark.parametrize("load_v", [230, 400])
@pytest.mark.parametrize("source_v", [None, 400])
def test_a_three_phase_inlet_may_state_either_of_its_two_voltages(load_v, source_v):
    """230/400 V are the nominal voltages to neutral and between phases (IEC 60038)."""
    assert findings(three_phase(load_v, source_v), "mains-voltage") == []


def test_a_three_phase_inlet_of_another_region_is_found():
    found = only(three_phase(208, 400), "mains-voltage")
    assert (found.value, found.limit) == (400, 228.8)
    assert findings(three_phase(208, code="iec60309-32-3pne-208", rules="north_america"), "mains-voltage") == []


def test_without_a_neutral_only_the_volts_between_phases_count():
    code = "iec60309-32-3pe-400"
    assert findings(three_phase(400, 400, code), "mains-voltage") == []
    assert only(three_phase(230, 400, code), "mains-voltage").value == 400


def test_gear_that_states_no_volts_is_taken_as_rated_for_the_region():
    assert findings(distributed(distro(), [supply()]), "mains-voltage") == []


def reduced(breaker_a=16, inlet="c14", outlet_breaker_a=None, fuse_a=None):
    outlet = spec("panel", "case", [mains("out", "c19", "source", breaker_a=breaker_a)])
    ports = [mains("in", inlet, "load"), *(mains(f"{n}", "c13", "source", breaker_a=outlet_breaker_a) for n in span(6))]
    ends = [mains("from", "c20", None, side="plug"), mains("to", "c13" if inlet == "c14" else "c19", None, side="plug")]
    adapter = spec("adapting cord", "cable", ends, cable=CableSheet(length_m=1, fuse_a=fuse_a))
    return kit({"panel": outlet, "strip": spec("strip", "distro", ports)}, [("panel:out - strip:in", adapter)])


def test_a_thin_strip_on_a_large_breaker():
    found = only(reduced(breaker_a=32), "unprotected-reduction")
    assert (found.severity, found.subject.label, found.value, found.limit) == ("stop", "strip", 32, 10)


def test_a_strip_of_household_couplers_is_everyday_practice_on_a_household_circuit():
    """IEC 60364-4-43, 433.3.1: what its fixed loads cannot overload needs no protection of its own."""
    assert findings(reduced(breaker_a=16), "unprotected-reduction") == []


@pytest.mark.parametrize(
    "fields", [{"breaker_a": 10}, {"inlet": "c20"}, {"outlet_breaker_a": 6}, {"fuse_a": 10}, {"breaker_a": None}]
)
def test_a_strip_that_is_protected_or_thick_enough(fields):
    assert findings(reduced(**fields), "unprotected-reduction") == []


def test_a_lead_to_one_load_is_no_strip():
    assert findings(distributed(distro(breaker_a=16), [supply()]), "unprotected-reduction") == []


def test_leads_of_data_are_no_mains():
    things = {"a": spec("a", "other", plugs()[:1]), "b": spec("b", "other", [])}
    assert findings(kit(things), "coupler-overload") == []
