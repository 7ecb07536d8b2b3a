"""Sizes and names that keep a file readable at a sitting."""

import ast
import re

from tests.architecture.source import ROOMS, ROOT, modules

MOST_LINES = 450
MOST_IN_A_FUNCTION = 45
LONGEST_LINE = 120
GRAB_BAGS = re.compile(r"(utils?|helpers?|managers?|common|misc|tools)\.py")


def test_files_are_short_enough_to_be_read_whole():
    lengths = {module.name: module.text.count("\n") for module in modules(*ROOMS, "tests")}
    assert {name: lines for name, lines in lengths.items() if lines > MOST_LINES} == {}


def test_functions_are_short_enough_to_be_seen_whole():
    assert [found for module in modules(*ROOMS, "tests") for found in long_functions(module)] == []


def long_functions(module):
    for node in ast.walk(module.tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            lines = body[-1].end_lineno - body[0].lineno + 1 if body else 0
            if lines > MOST_IN_A_FUNCTION:
                yield f"{module.name}:{node.lineno}: {node.name} has {lines} lines"


def test_modules_are_named_for_what_is_in_them():
    assert [module.name for module in modules(*ROOMS, "tests") if GRAB_BAGS.fullmatch(module.path.name)] == []


def test_tasks_stay_thin():
    """Page 2 of the design: a task calls; the work and its rules are elsewhere."""
    tasks = [module for module in modules() if module.path.name == "tasks.py"]
    assert tasks
    assert [module.name for module in tasks if module.text.count("\n") > 60] == []


def test_no_line_of_a_template_is_longer_than_a_line_of_code():
    long = [
        f"{template.relative_to(ROOT)}:{number}"
        for template in sorted((ROOT / "web/templates").rglob("*.html"))
        for number, line in enumerate(template.read_text().splitlines(), start=1)
        if len(line) > LONGEST_LINE
    ]
    assert long == []


def test_styles_win_by_layers_and_not_by_importance():
    """Pico is a layer below the rules of the house, so none of them has to shout."""
    styles = sorted((ROOT / "web/static/web").glob("*.css"))
    assert [style.name for style in styles if "!important" in style.read_text()] == []
    assert any("layer(pico)" in style.read_text() for style in styles)
