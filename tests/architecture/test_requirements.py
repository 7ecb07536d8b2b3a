"""What is installed: each wish with its reason, each pin the same wherever it stands."""

import ast
import importlib.metadata
import re

import pytest

from tests.architecture.source import ROOT, modules

FOLDER = ROOT / "requirements"
WISH = re.compile(r"(?P<name>[A-Za-z0-9._-]+)(\[[a-z,-]+\])?(?P<bounds>[<>=!~][^#]*)?\s+# \S.*")
PIN = re.compile(r"([A-Za-z0-9._-]+)==([^\s;]+)")


def normal(name: str) -> str:
    """The name as PEP 503 compares it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def wishes(name: str) -> list[str]:
    lines = (FOLDER / f"{name}.in").read_text().splitlines()
    return [line for line in lines if line and not line.startswith(("#", "-r "))]


def pins(name: str) -> dict[str, str]:
    found = PIN.finditer((FOLDER / f"{name}.txt").read_text())
    return {normal(match.group(1)): match.group(2) for match in found}


WITHOUT_IMPORT = {"tzdata"}
"""Data that Python itself reads."""


def names_in_code() -> set[str]:
    """Every package that the rooms import, or name as the first part of a dotted path or as a command."""
    names = set()
    for module in modules():
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Import):
                names |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module:
                names.add(node.module.partition(".")[0])
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                names.add(node.value.partition(".")[0])
    return names


def test_everything_that_the_service_installs_is_used():
    imports = {}
    for package, distributions in importlib.metadata.packages_distributions().items():
        for distribution in distributions:
            imports.setdefault(normal(distribution), set()).add(package)
    used = names_in_code()
    wished = {normal(WISH.fullmatch(line)["name"]) for line in wishes("base")}
    assert {name for name in wished - WITHOUT_IMPORT if not imports[name] & used} == set()


SETS = sorted(path.stem for path in FOLDER.glob("*.in"))


@pytest.mark.parametrize("name", SETS)
def test_every_wish_has_its_reason_and_is_pinned(name):
    pinned = pins(name)
    for line in wishes(name):
        match = WISH.fullmatch(line)
        assert match, f"no reason: {line}"
        assert normal(match["name"]) in pinned, f"not pinned: {line}"


@pytest.mark.parametrize(("smaller", "larger"), [("base", "server"), ("server", "dev")])
def test_a_larger_set_holds_the_smaller_with_the_same_pins(smaller, larger):
    """``config/install.py`` takes the larger set for the smaller."""
    assert pins(smaller).items() <= pins(larger).items()
