"""Watt-hours and the steps of the ICAO technical instructions, table 8-1."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from calc.batteries import air_transport, run_time_h, watt_hours
from calc.errors import BadInput


@settings(deadline=None)
@given(volts=st.floats(1, 60), amp_hours=st.floats(0.1, 200), hours=st.floats(0.5, 20))
def test_energy_is_what_a_steady_discharge_delivers(volts, amp_hours, hours):
    """Integrate u·i over the discharge, in seconds, and turn joules into watt-hours."""
    seconds = np.linspace(0, hours * 3600, 50)
    joules = trapezoid(np.full_like(seconds, volts * amp_hours / hours), seconds)
    assert watt_hours(volts, amp_hours) == pytest.approx(joules / 3600)


@settings(deadline=None)
@given(wh=st.floats(1, 5000), load_w=st.floats(1, 5000), efficiency=st.floats(0.1, 1))
def test_what_is_drawn_over_the_run_time_is_what_the_battery_holds(wh, load_w, efficiency):
    assert run_time_h(wh, load_w, efficiency) * load_w / efficiency == pytest.approx(wh)


@pytest.mark.parametrize(
    ("wh", "how"),
    [
        (0.1, "cabin"),
        (99.9, "cabin"),
        (100, "cabin"),
        (100.01, "approval"),
        (111, "approval"),
        (160, "approval"),
        (160.01, "cargo"),
        (1000, "cargo"),
    ],
)
def test_the_steps_include_their_upper_ends(wh, how):
    assert air_transport(wh) == how


def test_a_camera_battery_asks_the_operator():
    """11.1 V, 10 Ah: 111 Wh, over 100 and not over 160."""
    assert air_transport(watt_hours(11.1, 10)) == "approval"


@settings(deadline=None)
@given(st.floats(0.1, 1000), st.floats(0.1, 1000))
def test_more_energy_never_flies_more_freely(one, other):
    order = ["cabin", "approval", "cargo"]
    smaller, larger = sorted((one, other))
    assert order.index(air_transport(smaller)) <= order.index(air_transport(larger))


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: watt_hours(0, 10), "volts"),
        (lambda: watt_hours(-11.1, 10), "volts"),
        (lambda: watt_hours(float("nan"), 10), "volts"),
        (lambda: watt_hours(11.1, 0), "amp_hours"),
        (lambda: watt_hours(11.1, float("inf")), "amp_hours"),
        (lambda: air_transport(0), "wh"),
        (lambda: air_transport(-1), "wh"),
        (lambda: air_transport(float("nan")), "wh"),
        (lambda: air_transport("100"), "wh"),
    ],
)
def test_what_no_battery_has_is_refused_by_name(call, named):
    with pytest.raises(BadInput) as refused:
        call()
    assert refused.value.argument == named
