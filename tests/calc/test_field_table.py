"""The table of the fields of a data sheet."""

import dataclasses
from typing import get_args, get_type_hints

import pytest

from calc.rig.field_table import FIELDS, FIELDS_OF, HEADINGS, SIZE
from calc.rig.fields import DECLARED, Field, Takes, number
from calc.rig.kit import Spec
from calc.rig.sheets import SHEET_TYPES
from calc.vocabulary import SPEC_KINDS

TYPES = {Takes.NUMBER: float, Takes.WHOLE: int, Takes.YES_OR_NO: bool, Takes.TEXT: str}
OWNERS = {SIZE: Spec, **SHEET_TYPES}


@pytest.mark.parametrize("sheet", SHEET_TYPES)
def test_every_field_of_a_sheet_is_declared(sheet):
    assert [field.name for field in FIELDS_OF[sheet]] == [each.name for each in dataclasses.fields(SHEET_TYPES[sheet])]


@pytest.mark.parametrize("field", FIELDS.values(), ids=list(FIELDS))
def test_a_field_takes_what_its_type_says(field):
    assert get_type_hints(OWNERS[field.sheet])[field.name] == TYPES[field.takes] | None


def test_every_sheet_of_a_spec_is_in_the_table():
    hints = get_type_hints(Spec)
    sheets = [name for name, hint in hints.items() if set(get_args(hint)) & set(SHEET_TYPES.values())]
    assert sheets == list(SHEET_TYPES) == list(HEADINGS)[1:]


def test_size_and_weight_are_fields_of_the_spec_itself():
    assert [field.path for field in FIELDS_OF[SIZE]] == ["weight_kg", "width_mm", "depth_mm", "height_mm"]


def test_words_are_one_wording_a_field_and_tell_the_fields_of_a_sheet_apart():
    for fields in FIELDS_OF.values():
        words = [field.words for field in fields]
        assert len(set(words)) == len(words)
        assert all(text == text.strip() and text for text in words)


def test_kinds_and_bounds_are_possible():
    for field in FIELDS.values():
        assert field.matters_for <= set(SPEC_KINDS)
        assert field.least < field.most
        assert all(len(choice) <= field.most for choice in field.choices)


def test_a_unit_agrees_with_the_ending_of_the_name():
    # ISO 80000-1: the unit belongs to the number; the house writes it at the end of the name
    endings = {"_kg": "kg", "_mm": "mm", "_m": "m", "_w": "W", "_va": "VA", "_a": "A", "_ma": "mA", "_ms": "ms"}
    for field in FIELDS.values():
        ending = "_" + field.name.rpartition("_")[2]
        if ending in endings:
            assert field.unit == endings[ending], field.path


def test_a_declaration_is_the_default_of_its_field():
    @dataclasses.dataclass(frozen=True, kw_only=True)
    class Sheet:
        lamp_w: float | None = number("lamp power", "W", most=5000)
        colour: str | None = None

    assert Sheet().lamp_w is None
    assert [DECLARED in each.metadata for each in dataclasses.fields(Sheet)] == [True, False]


def test_a_field_knows_its_sheet_and_its_line_on_a_page():
    field = Field(path="power.max_w", words="highest draw", takes=Takes.NUMBER, unit="W")
    assert (field.sheet, field.name, field.heading, field.label) == (
        "power",
        "max_w",
        "Highest draw",
        "Highest draw, W",
    )
    assert Field(path="weight_kg", words="weight", takes=Takes.NUMBER).sheet == SIZE


@pytest.mark.parametrize(
    ("path", "accepted"),
    [
        ("power.rated_a", "above 0 to 10,000"),
        ("power.power_factor", "0.01 to 1"),
        ("power.protection_class", "I, II, III"),
        ("cooling.max_ambient_celsius", "-50 to 200"),
        ("cable.awg", "-3 to 40, whole"),
        ("cable.category", "at most 20 characters"),
        ("network.vlans", "yes or no"),
    ],
)
def test_what_a_field_takes_is_said_in_words(path, accepted):
    assert FIELDS[path].accepted == accepted
