"""The two rule sets as data: complete, cited, and agreeing with the published constants."""

import dataclasses
import json
from pathlib import Path

import pytest

from calc.errors import BadInput
from calc.rules import RuleSet, cord_rated_a, rule_set
from calc.vocabulary import BREAKER_CURVES, RULE_SETS

REFERENCE = Path(__file__).parents[1] / "reference"
MAINS = json.loads((REFERENCE / "mains.json").read_text(encoding="utf-8"))["constants"]
INSPECTION = json.loads((REFERENCE / "inspection.json").read_text(encoding="utf-8"))["constants"]

IEC, NORTH_AMERICA = rule_set("iec"), rule_set("north_america")
KNOWN = {"read", "second-hand", "memory", "common practice"}


def values(name):
    chosen = rule_set(name)
    return {f.name: getattr(chosen, f.name) for f in dataclasses.fields(RuleSet) if f.name not in ("name", "citations")}


@pytest.mark.parametrize("name", RULE_SETS)
def test_every_value_says_where_it_comes_from(name):
    for field, value in values(name).items():
        citations = rule_set(name).citations[field]
        assert bool(citations) == (value is not None and value != {}), field
        for citation in citations:
            assert citation.source
            assert citation.known in KNOWN, field


@pytest.mark.parametrize("name", RULE_SETS)
def test_a_rule_set_cannot_be_changed(name):
    chosen = rule_set(name)
    with pytest.raises(dataclasses.FrozenInstanceError):
        chosen.continuous_factor = 1.0
    with pytest.raises(TypeError):
        chosen.breaker_instant_multiples["B"] = (99.0, 99.0)
    assert rule_set(name) is chosen


@pytest.mark.parametrize("name", ["", "IEC", "europe", None, 1, ["iec"]])
def test_unknown_rules_are_refused_by_name(name):
    with pytest.raises(BadInput) as refused:
        rule_set(name)
    assert refused.value.argument == "name"
    assert "north_america" in refused.value.accepted


def test_cord_ratings_are_the_published_ones():
    for area, amps in MAINS["flexible cord, A, two loaded conductors (iec)"]["value"].items():
        assert cord_rated_a("iec", area_mm2=float(area)) == amps
    by_awg = MAINS["flexible cord, A, AWG (north_america)"]["value"]
    for loaded, table in ((2, by_awg["two loaded"]), (3, by_awg["three loaded"])):
        for awg, amps in table.items():
            assert cord_rated_a("north_america", awg=int(awg), loaded_conductors=loaded) == amps


@pytest.mark.parametrize(("awg", "two", "three"), [(8, 40, 35), (6, 55, 45), (4, 70, 60), (2, 95, 80)])
def test_thick_north_american_cords_are_rated(awg, two, three):
    """NFPA 70 table 400.5(A)(1), from memory."""
    assert cord_rated_a("north_america", awg=awg, loaded_conductors=2) == two
    assert cord_rated_a("north_america", awg=awg, loaded_conductors=3) == three


@pytest.mark.parametrize(
    ("area_mm2", "two", "three"), [(6, 51, 43), (10, 70, 60), (16, 94, 80), (25, 119, 101), (35, 148, 126)]
)
def test_thick_iec_cords_are_rated(area_mm2, two, three):
    """IEC 60364-5-52 table B.52.10, method E, from memory: 32 A on 6 mm², 63 A on 16 mm², 125 A on 35 mm²."""
    assert cord_rated_a("iec", area_mm2=area_mm2, loaded_conductors=2) == two
    assert cord_rated_a("iec", area_mm2=area_mm2, loaded_conductors=3) == three


def test_a_thicker_cord_never_carries_less():
    for rules in (IEC, NORTH_AMERICA):
        for table in (rules.cord_two_loaded_by_area_a, rules.cord_three_loaded_by_area_a):
            assert [table[size] for size in sorted(table)] == sorted(table.values())
        for table in (rules.cord_two_loaded_by_awg_a, rules.cord_three_loaded_by_awg_a):
            assert [table[size] for size in sorted(table, reverse=True)] == sorted(table.values())


def test_three_loaded_conductors_never_carry_more_than_two():
    for rules in (IEC, NORTH_AMERICA):
        for two, three in (
            (rules.cord_two_loaded_by_area_a, rules.cord_three_loaded_by_area_a),
            (rules.cord_two_loaded_by_awg_a, rules.cord_three_loaded_by_awg_a),
        ):
            assert all(three[size] <= two[size] for size in three)


def test_a_cord_that_the_regions_table_lacks_has_no_rating():
    assert cord_rated_a("iec", awg=12) is None
    assert cord_rated_a("north_america", area_mm2=2.5) is None
    assert cord_rated_a("iec", area_mm2=1.3) is None
    assert cord_rated_a("north_america", awg=0) is None


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        ({"rules": "europe", "area_mm2": 1.5}, "rules"),
        ({"rules": "iec"}, "area_mm2"),
        ({"rules": "iec", "area_mm2": 1.5, "awg": 14}, "area_mm2"),
        ({"rules": "iec", "area_mm2": -1.5}, "area_mm2"),
        ({"rules": "north_america", "awg": 12.5}, "awg"),
        ({"rules": "iec", "area_mm2": 1.5, "loaded_conductors": 4}, "loaded_conductors"),
    ],
)
def test_a_cord_that_cannot_be_asked_for_is_refused(arguments, named):
    with pytest.raises(BadInput) as refused:
        cord_rated_a(**arguments)
    assert refused.value.argument == named


def test_breakers_trip_in_the_published_regions():
    published = MAINS["breaker instant region, multiples of rating"]["value"]
    assert {curve: list(span) for curve, span in IEC.breaker_instant_multiples.items()} == published
    assert set(IEC.breaker_instant_multiples) == set(BREAKER_CURVES)
    assert NORTH_AMERICA.breaker_instant_multiples == {}


def test_words_and_shares_differ_by_region():
    assert (IEC.earth_word, IEC.residual_device_word) == ("earth", "RCD")
    assert (NORTH_AMERICA.earth_word, NORTH_AMERICA.residual_device_word) == ("ground", "GFCI")
    assert (IEC.continuous_factor, NORTH_AMERICA.continuous_factor) == (1.0, 1.25)
    assert (IEC.headroom_caution_share, NORTH_AMERICA.headroom_caution_share) == (0.8, None)
    assert (NORTH_AMERICA.class_a_caution_ma, NORTH_AMERICA.class_a_stop_ma) == (3.0, 4.0)
    for rules in (IEC, NORTH_AMERICA):
        assert (rules.drop_caution_percent, rules.drop_limit_percent) == (3.0, 5.0)


def test_inspection_limits_are_the_published_ones():
    assert INSPECTION["earth bond class I"]["value"].startswith(f"{IEC.inspection_earth_bond_ohm:g} ohm +")
    assert INSPECTION["insulation at 500 V d.c."]["value"] == (
        f"class I {IEC.inspection_insulation_class_i_mohm:g} Mohm, "
        f"class II {IEC.inspection_insulation_class_ii_mohm:g} Mohm"
    )
    assert INSPECTION["protective-conductor current"]["value"] == (
        f"{IEC.inspection_leakage_class_i_ma:g} mA class I, {IEC.inspection_leakage_class_ii_ma:g} mA class II"
    )
    assert INSPECTION["interval, hire equipment"]["value"] == f"{IEC.inspection_hire_interval_months} months"
    assert NORTH_AMERICA.inspection_earth_bond_ohm is None
