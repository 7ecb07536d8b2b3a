"""Ports: what is damaged, and what holds the plugs on the outside."""

from collections.abc import Iterator

from calc.checks.drafts import Draft, Input, about_port, name_of
from calc.checks.registry import check
from calc.kit import Port
from calc.vocabulary import RETENTIONS
from calc.wiring import HOLDING_DAMAGE, Node, Wired, exposed, retention

REGISTER = "connector register"
CUTS_THE_SIGNAL = frozenset({"dead", "intermittent"})
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


@check("retention-lost", "caution", REGISTER)
def retention_lost(wired: Wired) -> Iterator[Draft]:
    """A broken latch or shell leaves a port in use with friction alone."""
    for node, kinds in _damaged(wired):
        held = retention(wired, node)
        in_use = _in_use(wired, node) or wired.ports[node].face == "outside"
        if wired.place_of(node).is_spare or not in_use or held in (None, "friction") or not kinds & HOLDING_DAMAGE:
            continue
        broken = " and ".join(sorted(kinds & HOLDING_DAMAGE))
        yield Draft(
            subject=about_port(wired, node),
            message=f"Tie the plug down at {name_of(wired, node)} until its {broken} is repaired: "
            "friction alone holds it.",
            inputs=(Input(name="held by, sound", value=held), Input(name="broken", value=broken)),
        )


@check("port-damaged", ("stop", "caution", "note"), "—")
def port_damaged(wired: Wired) -> Iterator[Draft]:
    """Dead or intermittent: stop on a linked port; a bad contact, latch, shell or label: caution or note."""
    for node, kinds in _damaged(wired):
        severity = _severity(wired, node, kinds)
        kind_words = " and ".join(sorted(kinds))
        yield Draft(
            subject=about_port(wired, node),
            severity=severity,
            message=_advice(wired, node, kind_words, severity),
            inputs=(Input(name="damage", value=kind_words), Input(name="linked", value=_in_use(wired, node))),
        )


def _damaged(wired: Wired) -> Iterator[tuple[Node, frozenset[str]]]:
    for place in wired.places.values():
        for name, kinds in place.unit.damage.items() if place.unit else ():
            if kinds and (place.id, name) in wired.ports:
                yield (place.id, name), kinds


def _severity(wired: Wired, node: Node, kinds: frozenset[str]) -> str:
    if wired.place_of(node).is_spare:
        return "note"
    hot = "contact" in kinds and wired.ports[node].carries in BURNS
    if _in_use(wired, node):
        return "stop" if kinds & CUTS_THE_SIGNAL or hot else "caution" if kinds - {"label"} else "note"
    reachable = wired.ports[node].face == "outside"
    return "caution" if reachable and kinds - {"label"} else "note"


def _in_use(wired: Wired, node: Node) -> bool:
    return wired.is_linked(node) or node[0] in wired.cables_in_use


def _advice(wired: Wired, node: Node, kind_words: str, severity: str) -> str:
    here = name_of(wired, node)
    if severity != "stop":
        return f"Mark {here}: {kind_words} damaged."
    other = _sound_alternative(wired, node)
    joints = wired.joints_at.get(node)
    if other is None or not joints:
        return f"Do without {here} or change the unit: {kind_words} damaged."
    return f"Move {name_of(wired, joints[0].other(node))} from {here} to {other[1]}: {kind_words} damaged."


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
