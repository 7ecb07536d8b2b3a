"""The numbers and facts that an answer depends on, each with where it came from."""

from dataclasses import dataclass
from typing import TypeAlias

from calc.given import Given
from calc.rig.wiring import Node, Place, Wired

Value: TypeAlias = str | int | float | bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One number or fact that an answer hangs on, and where it came from."""

    name: str
    value: Value
    provenance: str = "data sheet"


def reading(place: Place, sheet: str, field: str) -> Input:
    """Return one number of a place's data sheet (``reading(place, "poe", "budget_w")``) with its provenance."""
    holder = getattr(place.spec, sheet)
    value = None if holder is None else getattr(holder, field)
    return _with_provenance(place, f"{sheet}.{field}", value)


def port_reading(wired: Wired, node: Node, sheet: str, field: str) -> Input:
    """Return one number of a port (``port_reading(wired, node, "poe", "poe_class")``) with its provenance."""
    holder = getattr(wired.ports[node], sheet)
    value = None if holder is None else getattr(holder, field)
    return _with_provenance(wired.place_of(node), f"ports.{node[1]}.{sheet}.{field.removeprefix('poe_')}", value)


def port_speed(wired: Wired, node: Node) -> Input:
    """Return the speed of a port with its provenance. [Mb/s]"""
    return _with_provenance(wired.place_of(node), f"ports.{node[1]}.speed_mbps", wired.ports[node].speed_mbps)


def _with_provenance(place: Place, path: str, value: Value) -> Input:
    stated = "unknown" if value is None else "data sheet"
    return Input(name=f"{place.path}: {path}", value=value, provenance=place.spec.provenance.get(path, stated))


def as_input(name: str, given: Given) -> Input:
    """Return a number with two ends as an input of a finding: the number itself, or nothing if it is open."""
    return Input(name=f"{name}: {given.name}", value=given.high if given.settled else None, provenance=given.provenance)
