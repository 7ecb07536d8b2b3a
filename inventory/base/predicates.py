"""Conditions on rows, declared once as ``Q``: reached through a relation, or written into a statement of SQL."""

from collections.abc import Mapping
from datetime import datetime
from string import Formatter
from typing import Any, NamedTuple, Protocol

from django.db import connection
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import DateTimeField, Expression, Model, Q
from django.db.models.expressions import Combinable
from django.db.models.sql.compiler import SQLCompiler

Instant = datetime | Combinable
"""A moment, or an expression for one: a column, or an outer row's."""


class Window(Protocol):
    """A half-open period, [starts_at, ends_at)."""

    @property
    def starts_at(self) -> Instant: ...

    @property
    def ends_at(self) -> Instant: ...


class Fragment(NamedTuple):
    """A piece of SQL with the parameters of its placeholders, in order."""

    sql: str
    parameters: list[Any]


class InstantColumn(Expression):
    """A column of a statement that is written by hand, such as ``w.starts_at`` of a common table expression."""

    output_field = DateTimeField()

    def __init__(self, name: str) -> None:
        super().__init__()
        self.name = name

    def as_sql(self, compiler: SQLCompiler, connection: BaseDatabaseWrapper) -> tuple[str, tuple[str | int, ...]]:
        return self.name, ()


def through(path: str, condition: Q) -> Q:
    """Return the same condition on the row that a lookup path leads to; "" is the queried row itself.

    Raises:
        TypeError: the condition holds more than lookups; what refers to other columns has no path to prefix.
    """
    if not path:
        return condition
    children: list[Any] = []
    for child in condition.children:
        if isinstance(child, Q):
            children.append(through(path, child))
        elif isinstance(child, tuple):
            children.append((f"{path}__{child[0]}", child[1]))
        else:
            raise TypeError(f"Only lookups can be reached through a relation, not {child!r}.")
    return Q(*children, _connector=condition.connector, _negated=condition.negated)


def sql_of(condition: Q, aliases: Mapping[type[Model], str]) -> Fragment:
    """Return a condition as SQL for the database in use, for WHERE or ON of a statement written by hand.

    Args:
        condition: On a row of the first of the models; relations lead to the others.
        aliases: What the statement calls the table of each model.

    Raises:
        ValueError: the condition reaches a table that has no alias.
    """
    query = next(iter(aliases))._default_manager.filter(condition).order_by().query
    names = {model._meta.db_table: alias for model, alias in aliases.items()}
    if missing := set(query.alias_map) - set(names):
        raise ValueError(f"The condition reaches tables that have no alias: {', '.join(sorted(missing))}.")
    query.change_aliases({table: alias for table, alias in names.items() if table in query.alias_map})
    sql, parameters = query.get_compiler(connection=connection).compile(query.where)
    return Fragment(sql, list(parameters))


def filled(statement: str, **fragments: Fragment) -> Fragment:
    """Return the statement with each fragment wherever it is named in braces, and the parameters in that order."""
    names = [name for _, name, *_ in Formatter().parse(statement) if name]
    sql = statement.format(**{name: fragment.sql for name, fragment in fragments.items()})
    return Fragment(sql, [value for name in names for value in fragments[name].parameters])
