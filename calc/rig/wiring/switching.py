"""What Ethernet joins together: ports that are switched as one, and the rings between them."""

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from calc.rig.kit import Port
from calc.rig.wiring.graph import Node, Place, Wired
from calc.rig.wiring.runs import Channel, channels

SWITCHING_KINDS = ("switch", "router", "access-point")
"""Kinds whose network ports are switched together even where no group is given."""
NETWORK_CARRIES = ("ethernet", "fibre")

Fabric: TypeAlias = tuple[int, str]
"""Ports of one place that are switched together: the place and the name of their group."""
Network: TypeAlias = tuple[Fabric, ...]
"""Fabrics that runs join into one."""


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
    neighbours, closing = wired.once(_forest)
    return tuple((*_path(neighbours, bridge.a, bridge.b), bridge) for bridge in closing)


def _forest(wired: Wired) -> tuple[Mapping[Fabric, list[Bridge]], list[Bridge]]:
    """Return the runs that join every network without a ring, by fabric, and the runs that would close one."""
    neighbours: dict[Fabric, list[Bridge]] = defaultdict(list)
    joined: dict[Fabric, Fabric] = {}
    closing = []
    for bridge in bridges(wired):
        a, b = _root(joined, bridge.a), _root(joined, bridge.b)
        if a == b:
            closing.append(bridge)
            continue
        joined[a] = b
        neighbours[bridge.a].append(bridge)
        neighbours[bridge.b].append(bridge)
    return neighbours, closing


Step: TypeAlias = tuple[Channel, Node]
"""A run, and the end by which it is entered."""


def path_between(wired: Wired, a: Node, b: Node) -> tuple[Step, ...]:
    """Return the runs from one network port to another, in order; none where no way leads there.

    Where rings leave several ways, it is the one that stays when the rings are broken.
    """
    runs = runs_by_port(wired)
    if runs.get(a) is not None and runs.get(a) is runs.get(b):
        return ((runs[a], a),)
    out, start = _to_fabric(wired, runs, a)
    back, goal = _to_fabric(wired, runs, b)
    if start is None or goal is None:
        return ()
    steps, here = list(out), start
    for bridge in _path(wired.once(_forest)[0], start, goal):
        entered, here = (bridge.channel.a, bridge.b) if bridge.a == here else (bridge.channel.b, bridge.a)
        steps.append((bridge.channel, entered))
    if here != goal:
        return ()
    return (*steps, *((run, far_end(run, near)) for run, near in back))


def far_end(run: Channel, near: Node) -> Node:
    """Return the end of a run that is not ``near``."""
    return run.b if near == run.a else run.a


def fabric_reached(wired: Wired, node: Node) -> Fabric | None:
    """Return the fabric of a port or, where it is switched with nothing, the one that its run leads to."""
    own = fabric_of(wired, node)
    run = runs_by_port(wired).get(node)
    if own is not None or run is None:
        return own
    return next((found for found in (fabric_of(wired, run.a), fabric_of(wired, run.b)) if found is not None), None)


def runs_by_port(wired: Wired) -> Mapping[Node, Channel]:
    """Return the run that ends at each port, or passes it."""
    return wired.once(_runs_by_port)


def _runs_by_port(wired: Wired) -> dict[Node, Channel]:
    passed = {node: run for run in channels(wired) for pair in run.passed for node in pair}
    return passed | {end: run for run in channels(wired) for end in (run.a, run.b)}


def _to_fabric(wired: Wired, runs: Mapping[Node, Channel], node: Node) -> tuple[tuple[Step, ...], Fabric | None]:
    """Return the run from a port to the fabric at its far end; no run where the port is in a fabric itself."""
    own = fabric_of(wired, node)
    if own is not None or node not in runs:
        return (), own
    return ((runs[node], node),), fabric_of(wired, far_end(runs[node], node))


def places_in(wired: Wired, network: Network) -> list[Place]:
    """Return the places whose fabrics make a network, each once."""
    return [wired.places[place_id] for place_id in dict.fromkeys(place_id for place_id, _ in network)]


def fabric_groups(wired: Wired) -> tuple[Network, ...]:
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


def _path(neighbours: Mapping[Fabric, list[Bridge]], start: Fabric, goal: Fabric) -> tuple[Bridge, ...]:
    """Return the runs from one fabric to another, along a forest, so there is one way; none if no way leads there."""
    came_by: dict[Fabric, Bridge | None] = {start: None}
    waiting = deque([start])
    while waiting and goal not in came_by:
        here = waiting.popleft()
        for bridge in neighbours.get(here, ()):
            there = bridge.b if bridge.a == here else bridge.a
            if there not in came_by:
                came_by[there] = bridge
                waiting.append(there)
    back = []
    while (last := came_by.get(goal)) is not None:
        back.append(last)
        goal = last.a if last.b == goal else last.b
    return tuple(reversed(back))
