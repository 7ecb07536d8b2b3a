"""What an answer is about: a kit, a position or a port; and what a technician calls it."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.rig.kit import Kit
from calc.rig.wiring import Node, Place, Wired


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What a finding is about: a position, and a port of it where one is meant; nothing when it is the whole kit."""

    position: int | None = None
    label: str = ""
    port: str | None = None


def about(place: Place, port: str | None = None) -> Subject:
    """Return the subject of a finding about a place, or about one port of it."""
    return Subject(position=place.id, label=place.label, port=port)


def about_port(wired: Wired, node: Node) -> Subject:
    """Return the subject of a finding about a port."""
    return about(wired.place_of(node), node[1])


def name_of(wired: Wired, node: Node) -> str:
    """Return what a technician calls a port: ``stage box, switch A 3``."""
    return f"{wired.place_of(node).path} {node[1]}"


def listed(names: Sequence[str], most: int = 4) -> str:
    """Return names as a sentence has them: ``A, B and C``; of many the first ones and how many more."""
    if len(names) > most:
        shown = most - 1
        return f"{', '.join(names[:shown])} and {len(names) - shown} more"
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def counted(number: float, one: str, several: str = "") -> str:
    """Return a number of things in words: ``1 access point``, ``2 access points``."""
    return f"{number:g} {one if number == 1 else several or f'{one}s'}"


def about_kit(wired: Wired, kit: Kit | None) -> Subject:
    """Return the subject of a finding about a whole kit: its case, or where it lies in another kit."""
    for place in wired.places.values() if kit is not None else ():
        if place.position.nested is kit or (place.kit is kit and place.position.role == "case"):
            return about(place)
    return Subject()
