"""Gauges, resistances and drops against printed tables and against circuit theory."""

import cmath
import json
from math import acos, sqrt
from pathlib import Path

import pytest
from fluids.piping import t_from_gauge
from hypothesis import given, settings
from hypothesis import strategies as st

from calc import conductors
from calc.errors import BadInput
from calc.rules import rule_set

CONSTANTS = json.loads((Path(__file__).parents[1] / "reference" / "conductors.json").read_text(encoding="utf-8"))[
    "constants"
]

AREAS_MM2 = sorted(rule_set("iec").flexible_ohm_per_km_at_20_c)
STRANDED_AWG = sorted(rule_set("north_america").awg_stranded_ohm_per_kft_at_75_c)

# Circular mils as printed in NFPA 70 chapter 9 table 8 (from memory); a circular mil is pi/4 of a mil squared.
CIRCULAR_MILS = {18: 1620, 16: 2580, 14: 4110, 12: 6530, 10: 10380, 8: 16510, 6: 26240, 4: 41740, 2: 66360, 0: 105600,
                 -1: 133100, -3: 211600}  # fmt: skip
MM2_PER_CIRCULAR_MIL = 3.141592653589793 / 4 * 0.0254**2


@pytest.mark.parametrize(("awg", "mils"), CIRCULAR_MILS.items())
def test_area_agrees_with_the_printed_circular_mils(awg, mils):
    # The print squares a diameter rounded to a mil (a tenth of one up to gauge 8), then keeps four digits.
    half_step_mils = 0.05 if awg >= 8 else 0.5
    carried = 2 * mils**0.5 * half_step_mils + 5
    assert conductors.awg_area_mm2(awg) / MM2_PER_CIRCULAR_MIL == pytest.approx(mils, abs=carried)


@pytest.mark.parametrize("awg", range(37))
def test_diameter_agrees_with_the_gauge_table_of_a_general_library(awg):
    # fluids prints inches to four places or fewer.
    library_mm = t_from_gauge(awg, SI=True, schedule="AWG") * 1000
    assert conductors.awg_diameter_mm(awg) == pytest.approx(library_mm, rel=0.01)


def test_thirty_nine_steps_are_a_factor_of_92():
    """The two defining points of ASTM B258: 4/0 is 0.46 inch, 36 is 0.005 inch."""
    assert conductors.awg_diameter_mm(-3) == pytest.approx(0.46 * 25.4, rel=1e-12)
    assert conductors.awg_diameter_mm(36) == pytest.approx(0.005 * 25.4, rel=1e-12)


@pytest.mark.parametrize(("area", "ohm"), CONSTANTS["IEC 60228 class 5 plain, ohm/km at 20 C"]["value"].items())
def test_flexible_sizes_are_the_published_ones(area, ohm):
    assert conductors.flexible_ohm_per_km(float(area)) == ohm


@pytest.mark.parametrize("area", AREAS_MM2)
def test_flexible_resistance_is_copper_of_that_area_and_its_lay(area):
    """Class 5 lies 5 to 16 % above solid copper of that area at 17.241 nΩm (IEC 60028): lay, and thinner wires.

    The largest of the table, 630 mm², is the one below: 4.9 %.
    """
    solid = 17.241 / area
    assert (1.048 if area == 630 else 1.05) < conductors.flexible_ohm_per_km(area) / solid < 1.16


@pytest.mark.parametrize(("area", "ohm"), [(300, 0.0641), (400, 0.0486), (500, 0.0384), (630, 0.0287)])
def test_the_largest_flexible_sizes(area, ohm):
    """IEC 60228 table 3 class 5; above 300 mm² from memory."""
    assert conductors.flexible_ohm_per_km(area) == ohm


@pytest.mark.parametrize("area", AREAS_MM2)
@pytest.mark.parametrize("celsius", [-10, 0, 30, 45, 60, 70, 90])
def test_temperature_follows_the_correction_of_the_conductor_standard(area, celsius):
    """IEC 60228 annex: R20 = R·254.5/(234.5 + t) (from memory); 234.5 is 234.45 rounded."""
    warm = conductors.flexible_ohm_per_km(area, celsius)
    assert warm * 254.5 / (234.5 + celsius) == pytest.approx(conductors.flexible_ohm_per_km(area), rel=2e-4)


@pytest.mark.parametrize(
    ("gauge", "ohm"), CONSTANTS["NEC chapter 9 table 8, ohm/kft at 75 C, uncoated"]["value"].items()
)
def test_table_8_values_are_the_published_ones(gauge, ohm):
    solid = gauge.endswith("solid")
    size = gauge.removesuffix(" solid")
    awg = 1 - int(size.removesuffix("/0")) if size.endswith("/0") else int(size)
    assert conductors.awg_ohm_per_km(awg, stranded=not solid) * 0.3048 == pytest.approx(ohm, rel=1e-12)


@pytest.mark.parametrize("awg", STRANDED_AWG)
def test_table_8_is_copper_at_75_celsius_and_its_lay(awg):
    """Stranded wire is about 2 % above solid copper of the gauge's area; the print carries three digits."""
    solid = 17.241 / conductors.awg_area_mm2(awg) * (1 + 0.00393 * 55)
    assert 1.005 < conductors.awg_ohm_per_km(awg) / solid < 1.035


@pytest.mark.parametrize("celsius", [20, 40, 60, 90])
def test_table_8_temperature_change_is_that_of_its_note(celsius):
    """Note 2 of the table: R2 = R1·[1 + 0.00323·(T2 − 75)] (from memory); three digits carry 0.1 %."""
    noted = conductors.awg_ohm_per_km(12) * (1 + 0.00323 * (celsius - 75))
    assert conductors.awg_ohm_per_km(12, celsius) == pytest.approx(noted, rel=1e-3)


def test_a_long_cord_worked_by_hand():
    """50 m of 3 × 1.5 mm² at 10 A: 13.30 V cold, 15.39 V at 60 °C; 2.5 mm² at 60 °C 9.23 V, 4.0 % of 230."""
    cold, warm = (conductors.flexible_ohm_per_km(1.5, celsius) for celsius in (20, 60))
    assert conductors.drop_v(10, 50, cold) == pytest.approx(13.30, abs=0.005)
    assert conductors.drop_v(10, 50, warm) == pytest.approx(15.39, abs=0.005)
    assert 100 * conductors.drop_v(10, 50, warm) / 230 == pytest.approx(6.69, abs=0.005)
    thicker = conductors.drop_v(10, 50, conductors.flexible_ohm_per_km(2.5, 60))
    assert thicker == pytest.approx(9.23, abs=0.005)
    assert 100 * thicker / 230 == pytest.approx(4.0, abs=0.05)


@settings(deadline=None)
@given(
    current_a=st.floats(0.5, 60),
    length_m=st.floats(1, 60),
    ohm_per_km=st.floats(0.5, 15),
    power_factor=st.floats(0.7, 1),
    reactance=st.floats(0, 0.1),
)
def test_single_phase_drop_agrees_with_phasors(current_a, length_m, ohm_per_km, power_factor, reactance):
    """The published formula is the in-phase part of I·Z; the rest turns the voltage and barely shortens it."""
    current = cmath.rect(current_a, -acos(power_factor))
    lost = 2 * current * complex(ohm_per_km, reactance) * length_m / 1000
    at_load = 230.0
    exact = abs(at_load + lost) - at_load
    turned = abs(lost.imag) ** 2 / (2 * at_load)
    assert conductors.drop_v(current_a, length_m, ohm_per_km, 1, power_factor, reactance) == pytest.approx(
        exact, abs=turned + 1e-9
    )


@settings(deadline=None)
@given(current_a=st.floats(0.5, 60), length_m=st.floats(1, 60), ohm_per_km=st.floats(0.5, 15))
def test_three_phase_drop_is_the_line_to_line_part_of_a_balanced_system(current_a, length_m, ohm_per_km):
    """Build the three line drops as phasors and take the difference of two of them."""
    drops = [cmath.rect(current_a * ohm_per_km * length_m / 1000, turn * 2 * cmath.pi / 3) for turn in range(3)]
    assert conductors.drop_v(current_a, length_m, ohm_per_km, phases=3) == pytest.approx(abs(drops[0] - drops[1]))
    assert conductors.drop_v(current_a, length_m, ohm_per_km, phases=3) == pytest.approx(
        conductors.drop_v(current_a, length_m, ohm_per_km) * sqrt(3) / 2
    )


@pytest.mark.parametrize(
    ("function", "arguments", "named"),
    [
        ("awg_diameter_mm", {"awg": -4}, "awg"),
        ("awg_diameter_mm", {"awg": 57}, "awg"),
        ("awg_area_mm2", {"awg": 12.0}, "awg"),
        ("awg_area_mm2", {"awg": True}, "awg"),
        ("flexible_ohm_per_km", {"area_mm2": 1.25}, "area_mm2"),
        ("flexible_ohm_per_km", {"area_mm2": 0}, "area_mm2"),
        ("flexible_ohm_per_km", {"area_mm2": 310}, "area_mm2"),
        ("flexible_ohm_per_km", {"area_mm2": float("nan")}, "area_mm2"),
        ("flexible_ohm_per_km", {"area_mm2": 1.5, "temperature_c": -274}, "temperature_c"),
        ("flexible_ohm_per_km", {"area_mm2": 1.5, "temperature_c": -234.5}, "temperature_c"),
        ("flexible_ohm_per_km", {"area_mm2": 1.5, "temperature_c": float("inf")}, "temperature_c"),
        ("flexible_ohm_per_km", {"area_mm2": 1.5, "temperature_c": 1100}, "temperature_c"),
        ("awg_ohm_per_km", {"awg": 13}, "awg"),
        ("awg_ohm_per_km", {"awg": 6, "stranded": False}, "awg"),
        ("awg_ohm_per_km", {"awg": 12, "temperature_c": float("nan")}, "temperature_c"),
        ("drop_v", {"current_a": -1, "length_m": 1, "ohm_per_km": 1}, "current_a"),
        ("drop_v", {"current_a": 1, "length_m": -1, "ohm_per_km": 1}, "length_m"),
        ("drop_v", {"current_a": 1, "length_m": float("inf"), "ohm_per_km": 1}, "length_m"),
        ("drop_v", {"current_a": 1, "length_m": 1, "ohm_per_km": 0}, "ohm_per_km"),
        ("drop_v", {"current_a": 1, "length_m": 1, "ohm_per_km": 1, "phases": 2}, "phases"),
        ("drop_v", {"current_a": 1, "length_m": 1, "ohm_per_km": 1, "power_factor": 1.01}, "power_factor"),
        (
            "drop_v",
            {"current_a": 1, "length_m": 1, "ohm_per_km": 1, "reactance_ohm_per_km": -0.1},
            "reactance_ohm_per_km",
        ),
    ],
)
def test_what_no_conductor_has_is_refused_by_name(function, arguments, named):
    with pytest.raises(BadInput) as refused:
        getattr(conductors, function)(**arguments)
    assert refused.value.argument == named
    assert refused.value.accepted
    assert refused.value.value is arguments[named]
