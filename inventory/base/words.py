"""Rows in which people's words occur."""

from typing import TypeVar

from django.db.models import Model, Q, QuerySet

Row = TypeVar("Row", bound=Model)
Shown = TypeVar("Shown")


def in_words(rows: "QuerySet[Row, Shown]", words: str, columns: tuple[str, ...]) -> "QuerySet[Row, Shown]":
    """Narrow rows to those in which each word occurs in one of the columns, whatever its case."""
    for word in words.split():
        anywhere = Q()
        for column in columns:
            anywhere |= Q(**{f"{column}__icontains": word})
        rows = rows.filter(anywhere)
    return rows
