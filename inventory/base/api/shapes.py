"""What the interface answers, as typed dictionaries: checked by mypy where they are made, described from the same type.

A TypedDict costs nothing at run time, so a list of a hundred rows is built about as fast as the rows are read.
"""

import types
from datetime import date, datetime
from functools import cache
from typing import (
    Annotated,
    Any,
    Literal,
    NotRequired,
    Required,
    TypedDict,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

from rest_framework import serializers

PLAIN: dict[Any, type[serializers.Field[Any, Any, Any, Any]]] = {
    str: serializers.CharField,
    int: serializers.IntegerField,
    float: serializers.FloatField,
    bool: serializers.BooleanField,
    datetime: serializers.DateTimeField,
    date: serializers.DateField,
}


class ProblemShape(TypedDict, total=False):
    """RFC 9457 problem details; further members depend on the type."""

    type: Required[str]
    title: Required[str]
    status: Required[int]
    detail: Required[str]
    errors: list[dict[str, str]]


@cache
def described_by(shape: Any) -> type[serializers.Serializer[Any]]:
    """Return a serializer class that describes a TypedDict to the OpenAPI document; it is never used to serialize."""
    hints = get_type_hints(shape, include_extras=True)
    required = shape.__required_keys__
    fields = {name: _field(hint, required=name in required) for name, hint in hints.items()}
    name = shape.__name__.removesuffix("Shape")
    return type(name, (serializers.Serializer,), {**fields, "__doc__": shape.__doc__})


@cache
def page_of(shape: Any) -> type[serializers.Serializer[Any]]:
    """Return the serializer class that describes one page of a list of ``shape``."""
    return type(
        shape.__name__.removesuffix("Shape") + "Page",
        (serializers.Serializer,),
        {
            "next": serializers.CharField(allow_null=True),
            "previous": serializers.CharField(allow_null=True),
            "results": described_by(shape)(many=True),
            "__doc__": "One page of a list.",
        },
    )


def _field(hint: Any, *, required: bool) -> Any:
    if get_origin(hint) in {NotRequired, Required}:
        hint = get_args(hint)[0]
    options: dict[str, Any] = {"required": required}
    if get_origin(hint) in {Union, types.UnionType}:
        inner = [arm for arm in get_args(hint) if arm is not type(None)]
        options["allow_null"] = len(inner) < len(get_args(hint))
        hint = inner[0] if len(inner) == 1 else Any
    if get_origin(hint) is Annotated:
        hint = get_args(hint)[1]
    if hint in PLAIN:
        return PLAIN[hint](**options)
    if get_origin(hint) is Literal:
        return serializers.ChoiceField(choices=get_args(hint), **options)
    if get_origin(hint) is list:
        return _list_field(get_args(hint)[0], options)
    if get_origin(hint) is dict:
        value = get_args(hint)[1]
        return serializers.DictField(child=_field(value, required=True), **options)
    if isinstance(hint, type) and issubclass(hint, dict):
        return described_by(hint)(**options)
    return serializers.JSONField(**options)


def _list_field(item: Any, options: dict[str, Any]) -> Any:
    if isinstance(item, type) and issubclass(item, dict):
        return described_by(item)(many=True, **options)
    return serializers.ListField(child=_field(item, required=True), **options)
