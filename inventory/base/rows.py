"""Rows of a query as a TypedDict: its annotations are the list of columns, so that types are checked."""

from typing import Any, TypeVar

from django.db.models import F, Model, Q, QuerySet
from django.db.models.expressions import Combinable

ModelT = TypeVar("ModelT", bound=Model)
ShapeT = TypeVar("ShapeT")


def columns_of(shape: type) -> tuple[str, ...]:
    """Return the keys of a TypedDict, inherited ones first, in the order of declaration."""
    return tuple(shape.__annotations__)


def rows_as(
    shape: type[ShapeT], rows: QuerySet[ModelT, Any], **sources: str | Combinable | Q
) -> QuerySet[ModelT, ShapeT]:
    """Return the queryset whose rows are dictionaries of that shape; it can still be filtered, ordered and cut.

    A key is read from the column or annotation of the same name unless ``sources`` gives another one: a path, such as
    ``spec_name="spec__name"``, or an expression. Whether the columns have the annotated types is not checked here.

    Args:
        shape: A TypedDict.
        rows: What to read, before any ``values()``.
        sources: Key of the shape → path of a column, or an expression.

    Raises:
        TypeError: ``sources`` names a key that the shape does not have.
        django.core.exceptions.FieldError: a key is no column of the model, and ``sources`` does not say what it is.
        ValueError: ``sources`` computes a key that is a column of the model too.
    """
    names = columns_of(shape)
    unknown = sorted(sources.keys() - set(names))
    if unknown:
        raise TypeError(f"{shape.__name__} has no {', '.join(unknown)}; it has {', '.join(names)}.")
    computed = {name: F(source) if isinstance(source, str) else source for name, source in sources.items()}
    typed: QuerySet[ModelT, Any] = rows.annotate(**computed).values(*names)
    return typed
