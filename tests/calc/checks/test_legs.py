"""Load by leg: three phases, split phase and single-pole feeds.

Line currents are VA over the volts to neutral; between two lines VA / (√3 · U) of three phases, VA / (2 · U) of split
phase. Ratings: IEC 60309, NEMA WD 6. Neutral: the textbook formula of ``calc.mains.neutral_current_a``. Worked by hand.
"""

from dataclasses import replace

import pytest

from calc.checks import run
from calc.rig.kit import PowerSheet
from tests.calc.checks.kits import NOW, findings, kit, mains, missing, only, span, spec

RED = "iec60309-32-3pne-400"


def lamp(amperes, volts=230, **sheet):
    power = PowerSheet(**{"max_w": amperes * volts, "power_factor": 1, "third_harmonic": 0.0} | sheet)
    return spec("lamp", "fixture", [mains("in", "c20", "load")], power=power)


def box(legs, inlet=RED, outlet="c19", **fields):
    """Return a distribution box whose outlets 1, 2, … hang on these legs."""
    ports = [
        mains("in", inlet, "load", side="plug"),
        *(mains(f"{n}", outlet, "source", **fields) for n in span(len(legs))),
    ]
    return spec("box", "distro", [_on_leg(port, leg) for port, leg in zip(ports, (None, *legs), strict=True)])


def _on_leg(port, leg):
    return port if leg is None else replace(port, power=replace(port.power, leg=leg))


def fed(legs, loads, feed=None, **fields):
    """Return a box of several lines with a load on each of its outlets, behind a feed where one is given."""
    things = {"box": box(legs, **fields), **{f"lamp {n}": load for n, load in enumerate(loads, start=1)}}
    links = [f"box:{n} - lamp {n}:in" for n in span(len(loads))]
    if feed is not None:
        things["feed"] = feed
        links.append("box:in - feed:out")
    return kit(things, links)


def red_feed(breaker_a=32.0):
    return spec("feed", "distro", [mains("out", RED, "source", breaker_a=breaker_a, curve="C", rcd_ma=30)])


def test_15_a_three_times_on_one_leg_are_45_a_there():
    """Spread they would be 15 A a line; on L1 they are 45 A of 32 A."""
    found = only(fed(["L1"] * 3, [lamp(15)] * 3, red_feed()), "circuit-overload")
    assert (found.severity, found.value, found.limit) == ("stop", 45, 32)
    assert "45.0 A on L1 behind 32 A" in found.message
    assert findings(fed(["L1", "L2", "L3"], [lamp(15)] * 3, red_feed()), "circuit-overload") == []


def test_what_nothing_feeds_yet_is_held_against_the_inlet():
    found = only(fed(["L2"] * 3, [lamp(15)] * 3), "coupler-overload")
    assert (found.value, found.limit) == (45, 32)
    assert "on L2" in found.message
    assert findings(fed(["L1", "L2", "L3"], [lamp(15)] * 3), "coupler-overload") == []


def test_outlets_without_a_leg_are_spread_as_well_as_can_be():
    assert findings(fed([None] * 3, [lamp(15)] * 3), "coupler-overload") == []
    assert run(fed([None] * 3, [lamp(15)] * 3), NOW).figures["mains_a"] == pytest.approx(15)
    assert "legs_a" not in run(fed([None] * 3, [lamp(15)] * 3), NOW).figures
    beyond = only(fed([None] * 3, [lamp(33), lamp(0.1), lamp(0.1)]), "coupler-overload")
    assert beyond.value == pytest.approx(33), "one load hangs on one line, whichever it is"


def test_what_hangs_on_no_written_leg_fills_the_others_first():
    """20 A on L1 and 15 A anywhere: 20 A at least; 20 A on L1 and 3 x 15 A anywhere: (20 + 45) / 3 = 21.7 A."""
    assert run(fed(["L1", None], [lamp(20), lamp(15)]), NOW).figures["mains_a"] == pytest.approx(20)
    figures = run(fed(["L1", None, None, None], [lamp(20), *[lamp(15)] * 3]), NOW).figures
    assert figures["mains_a"] == pytest.approx(21.667, abs=0.001)


@pytest.mark.parametrize(
    ("legs", "lines_a", "neutral_a"),
    [
        (["L1", "L2", "L3"], [10, 10, 10], 0),
        (["L1", "L2"], [10, 10, 0], 10),
        (["L1", "L1", "L2"], [20, 10, 0], 17.321),  # √(20² + 10² − 200)
        (["L1-L2"], [5.774, 5.774, 0], 0),  # 2,300 VA / (√3 · 230 V)
        (["L1-L2", "L2-L3", "L1-L3"], [10, 10, 10], 0),  # a balanced load: 6,900 VA / (3 · 230 V)
        (["L1", "L1-L2"], [15.275, 5.774, 0], 10),  # √((10 + 5.774 cos 30°)² + (5.774 sin 30°)²)
    ],
)
def test_the_figures_tell_each_line_and_the_neutral(legs, lines_a, neutral_a):
    figures = run(fed(legs, [lamp(10)] * len(legs)), NOW).figures
    assert figures["legs_a"] == {f"L{n}": pytest.approx(a, abs=0.001) for n, a in enumerate(lines_a, start=1)}
    assert figures["mains_a"] == pytest.approx(max(lines_a), abs=0.001)
    assert figures["neutral_a"] == pytest.approx(neutral_a, abs=0.001)


def test_harmonics_meet_in_the_neutral_of_balanced_lines():
    """10 A with a third harmonic of 0.6: 10 · 0.6 / √1.36 = 5.145 A of each line, 15.43 A together."""
    figures = run(fed(["L1", "L2", "L3"], [lamp(10, third_harmonic=0.6)] * 3), NOW).figures
    assert figures["neutral_a"] == pytest.approx(15.435, abs=0.001)


def test_a_feed_of_one_line_has_no_figure_of_a_neutral():
    assert "neutral_a" not in run(fed([None], [lamp(10)], inlet="iec60309-32-2pe-230"), NOW).figures


def american(legs, loads, outlet="nema-5-20", **fields):
    return kit(
        {"box": box(legs, "nema-l14-30", outlet), **{f"lamp {n}": load for n, load in enumerate(loads, start=1)}},
        [f"box:{n} - lamp {n}:in" for n in span(len(loads))],
        rules="north_america",
        **fields,
    )


def stage(amperes, volts=120, connector="nema-5-20"):
    power = PowerSheet(max_w=amperes * volts, power_factor=1, third_harmonic=0.0)
    return spec("lamp", "fixture", [mains("in", connector, "load", side="plug", volts_max=volts)], power=power)


def test_split_phase_has_two_lines_of_120_v():
    """Two loads of 16 A at 120 V: one on each line, 16 A of 30 A and nothing in the neutral; both on A, 32 A."""
    apart = run(american(["L1", "L2"], [stage(16)] * 2), NOW)
    assert findings(apart, "coupler-overload") == findings(apart, "mains-voltage") == []
    assert (apart.figures["legs_a"], apart.figures["neutral_a"]) == ({"L1": 16, "L2": 16}, 0)
    together = run(american(["L1", "L1"], [stage(16)] * 2), NOW)
    assert only(together, "coupler-overload").value == pytest.approx(32)
    assert together.figures["neutral_a"] == 32


def test_a_load_between_the_two_lines_of_split_phase_is_on_both():
    """4,800 W at 240 V: 20 A on each line."""
    result = run(american(["L1-L2"], [stage(20, 240, "nema-l6-30")], "nema-l6-30"), NOW)
    assert result.figures["legs_a"] == {"L1": pytest.approx(20), "L2": pytest.approx(20)}
    assert findings(result, "mains-voltage") == []


CAMS = [f"single-pole-cam-{pole}" for pole in ("l1", "l2", "l3", "n", "e")]


def cam_fed(legs, amperes=80.0):
    """Return a rack on five single-pole inlets, fed by a panel with as many outlets, with a load on each leg."""
    inlets = [mains(f"in {code[16:]}", code, "load", side="plug") for code in CAMS]
    outlets = [mains(f"{code[16:]}", code, "source", volts_min=120, volts_max=120, breaker_a=400) for code in CAMS]
    rack = spec("rack", "distro", [*inlets, *box(legs, outlet="stage-pin-100", breaker_a=100).ports[1:]])
    things = {"panel": spec("panel", "distro", outlets), "rack": rack}
    links = [f"panel:{code[16:]} - rack:in {code[16:]}" for code in CAMS]
    for n in span(len(legs)):
        things[f"lamp {n}"] = stage(amperes, connector="stage-pin-100")
        links.append(f"rack:{n} - lamp {n}:in")
    return kit(things, links, rules="north_america")


def test_single_pole_inlets_are_one_feed():
    """Three loads of 80 A, one a line: 80 A on each of three, none counted five times, and no two sources joined."""
    result = run(cam_fed(["L1", "L2", "L3"]), NOW)
    assert [f.code for f in result.findings if f.severity in ("stop", "caution")] == []
    assert result.figures["mains_va"] == pytest.approx(28_800)
    assert result.figures["legs_a"] == {line: pytest.approx(80) for line in ("L1", "L2", "L3")}


def test_a_single_pole_breaker_is_held_against_its_own_line():
    """Five loads of 80 A on L2: 400 A of the 320 A that a breaker of 400 A carries for hours (NFPA 70 210.20(A))."""
    found = findings(cam_fed(["L1", "L2", "L2", "L2", "L2", "L2"]), "circuit-overload")
    assert [(f.subject.port, f.value) for f in found] == [("l2", pytest.approx(400))]


def generator(rated):
    return spec("generator", "supply", [mains("out", RED, "source")], power=PowerSheet(output_va=rated))


def test_each_line_of_a_generator_gives_its_share():
    """12 kVA: 4 kVA a line. 3 x 2.3 kVA on L1 are 6.9 kVA there, though 6.9 of 12 kVA in all."""
    found = only(fed(["L1"] * 3, [lamp(10)] * 3, generator(12_000)), "source-overload")
    assert (found.value, found.limit) == (pytest.approx(6900), 4000)
    assert findings(fed(["L1", "L2", "L3"], [lamp(10)] * 3, generator(12_000)), "source-overload") == []
    assert findings(fed([None] * 3, [lamp(10)] * 3, generator(12_000)), "source-overload") == []


def test_an_unknown_load_on_a_leg_is_asked_for():
    unknown = spec("lamp", "fixture", [mains("in", "c20", "load")])
    assert "power.rated_a" in missing(fed(["L1", "L2"], [lamp(10), unknown], red_feed()))
