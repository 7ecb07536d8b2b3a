"""What hangs behind an inlet, and on which of its lines.

The single-pole inlets of a box are one feed: what is behind it is told at the first of its lines, and nothing at the
others.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from calc.connectors import connector
from calc.rig.wiring import Node, Wired, outlets_of, power_feeds

LINES = ("L1", "L2", "L3")
DEEPEST = 64
"""Longer than any chain of distribution; one that long is a ring."""


def behind(wired: Wired, load: Node) -> tuple[Node, ...]:
    """Return an inlet and all inlets of the same kind of power that it feeds, each once."""
    return wired.once(_behind_each).get(load, (load,))


def _behind_each(wired: Wired) -> dict[Node, tuple[Node, ...]]:
    found: dict[Node, tuple[Node, ...]] = {}
    for load in power_feeds(wired).hops:
        _behind(wired, found, load, depth=0)
    return found


def _behind(wired: Wired, found: dict[Node, tuple[Node, ...]], load: Node, depth: int) -> tuple[Node, ...]:
    if load not in found:
        port = wired.ports[load]
        is_head = head_of(wired, load) == load
        onward = [
            node
            for outlet in outlets_of(wired, load)
            if is_head
            if wired.ports[outlet].carries == port.carries and depth < DEEPEST
            for hop in power_feeds(wired).by_source.get(outlet, ())
            for node in _behind(wired, found, hop.load, depth + 1)
        ]
        found[load] = tuple(dict.fromkeys((load, *onward))) if is_head else ()
    return found[load]


@dataclass(slots=True, kw_only=True)
class ByLine:
    """The inlets behind a feed of several lines, by the lines that they hang on."""

    on: dict[str, list[Node]] = field(default_factory=dict)
    """One line, or two with a hyphen between → the inlets there."""
    open: list[tuple[Node, ...]] = field(default_factory=list)
    """Those of each outlet of which nobody wrote the leg."""
    even: list[Node] = field(default_factory=list)
    """Those that have all lines themselves, and load them alike."""


def by_line(wired: Wired, loads: Iterable[Node]) -> ByLine:
    """Return what is behind some inlets of several lines, by line."""
    made = ByLine()
    for load in loads:
        _add_load(wired, made, load, depth=0)
    return made


def by_line_of(wired: Wired, outlets: Iterable[Node]) -> ByLine:
    """Return what is behind some outlets of one source, by line."""
    made = ByLine()
    for outlet in outlets:
        _add_outlet(wired, made, outlet, depth=0)
    return made


def _add_load(wired: Wired, made: ByLine, load: Node, depth: int) -> None:
    kind = connector(wired.ports[load].connector)
    if kind.lines == 1 and kind.pole is None:
        made.open.append(behind(wired, load))
        return
    if head_of(wired, load) != load:
        return
    made.even.append(load)
    for outlet in outlets_of(wired, load):
        if wired.ports[outlet].carries == "mains" and depth < DEEPEST:
            _add_outlet(wired, made, outlet, depth + 1)


def _add_outlet(wired: Wired, made: ByLine, outlet: Node, depth: int) -> None:
    fed = [hop.load for hop in power_feeds(wired).by_source.get(outlet, ())]
    kind, power = connector(wired.ports[outlet].connector), wired.ports[outlet].power
    leg = power.leg if power is not None else None
    if kind.lines > 1 or kind.pole is not None:
        for load in fed:
            _add_load(wired, made, load, depth)
    elif fed:
        nodes = tuple(dict.fromkeys(node for load in fed for node in behind(wired, load)))
        if leg is None:
            made.open.append(nodes)
        else:
            made.on.setdefault(leg, []).extend(nodes)


def head_of(wired: Wired, load: Node) -> Node:
    """Return the inlet that stands for a feed: of single-pole inlets the first line of their box, else the inlet."""
    if connector(wired.ports[load].connector).pole is None:
        return load
    return next((node for node, pole in _poles(wired, load) if pole in LINES), load)


def lines_of(wired: Wired, load: Node) -> tuple[str, ...]:
    """Return the lines that come in at an inlet; at a single-pole one, those of its box together."""
    kind = connector(wired.ports[load].connector)
    if kind.pole is None:
        return LINES[: kind.lines]
    poles = {pole for _, pole in _poles(wired, load)}
    return tuple(line for line in LINES if line in poles) or LINES[:1]


def _poles(wired: Wired, load: Node) -> list[tuple[Node, str | None]]:
    inlets = power_feeds(wired).inlets.get(load[0], ())
    return sorted(
        ((node, connector(wired.ports[node].connector).pole) for node in inlets), key=lambda one: (one[1] or "", one[0])
    )
