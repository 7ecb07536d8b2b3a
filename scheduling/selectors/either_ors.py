"""Choices between dates, as programs see them."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any, TypedDict

from django.db.models import QuerySet

from scheduling.models import EitherOr, Event


class EitherOrShape(TypedDict):
    """Several events of which one will be confirmed; the others are cancelled then."""

    id: int
    name: str
    events: list[int]


def either_or_rows() -> QuerySet[EitherOr, Any]:
    """Rows of the list of choices, for filtering and paging."""
    return EitherOr.objects.values("id", "name").distinct()


def show_either_ors(rows: Sequence[dict[str, Any]]) -> list[EitherOrShape]:
    """Return the choices of these rows; one statement for any number of them."""
    events: defaultdict[int, list[int]] = defaultdict(list)
    found = Event.objects.filter(either_or__in=[row["id"] for row in rows]).order_by("gear_out_at", "id")
    for choice, event in found.values_list("either_or_id", "id"):
        if choice is not None:
            events[choice].append(event)
    return [{"id": row["id"], "name": row["name"], "events": events[row["id"]]} for row in rows]
