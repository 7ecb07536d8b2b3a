from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from django.db.models import QuerySet

from inventory.base.errors import NotFoundError

Shape = TypeVar("Shape")


def one(rows: QuerySet[Any, Any], row_id: int, show: Callable[[Sequence[Any]], list[Shape]]) -> Shape:
    """Return one row of a list as it is shown there.

    Raises:
        NotFoundError: there is no such row.
    """
    found = list(rows.filter(pk=row_id))
    if not found:
        raise NotFoundError(f"There is no {rows.model._meta.verbose_name} {row_id}.")
    return show(found)[0]
