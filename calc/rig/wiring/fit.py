"""How the two ends of a link meet: directly, by a lead that fits, by a named cable, or not at all."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import permutations
from typing import Literal, TypeAlias

from calc.connectors import apart_because, connector, family, mates
from calc.rig.kit import Kit, Port, Spec
from calc.rig.wiring.graph import Joint, Node, Wired, own_places
from calc.vocabulary import RETENTIONS

Way: TypeAlias = Literal["direct", "lead", "cable", "apart", "unknown"]
"""``direct``: one enters the other; ``lead``: a lead that nobody named fits between them; ``cable``: the named cable
fits both; ``apart``: they cannot meet; ``unknown``: the ends of the named cable are not known."""

HOLDING_DAMAGE = frozenset({"latch", "shell"})
"""Damage that leaves nothing but friction to hold a plug."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How one link joins its two ports."""

    way: Way
    cable_ends: tuple[Port, Port] | None = None
    """The port of the named cable at ``joint.a``, and the one at ``joint.b``."""
    misfit: Node | None = None
    """The port that nothing of the other side enters."""
    because: str = ""


def fits(wired: Wired) -> dict[int, Fit]:
    """Return how each link joins its ports, by the number of its joint."""
    return wired.once(_fits)


def _fits(wired: Wired) -> dict[int, Fit]:
    return {joint.number: _fit(wired, joint) for joint in wired.joints}


def _fit(wired: Wired, joint: Joint) -> Fit:
    a, b = wired.ports[joint.a], wired.ports[joint.b]
    if joint.cable is not None:
        return _fit_cable(joint, a, b, joint.cable)
    if meets(a, b) is not None:
        return Fit(way="direct")
    if family(a.connector) == family(b.connector) or _takes(a, b) or _takes(b, a):
        return Fit(way="lead")
    return Fit(way="apart", misfit=joint.b, because=_because(a, b))


def _fit_cable(joint: Joint, a: Port, b: Port, cable: Spec) -> Fit:
    if len(cable.ports) < 2:
        return Fit(way="unknown")
    pairs = list(permutations(cable.ports, 2))
    for near, far in pairs:
        if _goes_into(near, a) and _goes_into(far, b):
            return Fit(way="cable", cable_ends=(near, far))
    near, far = next((pair for pair in pairs if _goes_into(pair[0], a)), pairs[0])
    if not _goes_into(near, a):
        return Fit(way="apart", misfit=joint.a, because=_because(near, a))
    return Fit(way="apart", misfit=joint.b, because=_because(far, b))


def _goes_into(end: Port, port: Port) -> bool:
    """Tell whether an end of a lead goes into a port, or into a module that the port is a cage for."""
    return meets(port, end) is not None or (end.side == "plug" and _takes(port, end))


def _takes(cage: Port, other: Port) -> bool:
    """Tell whether one port is a cage, and the other of a connector that modules for it have."""
    return cage.side == "socket" and other.connector in connector(cage.connector).takes


def meets(one: Port, other: Port) -> str | None:
    """Return how firmly one port holds the other, or None if they cannot meet."""
    return mates(one.connector, one.side, other.connector, other.side)


def _because(one: Port, other: Port) -> str:
    return apart_because(one.connector, one.side, other.connector, other.side) or ""


def usual_retention(port: Port) -> str | None:
    """Return how firmly the half that is made for this port is held in it; None if the register knows no such half.

    Where several are made for it, the least firm: a locking half is something that one has to have.

    Source: connector register.
    """
    halves = [mate for mate in connector(port.connector).mates if mate.own_side == port.side]
    made_for_it = [mate for mate in halves if mate.connector == port.connector] or halves
    return min((mate.retention for mate in made_for_it), key=RETENTIONS.index, default=None)


def retention(wired: Wired, node: Node) -> str | None:
    """Return how firmly a plug is held at a sound port: by the half that a link names, else by the usual one."""
    for joint in wired.joints_at.get(node, ()):
        fit = fits(wired)[joint.number]
        port = wired.ports[node]
        if fit.way == "direct":
            return meets(port, wired.ports[joint.other(node)])
        if fit.cable_ends is not None:
            return meets(port, fit.cable_ends[0 if node == joint.a else 1])
    return usual_retention(wired.ports[node])


def exposed(wired: Wired, of: Kit | None = None) -> Iterator[Node]:
    """Return the ports on the outside: of a kit and the kits nested in it, or of the whole rig."""
    for place in own_places(wired, of):
        yield from (node for node, port in wired.nodes_of(place) if port.face == "outside")
