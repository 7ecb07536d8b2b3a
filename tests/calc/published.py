"""The public functions of calc's function modules, and what can be read off them without calling them."""

import ast
import dis
import importlib
import inspect
import pkgutil
import re
import types
from functools import cache
from pathlib import Path

import calc
from calc.errors import CalcError

TESTS = Path(__file__).parent

OBJECT_LEVEL = {
    "assumptions", "checks", "errors", "given", "kit", "ports_text", "registers", "solve", "vocabulary", "wiring",
}  # fmt: skip
"""Rooms of calc that work on whole kits, specs or data: nobody outside calls them with bare numbers."""


@cache
def modules():
    """Every module of calc by its dotted path."""
    found = pkgutil.walk_packages(calc.__path__, prefix="calc.")
    return {name: importlib.import_module(name) for name in ("calc", *(info.name for info in found))}


@cache
def functions():
    """The functions that outside programs call, by the path that they call them by: calc.<module>.<name>."""
    published = {}
    for name, module in modules().items():
        room = name.removeprefix("calc.")
        if "." not in room and name != "calc" and room not in OBJECT_LEVEL:
            published |= {
                f"{name}.{own}": member
                for own, member in vars(module).items()
                if not own.startswith("_") and inspect.isroutine(member) and within(member, name)
            }
    return published


def within(member, module):
    return f"{member.__module__}.".startswith(f"{module}.")


def documented_arguments(function):
    """Argument → its text, in the order of the docstring's ``Args:`` section."""
    entries = re.findall(r"^    (\w+): (.+(?:\n {8,}.+)*)", section(function, "Args"), re.MULTILINE)
    return {name: " ".join(text.split()) for name, text in entries}


def section(function, title):
    """The indented lines under ``title:``, or nothing."""
    found = re.search(rf"^{title}:\n((?:    .*\n?)+)", inspect.getdoc(function) or "", re.MULTILINE)
    return found[1] if found else ""


def can_raise(function):
    """Whether the code names an error of calc, by itself or in anything of calc that it names in turn.

    Reading a register by its own name can't fail on what the caller gave.
    """
    waiting, seen = [function], set()
    while waiting:
        member = inspect.unwrap(waiting.pop())
        if member in seen:
            continue
        seen.add(member)
        if isinstance(member, type) and issubclass(member, CalcError):
            return True
        waiting += _named_in(member)
    return False


def _named_in(member):
    """What a function's code, or a class's methods, name among the functions and classes of calc."""
    if isinstance(member, type):
        return [own for own in vars(member).values() if isinstance(own, types.FunctionType)]
    named = [member.__globals__.get(name) for name in _global_names(member.__code__)]
    return [
        found
        for found in named
        if (inspect.isroutine(found) or isinstance(found, type))
        and within(found, "calc")
        and not within(found, "calc.registers")
    ]


def _global_names(code):
    yield from (step.argval for step in dis.get_instructions(code) if step.opname == "LOAD_GLOBAL")
    for constant in code.co_consts:
        if isinstance(constant, types.CodeType):
            yield from _global_names(constant)


def test_files(path):
    """The files that test a function of that path: test_<module>_<topic or source>.py."""
    return sorted(TESTS.glob(f"test_{path.split('.')[1]}_*.py"))


@cache
def called_names(path):
    """The names that a test file calls, or hands on to be called."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    called = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called.update(_last_name(part) for part in (node.func, *node.args))
    return called


def _last_name(node):
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else None
