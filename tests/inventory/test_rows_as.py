"""Rows of a query in the shape of a TypedDict."""

from typing import TypedDict

import pytest
from django.core.exceptions import FieldError
from django.db.models import Count, Value
from django.db.models.functions import Upper

from inventory.base.rows import rows_as
from inventory.models import Spec, Unit
from tests.inventory.gear import Gear


class NamedShape(TypedDict):
    id: int
    name: str


class CountedShape(NamedShape):
    owned: int


class TaggedShape(TypedDict):
    tag: str
    spec_name: str
    loud: str


class AbsentShape(TypedDict):
    colour_of_the_box: str


def test_the_keys_of_the_shape_are_the_columns_in_their_order(gear: Gear):
    spec = gear.spec(name="Small switch")
    rows = rows_as(NamedShape, Spec.objects.filter(pk=spec))
    assert list(rows) == [{"id": spec, "name": "Small switch"}]
    assert list(rows[0]) == ["id", "name"]


def test_inherited_keys_and_annotations_are_columns_too(gear: Gear):
    spec = gear.spec()
    gear.unit(spec)
    counted = Spec.objects.filter(pk=spec).annotate(owned=Count("units"))
    assert [row["owned"] for row in rows_as(CountedShape, counted)] == [1]
    assert rows_as(CountedShape, counted).filter(owned=0).first() is None


def test_a_key_may_come_from_another_table_or_an_expression(gear: Gear):
    unit = gear.unit(gear.spec(name="Small switch"))
    found = rows_as(TaggedShape, Unit.objects.filter(pk=unit), spec_name="spec__name", loud=Upper("spec__name")).get()
    assert (found["spec_name"], found["loud"]) == ("Small switch", "SMALL SWITCH")


def test_a_source_for_no_key_of_the_shape_is_refused():
    with pytest.raises(TypeError, match="NamedShape has no colour; it has id, name"):
        rows_as(NamedShape, Spec.objects.all(), colour=Value("red"))


def test_a_key_without_a_column_is_refused():
    with pytest.raises(FieldError, match="colour_of_the_box"):
        rows_as(AbsentShape, Spec.objects.all())


def test_a_computed_key_may_not_hide_a_column():
    with pytest.raises(ValueError, match="conflicts with a field"):
        rows_as(NamedShape, Spec.objects.all(), name="maker")
