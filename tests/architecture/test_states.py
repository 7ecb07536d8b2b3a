"""States are compared by the names that the models give them, and expiries in the rows modules only.

A misspelt text is equal to nothing, which no tool finds; and a condition that is written twice drifts apart.
"""

import ast
import re

import pytest

from tests.architecture.source import modules

FIELD = re.compile(r"(\w+__)?(state|standing|expires_at)(__\w+)?|\w+_state")
IN_SQL = re.compile(r"\b(state|standing)\s*(=|<>|!=|(NOT )?IN)\s*\(?\s*'|\bexpires_at\s*[<>]")
NARROWS = {"Q", "filter", "exclude", "get", "get_or_create", "update_or_create"}
ROWS = {"inventory/rows.py", "scheduling/rows.py"}


def compared_with_text(tree: ast.AST) -> list[int]:
    """Return the lines where a state is compared with a text, or an expiry with anything."""
    return sorted({node.lineno for node in ast.walk(tree) if isinstance(node, ast.expr) and _is_offence(node)})


def _is_offence(node: ast.expr) -> bool:
    if isinstance(node, ast.Compare):
        sides = [node.left, *node.comparators]
        return any(_names(side, "expires_at") for side in sides if not _against_none(node)) or (
            any(_field(side) for side in sides) and any(_is_text(side) for side in sides)
        )
    if isinstance(node, ast.Call) and _called(node.func) in NARROWS:
        return any(
            keyword.arg is not None
            and FIELD.fullmatch(keyword.arg) is not None
            and ("expires_at" in keyword.arg or _is_text(keyword.value))
            for keyword in node.keywords
        )
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and IN_SQL.search(node.value) is not None


def _against_none(node: ast.Compare) -> bool:
    return all(isinstance(operator, (ast.Is, ast.IsNot)) for operator in node.ops) or (
        # "expires_at" in fields asks whether it is given, not when it is.
        isinstance(node.ops[0], (ast.In, ast.NotIn))
    )


def _field(node: ast.expr) -> bool:
    name = _name(node)
    return name is not None and FIELD.fullmatch(name) is not None


def _names(node: ast.expr, name: str) -> bool:
    return _name(node) == name


def _name(node: ast.expr) -> str | None:
    """Return the last part of ``booking.state``, ``row["state"]``, ``fields.get("state")`` or ``state``."""
    match node:
        case ast.Attribute(attr=name) | ast.Name(id=name) | ast.Subscript(slice=ast.Constant(value=str(name))):
            return name
        case ast.Call(func=ast.Attribute(attr="get"), args=[ast.Constant(value=str(name)), *_]):
            return name
    return None


def _is_text(node: ast.expr) -> bool:
    if isinstance(node, (ast.Set, ast.Tuple, ast.List)):
        return any(_is_text(element) for element in node.elts)
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def _called(node: ast.expr) -> str | None:
    return node.attr if isinstance(node, ast.Attribute) else node.id if isinstance(node, ast.Name) else None


def test_states_are_compared_by_name_outside_the_rows_and_the_models():
    found = {
        module.name: lines
        for module in modules("inventory", "scheduling", "web")
        if module.name not in ROWS and "models" not in module.path.parts
        if (lines := compared_with_text(module.tree))
    }
    assert found == {}


@pytest.mark.parametrize(
    "code",
    [
        'booking.state == "pencil"',
        'row["state"] not in {"lost", "retired"}',
        'fields.get("state", "pencil") != "pencil"',
        'Claim.objects.filter(booking__state="pencil")',
        '~Q(standing__in=("firm", "soft"))',
        "Q(expires_at__gt=now)",
        "booking.expires_at <= now",
        "'SELECT 1 FROM c WHERE c.standing <> \\'released\\''",
        'unit_state == "held-back"',
    ],
)
def test_the_reader_finds_each_way_to_compare_with_text(code):
    assert compared_with_text(ast.parse(code)) == [1]


@pytest.mark.parametrize(
    "code",
    [
        "booking.state == BookingState.PENCIL",
        "Q(state__in=EventState.open())",
        'Booking(state="pencil", expires_at=later)',
        '"expires_at" in fields',
        "booking.expires_at is not None",
        'shape["name"] == "pencil"',
    ],
)
def test_the_reader_passes_names_and_writing(code):
    assert compared_with_text(ast.parse(code)) == []
