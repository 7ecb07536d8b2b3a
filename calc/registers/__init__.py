"""The published facts that calc works with, kept as data files beside this one and read once.

``load("rules")`` returns the content of ``rules.json``; ``load("connectors")`` that of all files in ``connectors/``,
whose lists are joined by name. Both are frozen: mappings are read-only and lists are tuples.
"""

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any

from calc.errors import BadInput


@cache
def load(name: str) -> Any:
    """Return the frozen content of the register ``name``.

    Raises:
        BadInput: there is no such register.
    """
    if name.isidentifier():
        source, folder = files(__name__).joinpath(f"{name}.json"), files(__name__).joinpath(name)
        if source.is_file():
            return _freeze(json.loads(source.read_text(encoding="utf-8")))
        if folder.is_dir():
            return _freeze(_joined(sorted(folder.iterdir(), key=lambda part: part.name)))
    raise BadInput("name", name, "the name of a data file or folder of this package, without its ending")


def _joined(parts: list[Traversable]) -> dict[str, list[Any]]:
    """Return the lists of several files, each name's joined in the order of the files."""
    joined: dict[str, list[Any]] = {}
    for part in parts:
        if part.name.endswith(".json"):
            for name, items in json.loads(part.read_text(encoding="utf-8")).items():
                joined.setdefault(name, []).extend(items)
    return joined


def _freeze(value: Any) -> Any:
    if isinstance(value, dict):
        frozen: Mapping[str, Any] = MappingProxyType({key: _freeze(item) for key, item in value.items()})
        return frozen
    if isinstance(value, list):
        return tuple(_freeze(item) for item in value)
    return value
