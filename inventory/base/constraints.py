"""From a violated database constraint, by name, to the sentence and problem that people get.

Code looks first so as to explain; the database decides. Every named constraint of the house has an entry here, made by
the room that owns the table.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from django.apps import apps
from django.db import IntegrityError, models

from inventory.base.errors import AlreadyThereError, DomainError, RuleBrokenError


@dataclass(frozen=True, slots=True)
class Rule:
    sentence: str
    problem: type[DomainError] = RuleBrokenError


RULES: dict[str, Rule] = {
    "base_ledger_one_row": Rule("There is one ledger."),
    "base_idempotentanswer_key_once": Rule("This Idempotency-Key is being answered already.", AlreadyThereError),
    "base_user_username_key": Rule("Somebody has that name already.", AlreadyThereError),
}


def explain(rules: dict[str, Rule]) -> None:
    """Add a room's constraints to the one table."""
    RULES.update(rules)


@contextmanager
def explained() -> Iterator[None]:
    """Turn a violated constraint into its problem; anything the table does not know is raised again as it was.

    Raises:
        DomainError: the problem of the violated constraint.
    """
    try:
        yield
    except IntegrityError as error:
        rule = RULES.get(violated_constraint(error) or "")
        if rule is None:
            raise
        raise rule.problem(rule.sentence) from error


def violated_constraint(error: IntegrityError) -> str | None:
    """Return the name of the constraint that an IntegrityError is about, or None if the database does not say."""
    diagnosis = getattr(error.__cause__, "diag", None)
    if diagnosis is not None:
        return diagnosis.constraint_name or None
    text = str(error)
    named = re.search(r"(?:CHECK constraint failed: |UNIQUE constraint failed: index '|NoOverlap: )(\w+)", text)
    if named:
        return named.group(1)
    columns = re.search(r"UNIQUE constraint failed: (.+)", text)
    return _unique_over(columns.group(1)) if columns else None


def _unique_over(columns: str) -> str | None:
    """Return the unique constraint over these columns: SQLite names the columns (``table.a, table.b``) only.

    A single unique column has the name that PostgreSQL gives it, ``table_a_key``.
    """
    wanted = sorted(column.strip() for column in columns.split(","))
    for model in apps.get_models():
        table = model._meta.db_table
        for field in model._meta.local_fields:
            if field.unique and not field.primary_key and wanted == [f"{table}.{field.column}"]:
                return f"{table}_{field.column}_key"
        for constraint in model._meta.constraints:
            if isinstance(constraint, models.UniqueConstraint) and _columns(model, constraint) == wanted:
                return constraint.name
    return None


def _columns(model: type[models.Model], constraint: models.UniqueConstraint) -> list[str]:
    fields = (model._meta.get_field(name) for name in constraint.fields)
    return sorted(f"{model._meta.db_table}.{field.column}" for field in fields if isinstance(field, models.Field))
