"""Surface, rise and airflow: face by face, by integration over time, and the case worked by hand."""

import json
from pathlib import Path

import pytest
from fluids import ATMOSPHERE_1976
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from calc import heat
from calc.errors import BadInput
from calc.vocabulary import CASE_BUILDS

CONSTANTS = json.loads((Path(__file__).parents[1] / "reference" / "heat.json").read_text(encoding="utf-8"))["constants"]
SIDE = st.floats(0.05, 3)

# How much of each face gives off heat, IEC/TR 60890 (from memory): lid 1.4, open side or front 0.9, back to a wall 0.5.
LID, OPEN_FACE, WALL_FACE = 1.4, 0.9, 0.5


@settings(deadline=None)
@given(height=SIDE, width=SIDE, depth=SIDE)
def test_area_is_the_sum_of_its_weighted_faces(height, width, depth):
    lid, front, side = width * depth, width * height, depth * height
    free = LID * lid + 2 * OPEN_FACE * (front + side)
    assert heat.effective_area_m2(height, width, depth, "free") == pytest.approx(free)
    wall = LID * lid + (OPEN_FACE + WALL_FACE) * front + 2 * OPEN_FACE * side
    assert heat.effective_area_m2(height, width, depth, "wall") == pytest.approx(wall)
    every_face = 2 * (lid + front + side)
    assert heat.effective_area_m2(height, width, depth, "floor") == pytest.approx(every_face - lid)


def test_a_case_on_the_floor_worked_by_hand():
    """0.50 × 0.40 × 0.25 m: 0.20 + 2·(0.125 + 0.10) = 0.65 m²; 50 W: foam-lined 51.3 K, steel 14.0 K."""
    area = heat.effective_area_m2(height_m=0.25, width_m=0.50, depth_m=0.40, standing="floor")
    assert area == pytest.approx(0.65)
    watts = heat.heat_inside_w(110, 60)
    assert watts == 50
    assert heat.closed_case_rise_c(watts, area, heat.wall_k_w_m2k("foam-lined")) == pytest.approx(51.3, abs=0.05)
    assert heat.closed_case_rise_c(watts, area, heat.wall_k_w_m2k("steel")) == pytest.approx(14.0, abs=0.05)


def test_a_fan_worked_by_hand():
    """At 30 °C, 9 m³/h free air: 4.5 installed of 10.3 needed for 15 K; 64 °C running, 81 °C with the fan dead."""
    assert heat.installed_airflow_m3h(9) == 4.5
    assert heat.airflow_m3h(50, 15) == pytest.approx(10.3, abs=0.05)
    foam = heat.case_temperatures_c(50, 30, 0.65, heat.wall_k_w_m2k("foam-lined"), free_air_m3h=9)
    assert foam.running_c == pytest.approx(64, abs=0.5)
    assert foam.fan_dead_c == pytest.approx(81, abs=0.5)
    steel = heat.case_temperatures_c(50, 30, 0.65, heat.wall_k_w_m2k("steel"))
    assert steel.running_c == steel.fan_dead_c == pytest.approx(44, abs=0.05)


@settings(deadline=None)
@given(watts=st.floats(1, 500), area=st.floats(0.2, 6), k=st.floats(1, 12))
def test_closed_rise_is_where_warming_up_ends(watts, area, k):
    """Integrate C·dT/dt = P − k·A·T from cold over many time constants."""
    capacity_j_per_k = 5000.0
    long_s = 30 * capacity_j_per_k / (k * area)
    warmed = solve_ivp(
        lambda _, rise: (watts - k * area * rise) / capacity_j_per_k, (0, long_s), [0.0], method="LSODA", rtol=1e-8
    )
    assert heat.closed_case_rise_c(watts, area, k) == pytest.approx(warmed.y[0, -1], rel=1e-4)


@pytest.mark.parametrize("altitude_m", [0, 50, 100, 175, 250, 400, 500, 600, 750, 900, 1000])
def test_airflow_agrees_with_standard_air_at_35_celsius(altitude_m):
    """f = 3600/(ρ·cp), ρ from the 1976 standard atmosphere's pressure, cp 1006 J/(kg·K); a step carries 3 %."""
    density = ATMOSPHERE_1976(altitude_m).P / (287.05 * (273.15 + 35))
    exact = 3600 / (density * 1006) * 500 / 10
    assert heat.airflow_m3h(500, 10, altitude_m) == pytest.approx(exact, rel=0.03)


def test_the_steps_are_the_published_ones_and_include_their_upper_ends():
    for span, factor in CONSTANTS["f m3K/Wh by altitude m"]["value"].items():
        lowest, highest = (float(end) for end in span.split("-"))
        assert heat.airflow_m3h(1, 1, highest) == factor
        assert heat.airflow_m3h(1, 1, lowest + 0.001) == factor
    assert heat.airflow_m3h(1, 1) == 3.1


def test_every_build_of_a_case_has_the_published_transfer():
    published = CONSTANTS["k W/m2K"]["value"]
    assert heat.wall_k_w_m2k("foam-lined") == published["foam-lined plastic or ply (common practice)"]
    assert heat.wall_k_w_m2k("steel") == published["painted sheet steel"]
    assert heat.wall_k_w_m2k("plastic-or-wood") == published["plastic or wood (insulating)"]
    assert published["stainless steel"].endswith(f"use {heat.wall_k_w_m2k('stainless'):g})")
    assert set(heat.K_W_M2K) == set(heat.K_SOURCE) == set(CASE_BUILDS)
    assert heat.wall_k_w_m2k("aluminium") == published["aluminium, single wall"]


def test_what_sheets_print_for_aluminium_asks_for_moving_air():
    """In still air the films decide, as for painted steel; the other builds have one figure."""
    assert heat.wall_k_range_w_m2k("aluminium") == (heat.wall_k_w_m2k("steel"), 12.0)
    for build in set(CASE_BUILDS) - {"aluminium"}:
        assert heat.wall_k_range_w_m2k(build) == (heat.wall_k_w_m2k(build),) * 2


def film_w_m2k(emissivity, rise_k, height_m=0.4, mean_k=303.0):
    """Natural convection on a vertical wall, 1.42·(ΔT/L)^0.25 (handbook correlation), and 4·ε·σ·T³ of radiation."""
    return 1.42 * (rise_k / height_m) ** 0.25 + 4 * emissivity * 5.67e-8 * mean_k**3


@pytest.mark.parametrize("build", ["steel", "stainless", "aluminium"])
def test_a_thin_wall_lets_no_more_through_than_its_film_of_air_outside(build):
    """Still air, 20 K over one film, even for paint (ε 0.95); 12 W/(m²·K) would need wind."""
    assert heat.K_STILL_AIR_W_M2K[build] < film_w_m2k(0.95, 20) < 12


def test_metal_lies_between_two_films_of_bare_and_of_painted_metal():
    """Two films in series, 15 K over each: ε 0.2 for bare metal that has been used, 0.95 for paint, 20 % on both."""
    bare, painted = (film_w_m2k(emissivity, 15) / 2 for emissivity in (0.2, 0.95))
    for build in ("steel", "stainless", "aluminium"):
        assert bare < heat.K_STILL_AIR_W_M2K[build] < 1.2 * painted
    assert heat.wall_k_w_m2k("steel") == pytest.approx(painted, rel=0.2)


def test_sun_on_a_dark_lid_in_still_air():
    """Sol-air: black, 1000 W/m² on a third of the surface, 10 W/(m²·K): 31.7 K; in the shade nothing."""
    assert heat.sun_rise_c(1000, 0.95, 1 / 3) == pytest.approx(31.67, abs=0.01)
    assert heat.sun_rise_c(0, 0.95, 1 / 3) == 0
    assert heat.sun_rise_c(1000, 0.3, 1 / 3, 17.0) == pytest.approx(5.88, abs=0.01)


@settings(deadline=None)
@given(watts=st.floats(0.1, 500), flow=st.floats(1, 500), altitude=st.floats(0, 1000))
def test_rise_and_airflow_undo_each_other(watts, flow, altitude):
    assert heat.airflow_m3h(watts, heat.fan_rise_c(watts, flow, altitude), altitude) == pytest.approx(flow)


@settings(deadline=None)
@given(
    watts=st.floats(1, 500),
    ambient=st.floats(-20, 50),
    area=st.floats(0.2, 6),
    k=st.floats(1, 12),
    fan=st.floats(1, 500),
)
def test_running_temperature_is_never_below_the_joint_balance(watts, ambient, area, k, fan):
    """Walls and air together: find the temperature at which both carry the heat away; the answer must not flatter."""
    carried = brentq(lambda rise: k * area * rise + rise * (fan / 2) / 3.1 - watts, 0, 1e6)
    case = heat.case_temperatures_c(watts, ambient, area, k, free_air_m3h=fan)
    assert case.running_c >= ambient + carried - 1e-6
    assert case.running_c <= case.fan_dead_c
    # Two bounds side by side: the lower is at most twice what both together come to.
    assert case.running_c - ambient <= 2 * carried + 1e-6


NAN, INFINITE = float("nan"), float("inf")
BALANCE = {"watts": 50, "ambient_c": 30, "area_m2": 0.65, "k_w_m2k": 1.5}


@pytest.mark.parametrize(
    ("function", "arguments", "named"),
    [
        ("effective_area_m2", {"height_m": 0, "width_m": 1, "depth_m": 1}, "height_m"),
        ("effective_area_m2", {"height_m": 1, "width_m": -1, "depth_m": 1}, "width_m"),
        ("effective_area_m2", {"height_m": 1, "width_m": 1, "depth_m": NAN}, "depth_m"),
        ("effective_area_m2", {"height_m": 1, "width_m": 1, "depth_m": 1, "standing": "ceiling"}, "standing"),
        ("wall_k_w_m2k", {"build": "cardboard"}, "build"),
        ("heat_inside_w", {"mains_w": -1, "delivered_outside_w": 0}, "mains_w"),
        ("heat_inside_w", {"mains_w": 10, "delivered_outside_w": 11}, "delivered_outside_w"),
        ("heat_inside_w", {"mains_w": 10, "delivered_outside_w": -1}, "delivered_outside_w"),
        ("closed_case_rise_c", {"watts": -1, "area_m2": 1, "k_w_m2k": 1}, "watts"),
        ("closed_case_rise_c", {"watts": 1, "area_m2": 0, "k_w_m2k": 1}, "area_m2"),
        ("closed_case_rise_c", {"watts": 1, "area_m2": 1, "k_w_m2k": 0}, "k_w_m2k"),
        ("airflow_m3h", {"watts": INFINITE, "rise_c": 10}, "watts"),
        ("airflow_m3h", {"watts": 1, "rise_c": 0}, "rise_c"),
        ("airflow_m3h", {"watts": 1, "rise_c": 10, "altitude_m": 1000.5}, "altitude_m"),
        ("airflow_m3h", {"watts": 1, "rise_c": 10, "altitude_m": -1}, "altitude_m"),
        ("installed_airflow_m3h", {"free_air_m3h": 0}, "free_air_m3h"),
        ("fan_rise_c", {"watts": -1, "flow_m3h": 1}, "watts"),
        ("fan_rise_c", {"watts": 1, "flow_m3h": 0}, "flow_m3h"),
        ("fan_rise_c", {"watts": 1, "flow_m3h": 1, "altitude_m": NAN}, "altitude_m"),
        ("case_temperatures_c", {**BALANCE, "ambient_c": -274}, "ambient_c"),
        ("case_temperatures_c", {**BALANCE, "watts": -1}, "watts"),
        ("case_temperatures_c", {**BALANCE, "free_air_m3h": 0}, "free_air_m3h"),
        ("case_temperatures_c", {**BALANCE, "free_air_m3h": 9, "altitude_m": 2000}, "altitude_m"),
    ],
)
def test_what_no_case_has_is_refused_by_name(function, arguments, named):
    with pytest.raises(BadInput) as refused:
        getattr(heat, function)(**arguments)
    assert refused.value.argument == named
    assert refused.value.value is arguments[named]


def test_the_sun_sees_no_more_of_a_box_than_its_shadow():
    """A cube on the floor shows five faces, and the sun √3 of one at most: from memory, any book of geometry."""
    assert heat.greatest_lit_share(1, 1, 1) == pytest.approx(3**0.5 / 5)
    assert heat.greatest_lit_share(0.01, 1, 1) == pytest.approx(1 / 1.04, abs=0.001)


@settings(deadline=None)
@given(sun=st.floats(0, 1120), share=st.floats(0.1, 0.9), k=st.floats(1, 12), watts=st.floats(1, 500))
def test_heat_of_the_sun_warms_as_much_as_warmer_air(sun, share, k, watts):
    """Sol-air temperature: the surroundings count as warmer by α·G/h (handbooks of building physics, ISO 6946)."""
    rise = heat.sun_rise_c(sun, 0.95, share)
    warmer_air = heat.closed_case_rise_c(watts, 0.65, k) + rise
    more_heat = heat.closed_case_rise_c(watts + heat.sun_heat_w(rise, 0.65, k), 0.65, k)
    assert more_heat == pytest.approx(warmer_air)


def test_two_films_of_air_let_through_what_sheets_print_for_painted_steel():
    """ISO 6946 (from memory): 0.13 inside and 0.04 m²·K/W outside; a thin metal wall adds nothing."""
    still, moving = heat.wall_k_range_w_m2k("aluminium")
    assert still == pytest.approx(1 / (0.13 + 0.04), rel=0.1)
    assert moving == CONSTANTS["k W/m2K"]["value"]["aluminium, single wall"]
