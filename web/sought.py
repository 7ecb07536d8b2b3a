"""What somebody looks for, as typed into an address."""

from typing import Any

from django.db.models import Q, QuerySet
from django.http import HttpRequest

LONGEST = 200


def sought_words(request: HttpRequest) -> str:
    """Return what ``?q=`` says, without what no database holds."""
    return request.GET.get("q", "").replace("\x00", "").strip()[:LONGEST]


def in_words(rows: QuerySet[Any, Any], words: str, columns: tuple[str, ...]) -> QuerySet[Any, Any]:
    """Narrow rows to those in which each word stands in one of the columns."""
    for word in words.split():
        found = Q()
        for column in columns:
            found |= Q(**{f"{column}__icontains": word})
        rows = rows.filter(found)
    return rows
