"""Rows are written behind the one door only: in services, by the writer of promises, in the checks' own bookkeeping and
in the base. Everything else asks one of these."""

import ast
import re

import pytest
from django.apps import apps

from tests.architecture.source import Module, modules

MAY_WRITE = re.compile(
    r"(inventory|scheduling)/services/|scheduling/promises/apply(\.py|/)|inventory/checks/|inventory/base/"
)
ALWAYS_A_WRITE = re.compile(r"a?(bulk_create|bulk_update|get_or_create|update_or_create|create)")
WITHOUT_POSITION = re.compile(r"a?(save|delete)")
"""``cache.delete(key)`` and ``book.save(stream)`` take their object by position; rows are saved and deleted without."""
BY_NAME_ONLY = re.compile(r"a?update")
"""A dict, a set and a hash are updated with something by position; rows by the names of their columns."""
OF_MANY = {"add", "set", "remove", "clear"}
STATEMENT = re.compile(r"\s*(INSERT|UPDATE|DELETE|TRUNCATE|ALTER|DROP)\s", re.IGNORECASE)


def many_to_many() -> set[str]:
    """The names under which models reach rows by many-to-many tables."""
    names = set()
    for model in apps.get_models():
        for field in model._meta.many_to_many:
            names |= {field.name, field.remote_field.get_accessor_name()}
    return names - {None}


def writes(module: Module, many: set[str]) -> list[str]:
    """Every call of the module that writes rows, as ``file:line: call``."""
    calls = [node for node in ast.walk(module.tree) if isinstance(node, ast.Call)]
    return [f"{module.name}:{call.lineno}: {ast.unparse(call.func)}" for call in calls if is_write(call, many)]


def is_write(call: ast.Call, many: set[str]) -> bool:
    if not isinstance(call.func, ast.Attribute):
        return False
    verb = call.func.attr
    if ALWAYS_A_WRITE.fullmatch(verb):
        return True
    if WITHOUT_POSITION.fullmatch(verb):
        return not call.args
    if BY_NAME_ONLY.fullmatch(verb):
        return not call.args and bool(call.keywords)
    if verb in OF_MANY:
        return isinstance(call.func.value, ast.Attribute) and call.func.value.attr in many
    return verb in {"execute", "executemany"} and any(
        isinstance(part, ast.Constant) and isinstance(part.value, str) and STATEMENT.match(part.value)
        for argument in call.args[:1]
        for part in ast.walk(argument)
    )


def test_rows_are_written_behind_the_door_only():
    many = many_to_many()
    outside = [found for module in modules() if not MAY_WRITE.match(module.name) for found in writes(module, many)]
    assert outside == []


@pytest.mark.parametrize(
    ("line", "is_one"),
    [
        ("Kit.objects.create(name='x')", True),
        ("kit.save()", True),
        ("kit.save(update_fields=['name'])", True),
        ("Kit.objects.filter(pk=1).delete()", True),
        ("kits.update(revision=F('revision') + 1)", True),
        ("Kit.objects.bulk_create(rows)", True),
        ("Pulse.objects.update_or_create(name='worker', defaults={})", True),
        ("user.groups.set(groups)", True),
        ("cursor.execute('UPDATE kit SET name = %s', ['x'])", True),
        ("cursor.execute(f'DELETE FROM {table}')", True),
        ("found.update({1: 2})", False),
        ("digest.update(b'x')", False),
        ("seen.update(others, more)", False),
        ("cache.delete('key')", False),
        ("book.save(stream)", False),
        ("names.add('x')", False),
        ("self.groups_of.set(1)", False),
        ("cursor.execute('SELECT 1')", False),
    ],
)
def test_a_write_is_told_from_what_only_looks_like_one(line, is_one):
    call = ast.parse(line, mode="eval").body
    assert is_write(call, {"groups"}) is is_one
