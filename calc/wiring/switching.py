"""What Ethernet joins together: ports that are switched as one, and the rings between them."""

from collections import defaultdict, deque
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

from calc.kit import Port
from calc.wiring.graph import Node, Wired
from calc.wiring.runs import Channel, channels

SWITCHING_KINDS = ("switch", "router", "access-point")
"""Kinds whose network ports are switched together even where no group is given."""
NETWORK_CARRIES = ("ethernet", "fibre")

Fabric: TypeAlias = tuple[int, str]
"""Ports of one place that are switched together: the place and the name of their group."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """One run between two fabrics, which may be the same one."""

    a: Fabric
    b: Fabric
    channel: Channel


def fabric_of(wired: Wired, node: Node) -> Fabric | None:
    """Return the fabric of a port; None where it is switched with nothing."""
    port = wired.ports[node]
    place = wired.places[node[0]]
    if port.carries not in NETWORK_CARRIES or wired.through.get(node):
        return None
    if port.group is not None:
        return place.id, port.group
    return (place.id, "") if place.spec.kind in SWITCHING_KINDS and not _is_grouped(place.spec.ports) else None


def _is_grouped(ports: Iterable[Port]) -> bool:
    return any(port.group is not None for port in ports if port.carries in NETWORK_CARRIES)


def bridges(wired: Wired) -> tuple[Bridge, ...]:
    """Return every run that joins two fabrics."""
    return wired.once(_bridges)


def _bridges(wired: Wired) -> tuple[Bridge, ...]:
    found = []
    for channel in channels(wired):
        if not channel.complete:
            continue
        a, b = fabric_of(wired, channel.a), fabric_of(wired, channel.b)
        if a is not None and b is not None:
            found.append(Bridge(a=a, b=b, channel=channel))
    return tuple(found)


def rings(wired: Wired) -> tuple[tuple[Bridge, ...], ...]:
    """Return the rings of switching, one for each run that closes one, by the shortest way round."""
    neighbours: dict[Fabric, list[Bridge]] = defaultdict(list)
    joined: dict[Fabric, Fabric] = {}
    found = []
    for bridge in bridges(wired):
        a, b = _root(joined, bridge.a), _root(joined, bridge.b)
        if a == b:
            found.append((*_way(neighbours, bridge.a, bridge.b), bridge))
            continue
        joined[a] = b
        neighbours[bridge.a].append(bridge)
        neighbours[bridge.b].append(bridge)
    return tuple(found)


def fabric_groups(wired: Wired) -> tuple[tuple[Fabric, ...], ...]:
    """Return the fabrics that runs join into one network, each network in the order of the places."""
    joined: dict[Fabric, Fabric] = {}
    for bridge in bridges(wired):
        a, b = _root(joined, bridge.a), _root(joined, bridge.b)
        joined[a] = b
    networks: dict[Fabric, list[Fabric]] = defaultdict(list)
    for fabric in dict.fromkeys(fabric for fabric in (fabric_of(wired, node) for node in wired.ports) if fabric):
        networks[_root(joined, fabric)].append(fabric)
    return tuple(tuple(network) for network in networks.values())


def _root(joined: dict[Fabric, Fabric], fabric: Fabric) -> Fabric:
    while joined.get(fabric, fabric) != fabric:
        joined[fabric] = joined.get(joined[fabric], joined[fabric])
        fabric = joined[fabric]
    return fabric


def _way(neighbours: dict[Fabric, list[Bridge]], start: Fabric, goal: Fabric) -> tuple[Bridge, ...]:
    """Return the runs from one fabric to another, along those kept so far: a forest, so there is one way."""
    came_by: dict[Fabric, Bridge | None] = {start: None}
    waiting = deque([start])
    while waiting and goal not in came_by:
        here = waiting.popleft()
        for bridge in neighbours[here]:
            there = bridge.b if bridge.a == here else bridge.a
            if there not in came_by:
                came_by[there] = bridge
                waiting.append(there)
    way = []
    while (last := came_by[goal]) is not None:
        way.append(last)
        goal = last.a if last.b == goal else last.b
    return tuple(reversed(way))
