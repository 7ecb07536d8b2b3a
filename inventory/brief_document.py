"""A kit's brief as a document of plain JSON, for the column that keeps it, and as ``calc.rig.brief.Brief``.

The document has the fields of the dataclass, by name; positions are ids, so that a new label costs nothing.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from datetime import datetime
from typing import Any

from calc.rig.brief import (
    Brief,
    Configuration,
    Controller,
    Firmware,
    Lift,
    PortsAsked,
    Radio,
    Segment,
    Stream,
    Universe,
)
from calc.rig.ends import End

Document = dict[str, Any]
Part = Callable[[Mapping[str, Any]], Any]


def _segment(item: Mapping[str, Any]) -> Segment:
    return Segment(**dict(item) | {"ports": tuple(End(**end) for end in item.get("ports", ()))})


def _stream(item: Mapping[str, Any]) -> Stream:
    sink = item.get("sink")
    return Stream(**dict(item) | {"source": End(**item["source"]), "sink": End(**sink) if sink else None})


def _configuration(item: Mapping[str, Any]) -> Configuration:
    return Configuration(mark=item["mark"], saved_at=datetime.fromisoformat(item["saved_at"]))


def _controller(item: Mapping[str, Any]) -> Controller:
    return Controller(name=item["name"], positions=tuple(item["positions"]), computers=tuple(item["computers"]))


LISTED: Mapping[str, Part] = {
    "outside": lambda item: PortsAsked(**item),
    "segments": _segment,
    "universes": lambda item: Universe(**item),
    "streams": _stream,
    "lifts": lambda item: Lift(**item),
    "controllers": _controller,
    "firmware": lambda item: Firmware(**item),
}
"""Lists of a brief → how one entry is read."""
SINGLE: Mapping[str, Part] = {"radio": lambda item: Radio(**item), "configuration": _configuration}


def brief_from(document: Mapping[str, Any]) -> Brief:
    """Return the brief that a document holds.

    Raises:
        BadInput: something in it cannot be asked.
    """
    fields = dict(document)
    for name, read in LISTED.items():
        fields[name] = tuple(read(item) for item in fields.get(name) or ())
    for name, read in SINGLE.items():
        fields[name] = read(fields[name]) if fields.get(name) else None
    fields["venue_blocks"] = tuple(fields.get("venue_blocks") or ())
    return Brief(**fields)


def document_of(brief: Brief) -> Document:
    """Return the document of a brief, every field of it named."""
    document = asdict(brief)
    if brief.configuration is not None:
        document["configuration"]["saved_at"] = brief.configuration.saved_at.isoformat()
    return document


def positions_named(document: Mapping[str, Any] | None) -> set[int]:
    """Return the ids of the positions that a document names."""
    return set(_positions(document))


def _positions(value: Any) -> Iterator[int]:
    if isinstance(value, Mapping):
        if isinstance(value.get("position"), int):
            yield value["position"]
        yield from value.get("positions", ())
        for inner in value.values():
            yield from _positions(inner)
    elif isinstance(value, (list, tuple)):
        for inner in value:
            yield from _positions(inner)


def with_positions(value: Any, copies: Mapping[int, int]) -> Any:
    """Return the document of a copy: the same, with the ids of the copied positions."""
    if isinstance(value, Mapping):
        return {
            key: copies[inner]
            if key == "position"
            else [copies[position] for position in inner]
            if key == "positions"
            else with_positions(inner, copies)
            for key, inner in value.items()
        }
    return [with_positions(inner, copies) for inner in value] if isinstance(value, (list, tuple)) else value
