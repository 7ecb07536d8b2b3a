"""Following wires: from a port outward, through panels, couplers, cables and splitters, to what is at the far end."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, TypeAlias

from calc.rig.kit import Port
from calc.rig.wiring.graph import Joint, Node, Wired

Ending: TypeAlias = Literal["port", "open", "cut", "ring"]
"""``port``: a port that does something with what the wire carries; ``open``: nothing is plugged in there; ``cut``: the
link leads to an empty position or names no port, so nobody can say; ``ring``: the wiring leads back to itself."""

POWER_CARRIES = ("mains", "dc")


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What lies between a port and the far end of its wiring, in order."""

    start: Node
    end: Node
    joints: tuple[Joint, ...]
    passed: tuple[tuple[Node, Node], ...]
    """The feed-throughs on the way: port in, port out."""
    ending: Ending


def follow(wired: Wired, start: Node, stops_at: Callable[[Node, Port], bool]) -> Run:
    """Follow the wiring from ``start`` outward until a port for which ``stops_at`` holds, or one that leads no further.

    A port that is joined through to several others ends the run: nobody can say which way a signal would go.
    """
    if start not in wired.joints_at:
        return Run(start=start, end=start, joints=(), passed=(), ending=_loose(wired, start))
    return _walk(wired, start, wired.joints_at[start][0], stops_at)


def _walk(wired: Wired, start: Node, joint: Joint, stops_at: Callable[[Node, Port], bool]) -> Run:
    joints, passed, seen = [joint], list[tuple[Node, Node]](), {start}
    far = joint.other(start)
    ending: Ending | None = None
    while ending is None:
        beyond = wired.through.get(far, ())
        if far in seen:
            ending = "ring"
        elif stops_at(far, wired.ports[far]) or len(beyond) != 1:
            ending = "port"
        else:
            seen |= {far, beyond[0]}
            passed.append((far, beyond[0]))
            far, ending = _onward(wired, beyond[0], joints)
    return Run(start=start, end=far, joints=tuple(joints), passed=tuple(passed), ending=ending)


def _onward(wired: Wired, node: Node, joints: list[Joint]) -> tuple[Node, Ending | None]:
    """Cross the link at ``node``, if one is there: note it in ``joints`` and return its far end."""
    if node not in wired.joints_at:
        return node, _loose(wired, node)
    joint = wired.joints_at[node][0]
    joints.append(joint)
    return joint.other(node), None


def _loose(wired: Wired, node: Node) -> Ending:
    return "cut" if node in wired.cut else "open"


def never(node: Node, port: Port) -> bool:
    """Stop nowhere but at the end of the wiring."""
    return False


def has_power(node: Node, port: Port) -> bool:
    """Stop where power is taken or given."""
    return port.poe is not None or port.power is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """A run of signal between two ports that do something with it, or to where nothing is plugged in."""

    number: int
    """The number of the first joint that is in no run before it: what analyses keep their answers by."""
    carries: str
    a: Node
    b: Node
    joints: tuple[Joint, ...]
    passed: tuple[tuple[Node, Node], ...]
    complete: bool
    """Both ends are active ports; otherwise the run waits for something to be plugged in, or for an empty position."""

    @property
    def start(self) -> Node:
        """The end from which its links and feed-throughs are listed."""
        return self.a


def channels(wired: Wired) -> tuple[Channel, ...]:
    """Return every run of signal, once, in the order of the links."""
    return wired.once(_channels)


def _channels(wired: Wired) -> tuple[Channel, ...]:
    done: set[int] = set()
    found: list[Channel] = []
    for joint in wired.joints:
        if joint.number in done or wired.ports[joint.a].carries in POWER_CARRIES:
            continue
        channel = _channel(wired, joint)
        done.update(one.number for one in channel.joints)
        found.append(channel)
    return tuple(found)


def _channel(wired: Wired, joint: Joint) -> Channel:
    back = _walk(wired, joint.b, joint, never)
    on = _walk(wired, joint.a, joint, never)
    return Channel(
        number=joint.number,
        carries=wired.ports[joint.a].carries,
        a=back.end,
        b=on.end,
        joints=(*reversed(back.joints), *on.joints[1:]),
        passed=(*((out, into) for into, out in reversed(back.passed)), *on.passed),
        complete=back.ending == on.ending == "port",
    )
