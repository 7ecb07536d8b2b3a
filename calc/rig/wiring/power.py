"""Who is fed from where over mains and direct current, and the way up to where it comes from."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from calc.connectors import connector
from calc.rig.kit import Port
from calc.rig.wiring.graph import Joint, Node, Wired
from calc.rig.wiring.runs import Run, follow

MOST_HOPS = 64
"""Deeper than any rig; a chain that long is a ring."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hop:
    """One inlet and what feeds it: a port that gives power, or the open end of the wiring."""

    load: Node
    source: Node
    run: Run
    """From the inlet outward."""
    is_fed: bool
    """Whether ``source`` gives power; otherwise the wiring is open there, or leads to an empty position."""


@dataclass(slots=True, kw_only=True)
class PowerFeeds:
    """All wiring of mains and direct current."""

    hops: dict[Node, Hop] = field(default_factory=dict)
    """Inlet → how it is fed."""
    by_source: dict[Node, list[Hop]] = field(default_factory=dict)
    """Outlet → the inlets that it feeds."""
    inlets: dict[int, list[Node]] = field(default_factory=dict)
    """Place → its inlets."""
    outlets: dict[int, list[Node]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerPath:
    """The way from an inlet up to where its power comes from."""

    load: Node
    hops: tuple[Hop, ...]
    origin: Node
    """The outlet that nothing feeds further, or the open end of the wiring."""


def power_feeds(wired: Wired) -> PowerFeeds:
    """Return who is fed from where over mains and direct current."""
    return wired.once(_power_feeds)


def _power_feeds(wired: Wired) -> PowerFeeds:
    feeds = PowerFeeds()
    for node, port in wired.ports.items():
        if port.power is None or port.poe is not None or wired.place_of(node).is_spare:
            continue
        if port.power.role == "source":
            feeds.outlets.setdefault(node[0], []).append(node)
            continue
        run = follow(wired, node, gives_power)
        is_fed = run.ending == "port" and gives_power(run.end, wired.ports[run.end])
        hop = Hop(load=node, source=run.end, run=run, is_fed=is_fed)
        feeds.hops[node] = hop
        feeds.inlets.setdefault(node[0], []).append(node)
        if is_fed:
            feeds.by_source.setdefault(run.end, []).append(hop)
    return feeds


def gives_power(node: Node, port: Port) -> bool:
    """Tell whether mains, direct current or fixed volts come out of a port."""
    return port.power is not None and port.power.role == "source"


def inlets_of(wired: Wired, outlet: Node) -> list[Node]:
    """Return the inlets from which an outlet takes its power: the one it is joined to, else all of its place."""
    inlets = power_feeds(wired).inlets.get(outlet[0], [])
    joined = [node for node in wired.through.get(outlet, ()) if node in inlets]
    return joined or inlets


def inlet_of(wired: Wired, outlet: Node) -> Node | None:
    """Return the inlet by which the way up from an outlet goes on: the first that brings a line; None at its end."""
    inlets = inlets_of(wired, outlet)
    bringing = [node for node in inlets if connector(wired.ports[node].connector).pole not in ("N", "E")]
    return next(iter((*bringing, *inlets)), None)


def outlets_of(wired: Wired, inlet: Node) -> list[Node]:
    """Return the outlets that take their power from an inlet."""
    return [node for node in power_feeds(wired).outlets.get(inlet[0], []) if inlet in inlets_of(wired, node)]


def fed_by(wired: Wired, outlet: Node) -> Iterator[Hop]:
    """Return everything that an outlet feeds, directly or through others, each inlet once."""
    waiting, seen = [outlet], {outlet}
    while waiting:
        for hop in power_feeds(wired).by_source.get(waiting.pop(), ()):
            yield hop
            onward = [node for node in outlets_of(wired, hop.load) if node not in seen]
            seen.update(onward)
            waiting.extend(onward)


def hops_over(wired: Wired, joint: Joint) -> list[Hop]:
    """Return the inlets that a link leads to."""
    return [hop for hop in power_feeds(wired).hops.values() if any(one is joint for one in hop.run.joints)]


def power_paths(wired: Wired) -> tuple[PowerPath, ...]:
    """Return the way up from every inlet of mains and direct current; where there are several, by the first inlet."""
    return tuple(_path(wired, node) for node in power_feeds(wired).hops)


def _path(wired: Wired, load: Node) -> PowerPath:
    hops = [power_feeds(wired).hops[load]]
    while hops[-1].is_fed and len(hops) < MOST_HOPS:
        upward = inlet_of(wired, hops[-1].source)
        if upward is None:
            break
        hops.append(power_feeds(wired).hops[upward])
    return PowerPath(load=load, hops=tuple(hops), origin=hops[-1].source)
