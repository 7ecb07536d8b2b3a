"""Parsing of the parts of a data sheet: serializers made from the table of fields."""

from typing import Any

from rest_framework import serializers

from calc.rig.field_table import FIELDS_OF
from calc.rig.fields import Field, Takes
from inventory.base.api.fields import NumberField, TextField, WholeField
from inventory.base.api.serializers import StrictSerializer

OPTIONAL: dict[str, Any] = {"allow_null": True, "required": False}


def input_field(field: Field) -> serializers.Field[Any, Any, Any, Any]:
    """Return what parses one field; null and absence are allowed, the bounds are those of the table."""
    about = {**OPTIONAL, "help_text": field.label}
    if field.choices:
        return serializers.ChoiceField(choices=field.choices, **about)
    if field.takes is Takes.NUMBER:
        return NumberField(min_value=field.least, max_value=field.most, **about)
    if field.takes is Takes.WHOLE:
        return WholeField(min_value=int(field.least), max_value=int(field.most), **about)
    if field.takes is Takes.YES_OR_NO:
        return serializers.BooleanField(**about)
    return TextField(max_length=int(field.most), **about)


def sheet_input(sheet: str) -> StrictSerializer:
    """Return the field that parses one sheet, such as ``power``; null says that the sheet does not apply."""
    parsers = {field.name: input_field(field) for field in FIELDS_OF[sheet]}
    made: type[StrictSerializer] = type(f"{sheet.capitalize()}Input", (StrictSerializer,), parsers)
    return made(**OPTIONAL)
