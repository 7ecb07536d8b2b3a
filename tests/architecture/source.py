"""The code of the house as the architecture tests read it."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("config", "fixtures", "web", "scheduling", "inventory", "calc")


@dataclass(frozen=True)
class Module:
    """One file of code."""

    path: Path

    @property
    def name(self) -> str:
        """The path from the project's folder, with slashes."""
        return self.path.relative_to(ROOT).as_posix()

    @cached_property
    def text(self) -> str:
        return self.path.read_text()

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.text, self.name)


def modules(*folders: str) -> Iterator[Module]:
    """Yield every file of code in these folders, all rooms when none is named, without migrations."""
    for folder in folders or ROOMS:
        for path in sorted((ROOT / folder).rglob("*.py")):
            if "migrations" not in path.parts:
                yield Module(path)
