"""In which places and connections two plans differ; no statement."""

from collections.abc import Iterable
from typing import TypedDict, TypeVar

from calc.rig.kit import Kit, Link, Position


class PlaceDifferenceShape(TypedDict):
    """A place that only one plan has, or that is for another type or role; null: it has none of that label."""

    label: str
    a: str | None
    b: str | None


class ConnectionDifferenceShape(TypedDict):
    """A connection that only one plan has, or that is made by another lead; null: the ports are not connected."""

    ends: list[str]
    """Place and port, of both."""
    a: str | None
    b: str | None


def places_that_differ(a: Kit, b: Kit) -> list[PlaceDifferenceShape]:
    """Return the places by label, in the order of the plans."""
    one, other = ({each.label: _planned(each) for each in kit.positions} for kit in (a, b))
    return [
        {"label": label, "a": one.get(label), "b": other.get(label)}
        for label in _either(one, other)
        if one.get(label) != other.get(label)
    ]


def connections_that_differ(a: Kit, b: Kit) -> list[ConnectionDifferenceShape]:
    """Return the connections by the names of their ports, in the order of the plans."""
    one, other = (_connections(kit) for kit in (a, b))
    return [
        {"ends": list(ends), "a": one.get(ends), "b": other.get(ends)}
        for ends in _either(one, other)
        if one.get(ends) != other.get(ends)
    ]


Key = TypeVar("Key")


def _either(one: Iterable[Key], other: Iterable[Key]) -> Iterable[Key]:
    return dict.fromkeys([*one, *other])


def _planned(position: Position) -> str:
    return position.spec.name if position.role == "required" else f"{position.spec.name} ({position.role})"


def _connections(kit: Kit) -> dict[tuple[str, ...], str]:
    labels = {position.id: position.label for position in kit.positions}
    return {
        tuple(sorted(f"{labels.get(end.position, '?')} {end.port}" for end in (link.a, link.b))): _lead(link, labels)
        for link in kit.links
    }


def _lead(link: Link, labels: dict[int, str]) -> str:
    lead = labels.get(link.cable, "") if link.cable is not None else link.cable_spec.name if link.cable_spec else ""
    return ", ".join(filter(None, (lead, link.label, link.colour))) or "any lead"
