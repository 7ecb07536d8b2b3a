"""Shapes of answers that have the fields of a dataclass."""

from typing import Any, TypedDict, get_type_hints


def shape_of(dataclass_type: type, name: str) -> type[dict[str, Any]]:
    """Return a TypedDict with the fields and types of a dataclass, as the OpenAPI document describes it.

    mypy cannot see it: use it as the second part of ``Annotated[dict[str, …], shape_of(…)]``, where no code names the
    keys one by one.
    """
    make: Any = TypedDict  # mypy takes a literal name and literal keys only
    shape: type[dict[str, Any]] = make(name, get_type_hints(dataclass_type))
    return shape
