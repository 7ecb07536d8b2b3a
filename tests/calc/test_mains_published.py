"""Currents, neutral, leakage, fault loop and inrush: printed tables, sampled waveforms, cases worked by hand."""

import json
from math import ceil, cos, floor, pi, sin, sqrt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calc import mains
from calc.conductors import flexible_ohm_per_km
from calc.errors import BadInput
from calc.rules import rule_set

CONSTANTS = json.loads((Path(__file__).parents[1] / "reference" / "mains.json").read_text(encoding="utf-8"))[
    "constants"
]
AMPERES = st.floats(0, 125)
TURN = np.linspace(0, 2 * pi, 720, endpoint=False)


def effective(wave):
    return sqrt(np.mean(np.square(wave)))


def phase_waves(amperes, third_harmonic):
    """Three phase currents over one period, 120° apart, each with a third harmonic in step with its fundamental."""
    return [
        sqrt(2) * one * (np.sin(TURN - n * 2 * pi / 3) + third_harmonic * np.sin(3 * (TURN - n * 2 * pi / 3)))
        for n, one in enumerate(amperes)
    ]


def test_a_label_belongs_to_its_lowest_volts():
    """ "100–240 V, 1.6 A": ten of them are 1600 VA and 6.96 A at 230 V, not 16 A."""
    ten = 10 * mains.label_va(1.6, 100)
    assert ten == pytest.approx(1600)
    assert mains.current_a(ten, 230) == pytest.approx(6.96, abs=0.005)
    assert mains.current_a(ten, 120) == pytest.approx(13.33, abs=0.005)
    assert mains.continuous_limit_a(20) - mains.current_a(ten, 120) == pytest.approx(2.67, abs=0.005)


@settings(deadline=None)
@given(va=st.floats(1, 30_000), volts=st.floats(100, 415), turn=st.floats(0, 2 * pi))
def test_three_phase_current_carries_the_power_at_every_instant(va, volts, turn):
    """A balanced resistive load takes the same power at every moment: sum the three phases at one of them."""
    current = mains.current_a(va, volts, phases=3)
    power = sum(
        sqrt(2) * volts / sqrt(3) * cos(turn - n * 2 * pi / 3) * sqrt(2) * current * cos(turn - n * 2 * pi / 3)
        for n in range(3)
    )
    assert power == pytest.approx(va, rel=1e-9)


@settings(deadline=None)
@given(watts=st.floats(0, 5000), power_factor=st.floats(0.1, 1), volts=st.floats(100, 240))
def test_apparent_power_is_volts_times_amperes_of_the_wave(watts, power_factor, volts):
    """Sample a displaced sine: mean of u·i is the watts, effective u times effective i the volt-amperes."""
    current = mains.current_a(mains.apparent_power_va(watts, power_factor), volts)
    u = sqrt(2) * volts * np.sin(TURN)
    i = sqrt(2) * current * np.sin(TURN - np.arccos(power_factor))
    assert np.mean(u * i) == pytest.approx(watts, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("breaker_a", [15, 20, 30, 50, 60, 100])
def test_a_continuous_load_times_1_25_is_the_breaker(breaker_a):
    """NFPA 70 210.20(A)."""
    assert mains.continuous_limit_a(breaker_a) * 1.25 == pytest.approx(breaker_a, rel=1e-15)
    assert mains.continuous_limit_a(breaker_a, rules="iec") == breaker_a


def test_balanced_switch_mode_loads_overload_the_neutral():
    """12 A and 60 % third harmonic: 13.99 A in each phase, 21.6 A in the neutral; corrected supplies (10 %) 3.6 A."""
    assert mains.phase_current_a(12, 0.6) == pytest.approx(13.99, abs=0.005)
    assert mains.neutral_current_a(12, 12, 12, 0.6) == pytest.approx(21.6, abs=1e-9)
    assert mains.neutral_current_a(12, 12, 12, 0.1) == pytest.approx(3.6, abs=1e-9)
    assert mains.neutral_current_a(12, 12, 12) == 0


@settings(deadline=None)
@given(amperes=st.tuples(AMPERES, AMPERES, AMPERES), third_harmonic=st.floats(0, 1))
def test_neutral_agrees_with_sampled_waveforms(amperes, third_harmonic):
    waves = phase_waves(amperes, third_harmonic)
    assert mains.neutral_current_a(*amperes, third_harmonic) == pytest.approx(effective(sum(waves)), abs=1e-6)
    for one, wave in zip(amperes, waves, strict=True):
        assert mains.phase_current_a(one, third_harmonic) == pytest.approx(effective(wave), abs=1e-6)


@settings(deadline=None)
@given(amperes=st.tuples(AMPERES, AMPERES, AMPERES))
def test_without_harmonics_the_neutral_is_the_textbook_formula(amperes):
    a, b, c = amperes
    inside = a * a + b * b + c * c - a * b - b * c - c * a
    # The printed formula subtracts nearly equal squares: rounding grows with the currents.
    assert mains.neutral_current_a(*amperes) ** 2 == pytest.approx(inside, abs=1e-9)


@pytest.mark.parametrize(("rcd_ma", "limit_ma"), [(10, 3), (30, 9), (100, 30), (300, 90), (500, 150)])
def test_leakage_limit_is_three_tenths(rcd_ma, limit_ma):
    assert mains.leakage_limit_ma(rcd_ma) == pytest.approx(limit_ma, abs=1e-9)


def test_leakage_steps_of_the_two_regions():
    """0.75 mA a supply: 13 are over the caution of 9 mA, 21 are 15.75 and may trip; class A has steps of its own."""
    iec = mains.leakage_steps_ma(30, "iec")
    assert 12 * 0.75 <= iec.caution_above_ma < 13 * 0.75
    assert 13 * 0.75 < iec.stop_from_ma <= 21 * 0.75
    assert iec.stop_from_ma == pytest.approx(15.0)
    for rated in (5, 6):
        class_a = mains.leakage_steps_ma(rated, "north_america")
        assert (class_a.caution_above_ma, class_a.stop_from_ma) == (3.0, 4.0)
    assert mains.leakage_steps_ma(30, "north_america").caution_above_ma == pytest.approx(9.0)


# Maximum loop impedance at 230 V with Cmin 0.95, BS 7671:2018 table 41.3 (from memory), ohm to two places.
PRINTED_LOOPS = {
    "B": {6: 7.28, 10: 4.37, 16: 2.73, 20: 2.19, 32: 1.37, 40: 1.09, 50: 0.87, 63: 0.69},
    "C": {6: 3.64, 10: 2.19, 16: 1.37, 20: 1.09, 32: 0.68, 40: 0.55, 50: 0.44, 63: 0.35},
    "D": {6: 1.82, 10: 1.09, 16: 0.68, 20: 0.55, 32: 0.34, 40: 0.27},
}


@pytest.mark.parametrize(
    ("curve", "breaker_a"), [(curve, rated) for curve, row in PRINTED_LOOPS.items() for rated in row]
)
def test_loop_limit_agrees_with_the_printed_table(curve, breaker_a):
    printed = PRINTED_LOOPS[curve][breaker_a]
    # The print rounds, now down, now to the nearest: one unit of its last place.
    assert mains.loop_limit_ohm(breaker_a, curve, 230) == pytest.approx(printed, abs=0.01)
    assert mains.disconnects(breaker_a, curve, floor(printed * 100 - 1) / 100, 230)
    assert not mains.disconnects(breaker_a, curve, ceil(printed * 100 + 1) / 100, 230)


def test_a_long_cord_on_two_breakers_worked_by_hand():
    """50 m of 1.5 mm² at 70 °C is 1.59 Ω; with 0.80 Ω of the venue 2.39: B16 disconnects, C16 does not."""
    cord = mains.loop_impedance_ohm(0, 50, flexible_ohm_per_km(1.5, 70))
    assert cord == pytest.approx(1.59, abs=0.005)
    loop = mains.loop_impedance_ohm(0.80, 50, flexible_ohm_per_km(1.5, 70))
    assert loop == pytest.approx(2.39, abs=0.005)
    assert mains.loop_limit_ohm(16, "B", 230) == pytest.approx(2.73, abs=0.005)
    assert mains.loop_limit_ohm(16, "C", 230) == pytest.approx(1.37, abs=0.005)
    assert mains.disconnects(16, "B", mains.loop_limit_ohm(16, "B", 230), 230)
    assert mains.disconnects(16, "B", loop, 230) is True
    assert mains.disconnects(16, "C", loop, 230) is False


@settings(deadline=None)
@given(
    supply_ohm=st.floats(0, 3),
    cords=st.lists(st.tuples(st.floats(0, 100), st.floats(0.5, 40), st.floats(0.5, 40)), max_size=4),
)
def test_a_chain_of_cords_is_one_series_circuit(supply_ohm, cords):
    """Send one ampere round the loop and add the volts over the supply and over each conductor."""
    loop, volts = supply_ohm, [supply_ohm]
    for length_m, line, protective in cords:
        loop = mains.loop_impedance_ohm(loop, length_m, line, protective)
        volts += [length_m * line / 1000, length_m * protective / 1000]
    assert loop == pytest.approx(sum(volts))


@settings(deadline=None)
@given(supply_ohm=st.floats(0, 3), length_m=st.floats(0, 100), ohm_per_km=st.floats(0.5, 40))
def test_the_protective_conductor_is_taken_like_the_line_where_nothing_is_said(supply_ohm, length_m, ohm_per_km):
    assert mains.loop_impedance_ohm(supply_ohm, length_m, ohm_per_km) == mains.loop_impedance_ohm(
        supply_ohm, length_m, ohm_per_km, ohm_per_km
    )


def test_supplies_with_30_ampere_peaks_worked_by_hand():
    """C16: 5 · 16 · √2 = 113 A surely do not trip, so three together, not four."""
    assert mains.instant_floor_a(16, "C") == pytest.approx(113.1, abs=0.05)
    assert mains.inrush_group(16, "C", 30, 0.5) == 3
    assert mains.inrush_group(16, "B", 30, 0.5) == 2
    assert mains.inrush_group(16, "D", 30, 0.5) == 7
    assert mains.inrush_group(16, "B", 70, 0.5) == 0


@pytest.mark.parametrize(("curve", "inrush_a", "inrush_ms"), [(None, 30, 0.5), ("C", None, 0.5), ("C", 30, None)])
def test_a_group_is_not_known_while_a_number_is_missing(curve, inrush_a, inrush_ms):
    assert mains.inrush_group(16, curve, inrush_a, inrush_ms) is None


@settings(deadline=None)
@given(
    breaker_a=st.sampled_from([6, 10, 16, 20, 32]),
    curve=st.sampled_from("BCD"),
    inrush_a=st.floats(1, 200),
    pulse_factor=st.floats(1, 6),
    running_a=st.floats(0, 32),
)
def test_a_group_and_what_runs_stay_below_the_floor_and_one_more_would_not(
    breaker_a, curve, inrush_a, pulse_factor, running_a
):
    """The peak of what runs is found by sampling a sine."""
    group = mains.inrush_group(breaker_a, curve, inrush_a, 0.5, pulse_factor=pulse_factor, running_a=running_a)
    running_peak = max(sqrt(2) * running_a * sin(turn) for turn in TURN)
    floor_a = rule_set("iec").breaker_instant_multiples[curve][0] * breaker_a * sqrt(2) * pulse_factor
    assert group == 0 or group * inrush_a + running_peak <= floor_a * (1 + 1e-12)
    assert (group + 1) * inrush_a + running_peak > floor_a * (1 - 1e-12)


def test_the_constants_are_the_published_ones():
    assert f"<= {mains.protection.LOOP_VOLTS_FACTOR:g} U0 / Ia" in CONSTANTS["fault loop"]["value"]
    assert f"{rule_set('north_america').continuous_factor:g} x continuous" in CONSTANTS["continuous"]["value"]


NAN, INFINITE = float("nan"), float("inf")


@pytest.mark.parametrize(
    ("function", "arguments", "named"),
    [
        ("apparent_power_va", {"watts": -1, "power_factor": 1}, "watts"),
        ("apparent_power_va", {"watts": NAN, "power_factor": 1}, "watts"),
        ("apparent_power_va", {"watts": 1, "power_factor": 0}, "power_factor"),
        ("apparent_power_va", {"watts": 1, "power_factor": 1.1}, "power_factor"),
        ("current_a", {"va": -1, "volts": 230}, "va"),
        ("current_a", {"va": 1, "volts": 0}, "volts"),
        ("current_a", {"va": 1, "volts": INFINITE}, "volts"),
        ("current_a", {"va": 1, "volts": 230, "phases": 2}, "phases"),
        ("current_a", {"va": 1, "volts": 230, "phases": True}, "phases"),
        ("label_va", {"rated_a": 0, "at_volts": 100}, "rated_a"),
        ("label_va", {"rated_a": 1, "at_volts": -100}, "at_volts"),
        ("continuous_limit_a", {"breaker_a": 0}, "breaker_a"),
        ("continuous_limit_a", {"breaker_a": NAN}, "breaker_a"),
        ("continuous_limit_a", {"breaker_a": 16, "rules": "80%"}, "rules"),
        ("neutral_current_a", {"l1_a": -1, "l2_a": 0, "l3_a": 0}, "l1_a"),
        ("neutral_current_a", {"l1_a": 0, "l2_a": NAN, "l3_a": 0}, "l2_a"),
        ("neutral_current_a", {"l1_a": 0, "l2_a": 0, "l3_a": INFINITE}, "l3_a"),
        ("neutral_current_a", {"l1_a": 1, "l2_a": 1, "l3_a": 1, "third_harmonic": 60}, "third_harmonic"),
        ("neutral_current_a", {"l1_a": 1, "l2_a": 1, "l3_a": 1, "third_harmonic": -0.1}, "third_harmonic"),
        ("phase_current_a", {"fundamental_a": -1}, "fundamental_a"),
        ("phase_current_a", {"fundamental_a": 1, "third_harmonic": NAN}, "third_harmonic"),
        ("leakage_limit_ma", {"rcd_ma": 0}, "rcd_ma"),
        ("leakage_limit_ma", {"rcd_ma": -30}, "rcd_ma"),
        ("leakage_steps_ma", {"rcd_ma": 0, "rules": "iec"}, "rcd_ma"),
        ("leakage_steps_ma", {"rcd_ma": 30, "rules": ""}, "rules"),
        ("loop_impedance_ohm", {"supply_ohm": -1, "length_m": 1, "line_ohm_per_km": 1}, "supply_ohm"),
        ("loop_impedance_ohm", {"supply_ohm": 1, "length_m": -1, "line_ohm_per_km": 1}, "length_m"),
        ("loop_impedance_ohm", {"supply_ohm": 1, "length_m": 1, "line_ohm_per_km": 0}, "line_ohm_per_km"),
        (
            "loop_impedance_ohm",
            {"supply_ohm": 1, "length_m": 1, "line_ohm_per_km": 1, "protective_ohm_per_km": 0},
            "protective_ohm_per_km",
        ),
        ("loop_limit_ohm", {"breaker_a": 0, "curve": "B", "volts": 230}, "breaker_a"),
        ("loop_limit_ohm", {"breaker_a": 16, "curve": "A", "volts": 230}, "curve"),
        ("loop_limit_ohm", {"breaker_a": 16, "curve": "B", "volts": 0}, "volts"),
        ("disconnects", {"breaker_a": 16, "curve": "b", "loop_ohm": 1, "volts": 230}, "curve"),
        ("disconnects", {"breaker_a": 16, "curve": "B", "loop_ohm": 0, "volts": 230}, "loop_ohm"),
        ("disconnects", {"breaker_a": 16, "curve": "B", "loop_ohm": 1, "volts": NAN}, "volts"),
        ("instant_floor_a", {"breaker_a": 16, "curve": "C", "pulse_factor": 0.9}, "pulse_factor"),
        ("instant_floor_a", {"breaker_a": 16, "curve": None}, "curve"),
        ("inrush_group", {"breaker_a": 0, "curve": None, "inrush_a": 30, "inrush_ms": 1}, "breaker_a"),
        ("inrush_group", {"breaker_a": 16, "curve": "E", "inrush_a": None, "inrush_ms": 1}, "curve"),
        ("inrush_group", {"breaker_a": 16, "curve": "C", "inrush_a": 0, "inrush_ms": 1}, "inrush_a"),
        ("inrush_group", {"breaker_a": 16, "curve": None, "inrush_a": 30, "inrush_ms": -1}, "inrush_ms"),
        ("inrush_group", {"breaker_a": 16, "curve": "C", "inrush_a": 30, "inrush_ms": 1, "running_a": -1}, "running_a"),
        (
            "inrush_group",
            {"breaker_a": 16, "curve": "C", "inrush_a": 3, "inrush_ms": 12, "pulse_factor": 2},
            "pulse_factor",
        ),
    ],
)
def test_what_no_supply_has_is_refused_by_name(function, arguments, named):
    with pytest.raises(BadInput) as refused:
        getattr(mains, function)(**arguments)
    assert refused.value.argument == named
    assert refused.value.value is arguments[named]
