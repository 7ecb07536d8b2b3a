"""Columns and constraints that several tables share."""

from collections.abc import Iterable

from django.db import models
from django.db.models import F, Q


def choices(values: Iterable[str]) -> list[tuple[str, str]]:
    """Return choices whose words are the values themselves."""
    return [(value, value) for value in values]


def one_of(name: str, column: str, values: Iterable[str], *, null: bool = False) -> models.CheckConstraint:
    """Return the constraint that a column holds one of a list: ``choices`` alone constrain nothing in SQL."""
    condition = Q(**{f"{column}__in": list(values)})
    return models.CheckConstraint(
        name=name, condition=condition | Q(**{f"{column}__isnull": True}) if null else condition
    )


def at_least(name: str, column: str, least: float, *, strictly: bool = False) -> models.CheckConstraint:
    """Return the constraint that a number is at least (or strictly above) a bound; NULL passes: it means not known."""
    return models.CheckConstraint(name=name, condition=Q(**{f"{column}__{'gt' if strictly else 'gte'}": least}))


def ends_after_start(name: str, start: str, end: str) -> models.CheckConstraint:
    """Return the constraint that a period ends after it starts; an open end passes."""
    return models.CheckConstraint(name=name, condition=Q(**{f"{end}__gt": F(start)}))
