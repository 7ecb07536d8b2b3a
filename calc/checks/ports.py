"""Ports: what is damaged, and what holds the plugs on the outside."""

from collections.abc import Iterator

from calc.checking.compared import against
from calc.checking.drafts import Draft, judged
from calc.checking.registry import check
from calc.connectors import connector
from calc.rig.brief import PortsAsked
from calc.rig.inputs import Input
from calc.rig.kit import Kit, Port
from calc.rig.subjects import about_kit, about_port, name_of
from calc.rig.wiring import HOLDING_DAMAGE, Node, Wired, exposed, own_places, retention
from calc.vocabulary import RETENTIONS

REGISTER = "connector register, by the standard of each connector"
ASKED = "the kit's own brief"
DAMAGE = "reported faults; IEC 60364-4-41, 410.3, for live parts"
CUTS_THE_SIGNAL = frozenset({"dead", "intermittent"})
OFFERING_KINDS = ("switch", "router", "access-point", "injector", "distro", "node", "converter", "supply")
"""Kinds whose free ports are there for somebody else's lead."""
BURNS = ("mains", "dc")
"""What makes a bad contact hot."""


@check("exposed-not-retained", "caution", REGISTER)
def exposed_not_retained(wired: Wired) -> Iterator[Draft]:
    """The usual mating of a panel port is held less firmly than the kit asks for."""
    for node in exposed(wired):
        asked = _asked(wired, node)
        held = retention(wired, node)
        if asked is None or held is None or RETENTIONS.index(held) >= RETENTIONS.index(asked):
            continue
        yield Draft(
            subject=about_port(wired, node),
            message=f"Secure the plug in {name_of(wired, node)} or change the port: "
            f"{_HELD[held]}, and the kit asks for a {asked} on the outside.",
            inputs=(Input(name="held by", value=held), Input(name="asked for", value=asked)),
        )


_HELD = {
    "friction": "friction alone holds it",
    "latch": "a latch that a pull can break holds it",
    "lock": "a lock holds it",
}


@check("lid-must-open", "caution", ASKED)
def lid_must_open(wired: Wired) -> Iterator[Draft]:
    """Fewer ports are on the outside than are asked for there, while free ones of the kind are inside."""
    for kit, brief in wired.briefs:
        for asked in brief.outside:
            outside = [node for node in exposed(wired, of=kit) if _is_asked(wired.ports[node], asked)]
            lacking = asked.quantity - len(outside)
            free = [node for node in _free_inside(wired, kit) if wired.ports[node].carries == asked.carries]
            if lacking <= 0 or not free:
                continue
            what = (
                asked.carries if asked.connector is None else f"{connector(asked.connector).name} for {asked.carries}"
            )
            yield judged(
                about_kit(wired, kit),
                f"Lead {_more_ports(min(lacking, len(free)))} to the panel, {name_of(wired, free[0])} first: "
                f"{asked.quantity} are asked for outside ({what}), {len(outside)} are there: the lid would stay open.",
                against(len(outside), asked.quantity, "ports", at_least=True),
                inputs=(
                    Input(name="asked for outside", value=asked.quantity),
                    Input(name="outside", value=len(outside)),
                    Input(name="free inside", value=len(free)),
                ),
            )


def _more_ports(count: int) -> str:
    return "one more port" if count == 1 else f"{count} more ports"


def _is_asked(port: Port, asked: PortsAsked) -> bool:
    return port.carries == asked.carries and asked.connector in (None, port.connector)


def _free_inside(wired: Wired, kit: Kit | None) -> Iterator[Node]:
    """Return the ports of a kit that a lead could go into once the lid is open."""
    for place in own_places(wired, kit):
        for node, port in wired.nodes_of(place):
            in_the_way = port.face == "outside" or wired.is_linked(node) or wired.through.get(node) or place.is_spare
            if not in_the_way and place.spec.kind in OFFERING_KINDS:
                yield node


@check("retention-lost", "caution", REGISTER)
def retention_lost(wired: Wired) -> Iterator[Draft]:
    """A broken latch or shell leaves a port in use with friction alone."""
    for node, kinds in _damaged(wired):
        if not _lost_hold(wired, node, kinds):
            continue
        broken = " and ".join(sorted(kinds & HOLDING_DAMAGE))
        yield Draft(
            subject=about_port(wired, node),
            message=f"Tie the plug down at {name_of(wired, node)} until its {broken} is repaired: "
            "friction alone holds it.",
            inputs=(Input(name="held by, sound", value=retention(wired, node)), Input(name="broken", value=broken)),
        )


def _lost_hold(wired: Wired, node: Node, kinds: frozenset[str]) -> bool:
    """Tell whether something held a plug that is in use, or that people reach, and no longer does."""
    if wired.place_of(node).is_spare or not kinds & HOLDING_DAMAGE:
        return False
    in_use = _in_use(wired, node) or wired.ports[node].face == "outside"
    return in_use and retention(wired, node) not in (None, "friction")


@check("port-damaged", ("stop", "caution", "note"), DAMAGE)
def port_damaged(wired: Wired) -> Iterator[Draft]:
    """Dead or intermittent: stop on a linked port; a bad contact, latch, shell or label: caution or note."""
    for node, kinds in _damaged(wired):
        severity = _severity(wired, node, kinds)
        yield Draft(
            subject=about_port(wired, node),
            severity=severity,
            message=_advice(wired, node, kinds, severity),
            inputs=(
                Input(name="damage", value=", ".join(sorted(kinds))),
                Input(name="linked", value=_in_use(wired, node)),
            ),
        )


def _damaged(wired: Wired) -> Iterator[tuple[Node, frozenset[str]]]:
    for place in wired.places.values():
        for name, kinds in place.unit.damage.items() if place.unit else ():
            if kinds and (place.id, name) in wired.ports:
                yield (place.id, name), kinds


def _severity(wired: Wired, node: Node, kinds: frozenset[str]) -> str:
    if wired.place_of(node).is_spare:
        return "note"
    if _in_use(wired, node) and (kinds & CUTS_THE_SIGNAL or _can_hurt(wired, node, kinds)):
        return "stop"
    said = {"label"} | (HOLDING_DAMAGE if _lost_hold(wired, node, kinds) else set())
    reachable = _in_use(wired, node) or wired.ports[node].face == "outside"
    return "caution" if reachable and kinds - said else "note"


def _can_hurt(wired: Wired, node: Node, kinds: frozenset[str]) -> bool:
    """Tell whether damage may burn or leave live parts open to touch. Source: IEC 60364-4-41, 410.3."""
    carries = wired.ports[node].carries
    return (carries in BURNS and "contact" in kinds) or (carries == "mains" and "shell" in kinds)


def _in_use(wired: Wired, node: Node) -> bool:
    return wired.is_linked(node) or node[0] in wired.cables_in_use


def _advice(wired: Wired, node: Node, kinds: frozenset[str], severity: str) -> str:
    here, why = name_of(wired, node), _what_is_wrong(kinds)
    if severity != "stop":
        return f"Mark {here}: {why}."
    if _can_hurt(wired, node, kinds):
        unit = wired.place_of(node).path
        return f"Withdraw {unit} and have it tested before it is used again: at {here} {why}."
    other = _sound_alternative(wired, node)
    joints = wired.joints_at.get(node)
    if other is None or not joints:
        return f"Do without {here} or change the unit: {why}."
    return f"Move {name_of(wired, joints[0].other(node))} from {here} to {other[1]}: {why}."


def _what_is_wrong(kinds: frozenset[str]) -> str:
    states, parts = sorted(kinds & CUTS_THE_SIGNAL), sorted(kinds - CUTS_THE_SIGNAL)
    said = [f"it is {state}" for state in states] + [f"its {part} is damaged" for part in parts]
    return " and ".join(said)


def _sound_alternative(wired: Wired, node: Node) -> Node | None:
    """Return a free, sound port of the same unit that can do what this one does."""
    wanted = wired.ports[node]
    for other, port in wired.nodes_of(wired.place_of(node)):
        free = not wired.is_linked(other) and not wired.damage(other)
        if other != node and free and wanted.through is None and _does_the_same(port, wanted):
            return other
    return None


def _does_the_same(port: Port, wanted: Port) -> bool:
    return (port.connector, port.side, port.carries, port.group, port.poe, port.power, port.face) == (
        wanted.connector,
        wanted.side,
        wanted.carries,
        wanted.group,
        wanted.poe,
        wanted.power,
        wanted.face,
    )


def _asked(wired: Wired, node: Node) -> str | None:
    """Return the retention that the port's own kit asks for; a nested kit's own wish goes before the outer one's."""
    place = wired.place_of(node)
    nested = place.position.nested
    own = nested.exposed_retention if nested is not None else None
    return own or place.kit.exposed_retention
