"""The published facts that calc works with, kept as data files beside this one and read once.

``load("connectors")`` answers what stands in ``connectors.json``, frozen: mappings are read-only and lists are tuples.
"""

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from calc.errors import BadInput


@cache
def load(name: str) -> Any:
    """Return the frozen content of the register ``name``.

    Raises:
        BadInput: there is no such register.
    """
    source = files(__name__).joinpath(f"{name}.json")
    if not name.isidentifier() or not source.is_file():
        raise BadInput("name", name, "the name of a data file of this package, without its ending")
    return _freeze(json.loads(source.read_text(encoding="utf-8")))


def _freeze(value: Any) -> Any:
    if isinstance(value, dict):
        frozen: Mapping[str, Any] = MappingProxyType({key: _freeze(item) for key, item in value.items()})
        return frozen
    if isinstance(value, list):
        return tuple(_freeze(item) for item in value)
    return value
