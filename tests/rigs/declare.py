"""A short way to write down a whole rig, and what an expert expects to be found on it.

A rig is written in the words of the REST interface (the bodies of ``POST /specs/`` and ``POST /kits/``), so that one
declaration runs through the calculation alone and, unchanged, through the interface.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, TypeAlias

Body: TypeAlias = Mapping[str, Any]
"""A JSON body of the interface."""

JUDGED_AT = datetime(2027, 5, 1, 6, 0, tzinfo=UTC)
"""The moment at which every rig is judged."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """One position of a rig: the spec planned there and the state of the unit packed there."""

    spec: Body
    role: str = "required"
    damage: Mapping[str, str] = field(default_factory=dict)
    """Port name to kind of damage, as on a flagged fault."""
    empty: bool = False
    """Planned, but no unit is packed."""


@dataclass(frozen=True, kw_only=True)
class Rig:
    """A rig, and what must and must not be found on it.

    A sound rig has an empty ``finds``: any stop or caution on it is a false alarm. A planted error names in ``finds``
    each code that must be found, with its severity.
    """

    name: str
    parts: Mapping[str, Part]
    """Label to part; the label ``case`` is the case."""
    why: str
    """Why an expert expects this, in one or two sentences, with the arithmetic."""
    source: str
    """The published clause, or ``common practice``."""
    links: tuple[str | tuple[str, Body], ...] = ()
    """``"camera 1:lan - switch A:1"``, or that with the spec of the lead between the ends."""
    kit: Body = field(default_factory=dict)
    """Fields of the kit: ``build``, ``ambient_celsius``, ``exposed_retention``."""
    brief: Body | None = None
    """What the kit is for, with ports named ``{"position": label, "port": name}``."""
    rules: str = "iec"
    finds: Mapping[str, str] = field(default_factory=dict)
    """Code to severity of what must be found."""
    also: frozenset[str] = frozenset()
    """Codes of stops and cautions that rightly come along with the planted error; any other one is a false alarm."""
    never: frozenset[str] = frozenset()
    """Codes that must not be found at any severity."""


def part(kind: str, ports_text: str = "", *, name: str | None = None, role: str = "required",
         damage: Mapping[str, str] | None = None, empty: bool = False, **sheets: Any) -> Part:  # fmt: skip
    """Return a part: a kind of spec, its ports as a line of text, and its sheets and other fields by name."""
    return Part(spec=spec(kind, ports_text, name=name, **sheets), role=role, damage=damage or {}, empty=empty)


def spec(kind: str, ports_text: str = "", *, name: str | None = None, **sheets: Any) -> Body:
    """Return the body of a spec; ``ports`` given as a list are added after those of the line."""
    body: dict[str, Any] = {"name": name or kind, "kind": kind, **sheets}
    if ports_text:
        body["ports_text"] = ports_text
    return body


def lead(ports_text: str = "", **cable: Any) -> Body:
    """Return the spec of a lead with the fields of its cable sheet."""
    return spec("cable", ports_text, cable=cable)


def several(count: int, label: str, what: Part) -> dict[str, Part]:
    """Return ``count`` positions ``label 1``, ``label 2`` … of the same spec."""
    return {f"{label} {number}": what for number in range(1, count + 1)}


def ends(link: str | tuple[str, Body]) -> tuple[tuple[str, str], tuple[str, str], Body | None]:
    """Return both ends of a link as (label, port), and the spec of its lead if it names one."""
    text, cable = (link, None) if isinstance(link, str) else link
    first, second = (tuple(end.rsplit(":", 1)) for end in text.split(" - "))
    return (first[0], first[1]), (second[0], second[1]), cable


def names_once(rigs: Iterable[Rig]) -> tuple[Rig, ...]:
    """Return the rigs; raise ValueError if two have one name."""
    collected = tuple(rigs)
    names = [rig.name for rig in collected]
    if twice := {name for name in names if names.count(name) > 1}:
        raise ValueError(f"Two rigs share a name: {sorted(twice)}.")
    return collected
