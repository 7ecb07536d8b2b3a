"""Volts at the load against IEC 60364-5-52 annex G, phasors by Kirchhoff's laws, and scipy."""

import cmath

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from calc.conductors import flexible_ohm_per_km
from calc.errors import BadInput
from calc.load_volts import at_constant_power, at_current, at_worst_leg


def test_a_balanced_three_phase_lead_loses_volts_along_one_conductor():
    """22.17 kW on 230/400 V are 32.1 A a phase; 50 m of 6 mm² at 70 °C: annex G with b = 1, 6.3 V."""
    cold = at_current(230, 32, 50, flexible_ohm_per_km(6), phases=3)
    assert cold.lost_v == pytest.approx(32 * 0.05 * 3.3)
    warm = at_current(230, 32, 50, flexible_ohm_per_km(6, 60), phases=3)
    assert warm.lost_v == pytest.approx(6.11, abs=0.005)
    assert warm.lost_percent == pytest.approx(2.66, abs=0.005)
    out_and_back = at_current(230, 32, 50, flexible_ohm_per_km(6, 60))
    assert out_and_back.lost_v == pytest.approx(2 * warm.lost_v)


def test_a_long_thin_12_v_lead():
    """12 V, 25 W, 30 m of 0.75 mm² (26 Ω/km): 2.08 A lose 3.25 V; a converter that wants 25 W gets none of it."""
    fixed = at_current(12, 25 / 12, 30, flexible_ohm_per_km(0.75))
    assert fixed.at_load_v == pytest.approx(8.75, abs=0.005)
    converter = at_constant_power(12, 25, 30, flexible_ohm_per_km(0.75))
    assert (converter.at_load_v, converter.lost_v) == (None, None)
    assert "No current can bring 25 W" in converter.why
    assert "23.1 W" in converter.why


@settings(deadline=None)
@given(watts=st.floats(0.1, 500), length_m=st.floats(0.1, 200), supply_v=st.floats(5, 60))
def test_a_constant_power_load_settles_where_scipy_finds_it(watts, length_m, supply_v):
    loop_ohm = 2 * length_m * 13.3 / 1000
    answer = at_constant_power(supply_v, watts, length_m, 13.3)
    if watts > supply_v**2 / 4 / loop_ohm:
        assert answer.at_load_v is None
        return
    at_load = brentq(lambda v: v * (supply_v - v) / loop_ohm - watts, supply_v / 2, supply_v, xtol=1e-12)
    assert answer.at_load_v == pytest.approx(at_load, rel=1e-5)


@pytest.mark.parametrize(("current_a", "length_m"), [(1e6, 1000), (16, 1e9), (1e20, 1e20)])
def test_more_lost_than_there_is_is_a_sentence_and_never_negative_volts(current_a, length_m):
    """Common practice: nobody believes minus 966 million volts."""
    answer = at_current(230, current_a, length_m, 13.3)
    assert answer.at_load_v is None
    assert "nothing runs" in answer.why


legs = st.lists(st.floats(0, 60), min_size=2, max_size=3)


@settings(deadline=None)
@given(legs)
def test_the_worst_leg_agrees_with_phasors(legs_a):
    """Kirchhoff: each leg's own drop, and the neutral's, taken in the direction of the leg's volts."""
    step = cmath.pi if len(legs_a) == 2 else 2 * cmath.pi / 3
    currents = [cmath.rect(a, -place * step) for place, a in enumerate(legs_a)]
    neutral = sum(currents)
    ohm = 0.05 * 3.3
    lost = [(ohm * (current + neutral) * cmath.rect(1, place * step)).real for place, current in enumerate(currents)]
    assert at_worst_leg(230, tuple(legs_a), 50, 3.3).lost_v == pytest.approx(max(lost), abs=1e-9)


def test_equal_legs_lose_one_conductor_and_a_single_leg_loses_two():
    """IEC 60364-5-52 annex G, b = 1 and b = 2."""
    equal, alone = (at_worst_leg(230, legs_a, 50, 3.3) for legs_a in ((16, 16, 16), (16, 0, 0)))
    assert equal.lost_v == pytest.approx(at_current(230, 16, 50, 3.3, phases=3).lost_v)
    assert alone.lost_v == pytest.approx(at_current(230, 16, 50, 3.3).lost_v)
    assert at_worst_leg(120, (16, 16), 50, 3.3).lost_v == pytest.approx(16 * 0.05 * 3.3)


@pytest.mark.parametrize("legs_a", [(1.0,), (1.0, 1.0, 1.0, 1.0), (1.0, -1.0)])
def test_legs_that_no_lead_has_are_refused(legs_a):
    with pytest.raises(BadInput) as refused:
        at_worst_leg(230, legs_a, 50, 3.3)
    assert refused.value.argument.startswith("legs_a")
