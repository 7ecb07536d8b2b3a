"""Voltage systems against IEC 60038 and, from memory, ANSI C84.1."""

from math import sqrt

import pytest

from calc.voltages import VOLTAGE_SYSTEMS, accepted_v, across_load_v, systems_of, voltage_system


@pytest.mark.parametrize("name", VOLTAGE_SYSTEMS)
def test_the_two_voltages_of_a_system_belong_together(name):
    """√3 for three lines (400 is printed for 398), twice for two."""
    system = voltage_system(name)
    if system.line_to_neutral_v and system.line_to_line_v:
        factor = sqrt(3) if system.lines == 3 else 2
        assert system.line_to_line_v == pytest.approx(factor * system.line_to_neutral_v, rel=0.005)


@pytest.mark.parametrize(
    ("volts", "lines", "names"),
    [
        (230, 3, ["230/400"]),
        (400, 3, ["230/400"]),
        (415, 3, ["230/400"]),
        (208, 3, ["120/208"]),
        (120, 3, ["120/208"]),
        (480, 3, ["277/480"]),
        (230, 1, ["230"]),
        (120, 1, ["120"]),
        (240, 2, ["120/240"]),
        (110, 2, ["110 centre-earthed", "120/240"]),
        (300, 3, []),
    ],
)
def test_a_number_typed_at_a_feed_names_its_system(volts, lines, names):
    """IEC 60038; ANSI C84.1 from memory."""
    assert [system.name for system in systems_of(volts, lines)] == names


@pytest.mark.parametrize(
    ("label", "span"),
    [
        ((230,), (207, 253)),
        ((230, 230), (207, 253)),
        ((220,), (198, 253)),
        ((240,), (207, 264)),
        ((110,), (99, 132)),
        ((115,), (103.5, 132)),
        ((100,), (90, 110)),
        ((100, 240), (100, 240)),
        ((12,), (10.8, 13.2)),
    ],
)
def test_one_number_is_its_tolerance_and_a_range_is_what_it_says(label, span):
    """IEC 60038: ±10 %."""
    assert accepted_v(*label) == pytest.approx(span)


def test_line_to_line_is_told_from_line_to_neutral():
    """IEC 60038; BS 7671 411.8 for 110 V between lines, 55 V to earth."""
    assert across_load_v("230/400", between_lines=False) == 230
    assert across_load_v("230/400", between_lines=True) == 400
    assert across_load_v("110 centre-earthed", between_lines=False) is None
    assert voltage_system("110 centre-earthed").line_to_earth_v == 55
