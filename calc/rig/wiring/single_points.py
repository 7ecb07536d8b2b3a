"""What a loss would take along: a table for people, never a finding."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from calc.rig.wiring.feeds import poe_feeds
from calc.rig.wiring.graph import Place, Wired
from calc.rig.wiring.power import power_feeds
from calc.rig.wiring.runs import POWER_CARRIES

COOLING_KINDS = ("fan",)


@dataclass(frozen=True, slots=True, kw_only=True)
class SinglePoint:
    """A place without which others lose something."""

    place: Place
    loses: str
    """``"power"``, ``"network"`` or ``"cooling"``."""
    others: tuple[Place, ...]


def single_points(wired: Wired) -> tuple[SinglePoint, ...]:
    """Return every place whose loss takes others along, and which: those that take most first."""
    found = [
        SinglePoint(place=place, loses=what, others=tuple(wired.places[other] for other in sorted(others)))
        for place in wired.places.values()
        for what, others in (
            ("power", _without_power(wired, place.id)),
            ("network", _cut_off(wired, place.id)),
            ("cooling", _uncooled(wired, place)),
        )
        if others
    ]
    return tuple(sorted(found, key=lambda point: (-len(point.others), point.place.id, point.loses)))


def _without_power(wired: Wired, lost: int) -> set[int]:
    """Return the places that are dark once every way to feed them leads through ``lost``."""
    feeders = wired.once(_feeders)
    dark = {lost}
    changed = True
    while changed:
        more = {place for place, sources in feeders.items() if place not in dark and sources <= dark}
        dark |= more
        changed = bool(more)
    return dark - {lost}


def _feeders(wired: Wired) -> dict[int, set[int]]:
    """Return, for each place that is fed by drawn links, the places that feed it."""
    feeders: dict[int, set[int]] = defaultdict(set)
    for hop in power_feeds(wired).hops.values():
        if hop.is_fed:
            feeders[hop.load[0]].add(hop.source[0])
    for feed in poe_feeds(wired).all():
        feeders[feed.device[0]].add(feed.source[0])
    return feeders


def _cut_off(wired: Wired, lost: int) -> set[int]:
    """Return the places that are no longer joined to the largest part of their network."""
    neighbours = wired.once(_neighbours)
    around = neighbours.get(lost, set())
    if len(around) < 2:
        return set()
    parts = _parts(neighbours, around, without=lost)
    largest = max(parts, key=lambda part: (len(part), -min(part)))
    return set().union(*parts) - largest


def _neighbours(wired: Wired) -> dict[int, set[int]]:
    neighbours: dict[int, set[int]] = defaultdict(set)
    for joint in wired.joints:
        if wired.ports[joint.a].carries not in POWER_CARRIES:
            neighbours[joint.a[0]].add(joint.b[0])
            neighbours[joint.b[0]].add(joint.a[0])
    return neighbours


def _parts(neighbours: dict[int, set[int]], starts: Iterable[int], without: int) -> list[set[int]]:
    parts: list[set[int]] = []
    for start in sorted(starts):
        if start == without or any(start in part for part in parts):
            continue
        part, waiting = {start}, [start]
        while waiting:
            more = neighbours[waiting.pop()] - part - {without}
            part |= more
            waiting.extend(more)
        parts.append(part)
    return parts


def _uncooled(wired: Wired, place: Place) -> set[int]:
    """Return what gets hot without a fan: everything else in its kit that takes power."""
    if place.spec.kind not in COOLING_KINDS:
        return set()
    takes = {node[0] for node in power_feeds(wired).hops} | set(poe_feeds(wired).by_device)
    return {other for other in takes - {place.id} if wired.places[other].kit is place.kit}
