"""Tables refer downwards only. The contracts in pyproject.toml cannot see a foreign key that is written as a string."""

import ast

from django.apps import apps

from tests.architecture.source import modules

LAYER = {"base": 1, "inventory": 2, "scheduling": 3}


def test_relations_of_models_point_down_the_rooms():
    upward = [
        f"{model._meta.label}.{field.name}"
        for model in apps.get_models()
        if model._meta.app_label in LAYER
        for field in model._meta.get_fields()
        if field.is_relation and not field.auto_created and field.related_model
        if LAYER.get(field.related_model._meta.app_label, 0) > LAYER[model._meta.app_label]
    ]
    assert upward == []


def test_only_these_rooms_have_tables():
    ours = {config.label for config in apps.get_app_configs() if config.models_module and not is_installed(config)}
    assert ours == set(LAYER)


def is_installed(config):
    return "site-packages" in config.path


def test_pages_ask_no_questions_of_their_own():
    """A page calls selectors and services; a query or a serializer in it would be a rule in the wrong room."""
    foreign = ("django.db.models", "rest_framework")
    assert [
        f"{module.name}: {name}" for module in modules("web") for name in imported(module) if name.startswith(foreign)
    ] == []


def imported(module):
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""
