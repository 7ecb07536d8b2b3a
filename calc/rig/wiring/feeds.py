"""Who is powered from where over Ethernet: by drawn links, or by nobody yet."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from calc.rig.wiring.graph import TWO_ENDED_KINDS, Node, Place, Wired, natural
from calc.rig.wiring.runs import Run, follow, has_power

CUT_DAMAGE = frozenset({"dead", "intermittent"})
"""Damage that makes a port useless for plugging in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """One device that drawn links join to one port which gives power."""

    source: Node
    device: Node
    run: Run
    """From the device to the source."""

    def hole(self, wired: Wired) -> Node:
        """Return the port that the device's lead goes into: on the panel, if the run passes one, else the source."""
        outside = (into for into, _ in self.run.passed if wired.ports[into].face == "outside")
        return next(outside, self.source)


@dataclass(slots=True, kw_only=True)
class Feeds:
    """All power over Ethernet in a wired kit."""

    sources: dict[int, list[Node]] = field(default_factory=dict)
    """Place → its powered ports, in order of their names."""
    by_source: dict[int, list[Feed]] = field(default_factory=dict)
    """Place of a source → what it feeds, in order of its ports."""
    by_device: dict[int, list[Feed]] = field(default_factory=dict)
    powered_otherwise: set[int] = field(default_factory=set)
    """Places with an inlet for power over Ethernet that live on another one."""
    hanging: list[Node] = field(default_factory=list)
    """Ports of devices that no link joins to anything, one for each device."""
    misfed: list[Run] = field(default_factory=list)
    """From devices that links join to something which gives no power."""
    free: dict[Node, Node] = field(default_factory=dict)
    """Powered port that nothing is plugged into → where to plug in: itself, or the open end of its wiring."""

    def all(self) -> Iterator[Feed]:
        """Return every feed, by source and port."""
        for feeds in self.by_source.values():
            yield from feeds


def poe_feeds(wired: Wired) -> Feeds:
    """Return who is powered from where over Ethernet."""
    return wired.once(_poe_feeds)


def _poe_feeds(wired: Wired) -> Feeds:
    feeds = Feeds()
    for place in wired.places.values():
        given = [node for node, port in wired.nodes_of(place) if port.poe is not None and port.poe.role == "source"]
        if given:
            feeds.sources[place.id] = sorted(given, key=lambda node: natural(node[1]))
        taken = [node for node, port in wired.nodes_of(place) if port.poe is not None and port.poe.role == "load"]
        if taken:
            _add_device(wired, feeds, place, taken)
    for fed in feeds.by_source.values():
        fed.sort(key=lambda feed: natural(feed.source[1]))
    _add_free_ports(wired, feeds)
    return feeds


def _add_device(wired: Wired, feeds: Feeds, place: Place, inlets: list[Node]) -> None:
    runs = [follow(wired, inlet, has_power) for inlet in inlets]
    fed = [run for run in runs if run.ending == "port" and _gives(wired, run.end)]
    for run in fed:
        feed = Feed(source=run.end, device=run.start, run=run)
        feeds.by_source.setdefault(run.end[0], []).append(feed)
        feeds.by_device.setdefault(place.id, []).append(feed)
    if not fed and _is_powered_otherwise(wired, place):
        feeds.powered_otherwise.add(place.id)
    if fed or any(run.ending == "cut" for run in runs) or place.id in feeds.powered_otherwise:
        return
    if any(_waits_outside(wired, run) for run in runs):
        return
    wrong = [run for run in runs if run.joints and not _ends_in_a_lead(wired, run)]
    if wrong:
        feeds.misfed.append(wrong[0])
    elif not place.is_spare:
        feeds.hanging.append(inlets[0])


def _gives(wired: Wired, node: Node) -> bool:
    poe = wired.ports[node].poe
    return poe is not None and poe.role == "source"


def _is_powered_otherwise(wired: Wired, place: Place) -> bool:
    """Tell whether the device has another inlet that is linked, or one for mains, which needs no drawn link."""
    for node, port in wired.nodes_of(place):
        takes = port.poe is None and port.power is not None and port.power.role == "load"
        if takes and (port.carries == "mains" or wired.is_linked(node)):
            return True
    return False


def _waits_outside(wired: Wired, run: Run) -> bool:
    """Tell whether the device's power may come in through the panel from another kit, which on site would be drawn."""
    return not wired.on_site and run.ending == "open" and wired.ports[run.end].face == "outside"


def _ends_in_a_lead(wired: Wired, run: Run) -> bool:
    """Tell whether what hangs on a device is a lead of which the other end is free."""
    return run.ending == "open" and wired.place_of(run.end).spec.kind in TWO_ENDED_KINDS


def _add_free_ports(wired: Wired, feeds: Feeds) -> None:
    for place_id, nodes in feeds.sources.items():
        place = wired.places[place_id]
        if place.is_spare and not any(wired.is_linked(node) for node, _ in wired.nodes_of(place)):
            continue
        for node in nodes:
            run = follow(wired, node, has_power)
            if run.ending == "open" and not any(wired.damage(end) & CUT_DAMAGE for end in (node, run.end)):
                feeds.free[node] = run.end
