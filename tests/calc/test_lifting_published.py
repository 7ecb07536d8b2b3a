"""The lifting equation against its printed tables, an interpolator, and cases worked by hand."""

import json
from math import inf
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import interp1d

from calc.errors import BadInput
from calc.lifting import lifting_index, people_needed, recommended_limit, team_limit_kg

CONSTANTS = json.loads((Path(__file__).parents[1] / "reference" / "lifting.json").read_text(encoding="utf-8"))[
    "constants"
]
FREQUENCY = CONSTANTS["FM, table 5"]["value"]
IDEAL = {
    "horizontal_cm": 25, "origin_cm": 75, "travel_cm": 25, "asymmetry_deg": 0, "lifts_per_min": 0.2, "duration_h": 1,
    "coupling": "good",
}  # fmt: skip

# NIOSH 94-110 tables 1 to 4, metric (from memory): two places, hence half a hundredth.
HORIZONTAL = {25: 1.00, 28: 0.89, 30: 0.83, 32: 0.78, 34: 0.74, 36: 0.69, 38: 0.66, 40: 0.63, 42: 0.60, 44: 0.57,
              46: 0.54, 48: 0.52, 50: 0.50, 52: 0.48, 54: 0.46, 56: 0.45, 58: 0.43, 60: 0.42, 63: 0.40}  # fmt: skip
VERTICAL = {0: 0.78, 10: 0.81, 20: 0.84, 30: 0.87, 40: 0.90, 50: 0.93, 60: 0.96, 70: 0.99, 80: 0.99, 90: 0.96,
            100: 0.93, 110: 0.90, 120: 0.87, 130: 0.84, 140: 0.81, 150: 0.78, 160: 0.75, 170: 0.72,
            175: 0.70}  # fmt: skip
TRAVEL = {25: 1.00, 40: 0.93, 55: 0.90, 70: 0.88, 85: 0.87, 115: 0.86, 145: 0.85, 175: 0.85}
ASYMMETRY = {0: 1.00, 15: 0.95, 30: 0.90, 45: 0.86, 60: 0.81, 75: 0.76, 90: 0.71, 105: 0.66, 120: 0.62, 135: 0.57}
HALF_DIGIT = 0.005 + 1e-9


@pytest.mark.parametrize(
    ("argument", "multiplier", "table", "beyond"),
    [
        ("horizontal_cm", "hm", HORIZONTAL, 63.1),
        ("origin_cm", "vm", VERTICAL, 175.1),
        ("travel_cm", "dm", TRAVEL, 175.1),
        ("asymmetry_deg", "am", ASYMMETRY, 135.1),
    ],
)
def test_a_multiplier_agrees_with_its_printed_table_and_ends_where_it_ends(argument, multiplier, table, beyond):
    for value, printed in table.items():
        assert getattr(recommended_limit(**{**IDEAL, argument: value}), multiplier) == pytest.approx(
            printed, abs=HALF_DIGIT
        )
    ended = recommended_limit(**{**IDEAL, argument: beyond})
    assert getattr(ended, multiplier) == 0
    assert ended.limit_kg == 0


def test_the_ideal_lift_is_the_load_constant():
    assert recommended_limit(**IDEAL).limit_kg == 23
    for argument in ("horizontal_cm", "travel_cm", "lifts_per_min"):
        assert recommended_limit(**{**IDEAL, argument: 0}).limit_kg == 23


COLUMNS = [(hours, origin) for hours in (1, 2, 8) for origin in (74.9, 75)]


@pytest.mark.parametrize(("column", "hours", "origin"), [(n, *column) for n, column in enumerate(COLUMNS)])
def test_frequency_multiplier_is_every_row_of_table_5(column, hours, origin):
    for row, values in FREQUENCY["rows"].items():
        lifts = {"<=0.2": 0.2, ">15": 15.1}.get(row) or float(row)
        found = recommended_limit(**{**IDEAL, "lifts_per_min": lifts, "duration_h": hours, "origin_cm": origin})
        assert found.fm == pytest.approx(values[column], abs=1e-12), row


@pytest.mark.parametrize(("column", "hours", "origin"), [(n, *column) for n, column in enumerate(COLUMNS)])
def test_between_the_rows_of_table_5_a_general_interpolator_agrees(column, hours, origin):
    rows = [
        (0.2 if row == "<=0.2" else float(row), values[column])
        for row, values in FREQUENCY["rows"].items()
        if row != ">15"
    ]
    between = interp1d(*zip(*rows, strict=True))
    for lifts in np.linspace(0.2, 15, 297):
        found = recommended_limit(**{**IDEAL, "lifts_per_min": lifts.item(), "duration_h": hours, "origin_cm": origin})
        assert found.fm == pytest.approx(between(lifts).item(), abs=1e-12)


@pytest.mark.parametrize(("hours", "column"), [(0.1, 0), (1, 0), (1.01, 2), (2, 2), (2.01, 4), (8, 4)])
def test_durations_fall_into_the_printed_spans(hours, column):
    found = recommended_limit(**{**IDEAL, "lifts_per_min": 5, "duration_h": hours, "origin_cm": 0})
    assert found.fm == FREQUENCY["rows"]["5"][column]


@pytest.mark.parametrize("coupling", ["good", "fair", "poor"])
def test_coupling_multiplier_is_the_printed_one(coupling):
    below, above = CONSTANTS["CM"]["value"][coupling]
    assert recommended_limit(**{**IDEAL, "coupling": coupling, "origin_cm": 74.9}).cm == below
    assert recommended_limit(**{**IDEAL, "coupling": coupling, "origin_cm": 75}).cm == above


def test_a_case_off_the_floor_worked_by_hand():
    """Hands 40 cm out, floor to 75 cm, good handles: 23 · 0.625 · 0.775 · 0.88 = 9.8 kg."""
    lift = {**IDEAL, "horizontal_cm": 40, "origin_cm": 0, "travel_cm": 75}
    assert recommended_limit(**lift).limit_kg == pytest.approx(9.8, abs=0.05)
    assert lifting_index(19.6, **lift) == pytest.approx(2.0, abs=0.01)


@settings(deadline=None)
@given(
    horizontal=st.floats(0, 70), origin=st.floats(0, 180), travel=st.floats(0, 180), asymmetry=st.floats(0, 140),
    lifts=st.floats(0, 16), hours=st.floats(0.01, 8), coupling=st.sampled_from(["good", "fair", "poor"]),
)  # fmt: skip
def test_the_limit_is_the_product_and_never_above_the_constant(
    horizontal, origin, travel, asymmetry, lifts, hours, coupling
):
    found = recommended_limit(horizontal, origin, travel, asymmetry, lifts, hours, coupling)
    multipliers = [found.hm, found.vm, found.dm, found.am, found.fm, found.cm]
    assert all(0 <= one <= 1 for one in multipliers)
    assert found.limit_kg == pytest.approx(23 * np.prod(multipliers))
    index = lifting_index(10, horizontal, origin, travel, asymmetry, lifts, hours, coupling)
    assert index == (inf if found.limit_kg == 0 else pytest.approx(10 / found.limit_kg))


@settings(deadline=None)
@given(
    lower=st.floats(0, 16), more=st.floats(0, 16), hours=st.floats(0.01, 8), longer=st.floats(0, 8),
    origin=st.sampled_from([0, 74.9, 75, 120]),
)  # fmt: skip
def test_lifting_more_often_or_for_longer_never_raises_the_limit(lower, more, hours, longer, origin):
    easy = recommended_limit(**{**IDEAL, "origin_cm": origin, "lifts_per_min": lower, "duration_h": hours})
    hard = recommended_limit(
        **{**IDEAL, "origin_cm": origin, "lifts_per_min": lower + more, "duration_h": min(8, hours + longer)}
    )
    assert hard.limit_kg <= easy.limit_kg + 1e-12


def test_teams_by_the_published_shares():
    """HSE L23: two lift two thirds of their sum, three half of theirs."""
    assert team_limit_kg(25, 1) == 25
    assert team_limit_kg(25, 2) == pytest.approx(50 * 2 / 3)
    assert team_limit_kg(25, 3) == pytest.approx(75 / 2)


def test_people_needed_is_the_smallest_team_that_may():
    """9.8 kg alone: two 13.1, three 14.7 kg."""
    assert people_needed(9.8, 9.8) == 1
    assert people_needed(9.9, 9.8) == people_needed(13.0, 9.8) == 2
    assert people_needed(13.1, 9.8) == people_needed(14.7, 9.8) == 3
    assert people_needed(14.8, 9.8) == people_needed(19.6, 9.8) == 4
    assert people_needed(19.7, 9.8) is None
    assert people_needed(1, 0) is None


@settings(deadline=None)
@given(load=st.floats(0.1, 100), alone=st.floats(0.1, 40))
def test_people_needed_agrees_with_the_team_limit(load, alone):
    people = people_needed(load, alone)
    within = [number for number in (1, 2, 3) if load <= team_limit_kg(alone, number)]
    within += [4] if load <= 4 * alone / 2 else []
    assert people == (min(within) if within else None)


@pytest.mark.parametrize(
    ("argument", "value"),
    [
        ("horizontal_cm", -1),
        ("horizontal_cm", float("nan")),
        ("origin_cm", -0.1),
        ("travel_cm", float("inf")),
        ("asymmetry_deg", -5),
        ("lifts_per_min", -1),
        ("duration_h", 0),
        ("duration_h", 8.01),
        ("coupling", "tape"),
        ("coupling", None),
    ],
)
def test_what_no_lift_is_is_refused_by_name(argument, value):
    for call in (recommended_limit, lambda **lift: lifting_index(10, **lift)):
        with pytest.raises(BadInput) as refused:
            call(**{**IDEAL, argument: value})
        assert refused.value.argument == argument
        assert refused.value.value is value


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: lifting_index(0, **IDEAL), "load_kg"),
        (lambda: lifting_index(-1, **IDEAL), "load_kg"),
        (lambda: team_limit_kg(-1, 2), "one_person_kg"),
        (lambda: team_limit_kg(25, 0), "people"),
        (lambda: team_limit_kg(25, 4), "people"),
        (lambda: team_limit_kg(25, 2.0), "people"),
        (lambda: people_needed(0, 25), "load_kg"),
        (lambda: people_needed(10, float("nan")), "one_person_kg"),
    ],
)
def test_no_load_and_no_such_team_are_refused_by_name(call, named):
    with pytest.raises(BadInput) as refused:
        call()
    assert refused.value.argument == named
