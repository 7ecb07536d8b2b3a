"""What the database refuses, people are told in a sentence: each constraint has its rule, each rule its constraint."""

import re

import pytest
from django.apps import apps
from django.db import connection, models, transaction

from inventory.base.constraints import RULES, explained
from inventory.base.errors import AlreadyThereError
from inventory.base.models import User
from tests.architecture.test_layers import LAYER

OURS = [model for model in apps.get_models() if model._meta.app_label in LAYER]
BY_THE_KIND_OF_COLUMN = re.compile(r'CHECK \(\("?\w+"? >= 0\)\)')
"""Django adds it to columns of positive numbers; what parses them bounds them, and a sentence would say no more."""


def named() -> dict[str, type[models.Model]]:
    return {constraint.name: model for model in OURS for constraint in model._meta.constraints}


def unique_columns() -> set[str]:
    """What ``unique=True`` is called: ``<table>_<column>_key`` on PostgreSQL, whose names the rules use."""
    return {
        f"{model._meta.db_table}_{field.column}_key"
        for model in OURS
        for field in model._meta.local_fields
        if field.unique and not field.primary_key and not field.one_to_one
    }


def test_every_constraint_has_its_rule_and_every_rule_its_constraint():
    assert set(RULES) == set(named()) | unique_columns()


def test_names_begin_with_their_table():
    misnamed = {name: model._meta.db_table for name, model in named().items() if not belongs(name, model)}
    assert misnamed == {}


def belongs(name, model):
    return name.startswith(f"{model._meta.app_label}_{model._meta.model_name}_")


def test_rules_are_sentences():
    assert [rule.sentence for rule in RULES.values() if not re.fullmatch(r"[A-Z].*\.", rule.sentence)] == []


def test_what_is_unique_together_has_a_name():
    assert [model._meta.label for model in OURS if model._meta.unique_together] == []


@pytest.mark.django_db
def test_the_database_holds_no_constraint_without_a_rule():
    """PostgreSQL is asked for its catalogue, partial unique indexes included; SQLite for the text of its tables."""
    tables = {model._meta.db_table for model in OURS}
    found = in_postgresql(tables) if connection.vendor == "postgresql" else in_sqlite(tables)
    assert found - set(RULES) == set()
    assert found


@pytest.mark.django_db
def test_a_name_that_is_taken_is_told_as_such():
    User.objects.create(username="same")
    with pytest.raises(AlreadyThereError, match="Somebody has that name already"), explained(), transaction.atomic():
        User.objects.create(username="same")


def in_postgresql(tables: set[str]) -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute(
            """
            SELECT conname, pg_get_constraintdef(oid) FROM pg_constraint
             WHERE conrelid::regclass::text = ANY(%(tables)s) AND contype IN ('c', 'u', 'x')
            UNION ALL
            SELECT indexrelid::regclass::text, pg_get_indexdef(indexrelid) FROM pg_index
             WHERE indrelid::regclass::text = ANY(%(tables)s) AND indisunique AND NOT indisprimary
               AND NOT EXISTS (SELECT FROM pg_constraint WHERE conindid = indexrelid)
            """,
            {"tables": sorted(tables)},
        )
        rows = cursor.fetchall()
    one_to_one = {
        f"{model._meta.db_table}_{field.column}_key"
        for model in OURS
        for field in model._meta.local_fields
        if field.one_to_one
    }
    return {name for name, text in rows if not BY_THE_KIND_OF_COLUMN.fullmatch(text)} - one_to_one


def in_sqlite(tables: set[str]) -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT tbl_name, sql FROM sqlite_master WHERE sql IS NOT NULL AND type IN ('table', 'index')")
        statements = [sql for table, sql in cursor.fetchall() if table in tables]
    return {
        name
        for sql in statements
        for name in re.findall(r'CONSTRAINT "(\w+)" (?:CHECK|UNIQUE)|CREATE UNIQUE INDEX "(\w+)"', sql)
        for name in filter(None, name)
    }
