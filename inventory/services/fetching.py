"""Rows that a service needs, fetched under the lock, or a refusal that names the field or the address."""

from collections.abc import Collection
from typing import Any, TypeVar

from django.db import models

from inventory.base.errors import FieldProblem, InvalidError, NotFoundError

Row = TypeVar("Row", bound=models.Model)


def row_at(model: type[Row], row_id: int, **also: Any) -> Row:
    """Return the row that an address names.

    Raises:
        NotFoundError: there is none, or it belongs to another parent.
    """
    row: Row | None = model._default_manager.filter(pk=row_id, **also).first()
    if row is None:
        raise NotFoundError(f"There is no {model._meta.verbose_name} {row_id} here.")
    return row


def row_named(model: type[Row], row_id: int, field: str) -> Row:
    """Return the row that a field of a body names.

    Raises:
        InvalidError: there is none; the error is about ``field``.
    """
    row: Row | None = model._default_manager.filter(pk=row_id).first()
    if row is None:
        raise InvalidError.of_field(field, f"There is no {model._meta.verbose_name} {row_id}.", code="does-not-exist")
    return row


def rows_named(model: type[Row], ids: Collection[int], field: str) -> dict[int, Row]:
    """Return the rows that a list in a body names, by id, with one statement.

    Raises:
        InvalidError: some do not exist; each is listed.
    """
    found = model._default_manager.in_bulk(sorted(set(ids)))
    missing = sorted(set(ids) - set(found))
    if missing:
        name = model._meta.verbose_name
        raise InvalidError(
            f"Some of '{field}' do not exist.",
            errors=[
                FieldProblem(field=field, code="does-not-exist", message=f"There is no {name} {row_id}.")
                for row_id in missing
            ],
        )
    return found
