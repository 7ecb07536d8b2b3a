"""Mains that can be touched or parted: earth, live pins, couplers that must not be pulled under load.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from calc.checking.drafts import Draft, undecided
from calc.checking.registry import check
from calc.checks.couplers import halves, mains_joints
from calc.connectors import connector
from calc.rig.demand import consumers
from calc.rig.inputs import Input
from calc.rig.kinds import PASSING_KINDS
from calc.rig.kit import Port
from calc.rig.subjects import about, about_port, name_of
from calc.rig.wiring import Hop, Joint, Node, Place, Wired, exposed, fits, power_feeds
from calc.rules import rule_set

EARTHING = "IEC 60364-4-41 411.3.1; NFPA 70 250.114"
BASIC_PROTECTION = "IEC 60364-4-41 annex A; NFPA 70 406.7"
"""Both from memory: exposed conductive parts are earthed, and no live part can be touched."""
PRACTICE = "common practice"


@check("earth-broken", "stop", EARTHING)
def earth_broken(wired: Wired) -> Iterator[Draft]:
    """A part without earth contact lies between the supply and something that needs an earth.

    Each such part is told once: a lead by its spec, however many of it are in use, anything else by its position. An
    inlet without earth contact is made for class II (IEC 60320-1), so nothing is asked of it, but a device typed as
    class I with such an inlet is found too.
    """
    by_part: dict[object, list[Draft]] = {}
    for hop in power_feeds(wired).hops.values():
        part = _without_earth(wired, hop) if wired.ports[hop.load].carries == "mains" else None
        if part is None:
            continue
        behind = _needing_earth(wired, hop)
        if any(_protection(place) == "I" for place in behind):
            by_part.setdefault(part.key, []).append(_unearthed(wired, hop, part))
            continue
        for place in (place for place in behind if _protection(place) is None):
            yield _ask_class(place, part)
    for drafts in by_part.values():
        more = len(drafts) - 1
        others = f" It is in {more} more {'place' if more == 1 else 'places'}." if more else ""
        yield replace(drafts[0], message=drafts[0].message + others)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unearthed:
    """A part of the way without earth contact."""

    key: object
    """What tells one part from another."""
    node: Node
    """The port that it is, or that it goes into."""
    name: str


def _without_earth(wired: Wired, hop: Hop) -> Unearthed | None:
    """Return the first part without earth contact between an inlet and what feeds it, the inlet itself included."""
    inlet = (hop.load, wired.ports[hop.load], hop.load[0])
    on_the_way = [
        (node, port, node[0] if port is wired.ports[node] else joint.cable and joint.cable.name)
        for joint in hop.run.joints
        for node, port in halves(wired, joint)
    ]
    for node, port, key in (inlet, *on_the_way):
        if connector(port.connector).earth is False:
            return Unearthed(key=key, node=node, name=connector(port.connector).name)
    return None


def _needing_earth(wired: Wired, hop: Hop) -> list[Place]:
    """Return what an inlet feeds that may need an earth: its place and all behind it that draw something.

    What only passes mains on has no need of its own, and an inlet without earth contact is made for what needs none.
    """
    place = wired.place_of(hop.load)
    is_unearthed = connector(wired.ports[hop.load].connector).earth is False
    has_need = _protection(place) == "I" or (place.spec.kind not in PASSING_KINDS and not is_unearthed)
    behind = [wired.place_of(one.load) for one in consumers(wired, [hop]) if one.load != hop.load]
    return [*([place] if has_need else ()), *behind]


def _protection(place: Place) -> str | None:
    return place.spec.power.protection_class if place.spec.power is not None else None


def _unearthed(wired: Wired, hop: Hop, part: Unearthed) -> Draft:
    place, where = wired.place_of(hop.load), name_of(wired, hop.load)
    if part.key == place.id and place.spec.kind not in PASSING_KINDS:
        message = (
            f"Check the protection class of {place.spec.name}: it is entered as class I, "
            f"and {part.name} brings no {_earth(place)}."
        )
    else:
        message = (
            f"Feed {where} only through parts with {_earth(place)} contact: {part.name} at "
            f"{name_of(wired, part.node)} brings no {_earth(place)}."
        )
    return Draft(subject=about_port(wired, hop.load), message=message, inputs=_earth_inputs(place, "I", part))


def _ask_class(place: Place, part: Unearthed) -> Draft:
    return undecided(
        about(place),
        f"Enter the protection class of {place.spec.name}: {part.name} on its way brings no {_earth(place)}.",
        unlocks="power.protection_class",
        inputs=_earth_inputs(place, None, part),
    )


def _earth_inputs(place: Place, protection: str | None, part: Unearthed) -> tuple[Input, ...]:
    known = "data sheet" if protection else "unknown"
    return (
        Input(name=f"{place.path}: protection class", value=protection, provenance=known),
        Input(name="without earth", value=part.name),
    )


def _earth(place: Place) -> str:
    """Return what the reader of the kit's rules calls the protective connection."""
    return rule_set(place.kit.rules).earth_word


@check("live-pins", "stop", BASIC_PROTECTION)
def live_pins(wired: Wired) -> Iterator[Draft]:
    """The supplying end of a mains link carries pins, which are live when it is pulled out."""
    for hop, joint in mains_joints(wired):
        if not hop.is_fed:
            continue
        supplying = _supplying_halves(wired, hop, joint)
        for node, port in supplying:
            if port.side in connector(port.connector).pins:
                yield Draft(
                    subject=about_port(wired, node),
                    message=f"Take this lead out of use at {name_of(wired, node)}: "
                    f"its {connector(port.connector).name} {port.side} has live pins when it is pulled out.",
                    inputs=(Input(name=name_of(wired, node), value=f"{connector(port.connector).name}, {port.side}"),),
                )


def _supplying_halves(wired: Wired, hop: Hop, joint: Joint) -> list[tuple[Node, Port]]:
    """Return the half that gives power at each mating of a link: the outlet, and its cable's far end."""
    inward = _is_nearer_to_load(hop, joint, joint.a)
    near, far = (joint.a, joint.b) if inward else (joint.b, joint.a)
    supplying = [(far, wired.ports[far])]
    ends = fits(wired)[joint.number].cable_ends
    if ends is not None:
        supplying.append((near, ends[0] if inward else ends[1]))
    return supplying


def _is_nearer_to_load(hop: Hop, joint: Joint, node: Node) -> bool:
    """Tell whether a run from the load reaches ``node`` before the other end of that link."""
    here = hop.load
    for number, one in enumerate(hop.run.joints):
        if one is joint:
            return here == node
        here = hop.run.passed[number][1]
    return False


@check("unbreakable-coupler", "caution", "IEC 61984")
def unbreakable_coupler(wired: Wired) -> Iterator[Draft]:
    """Couplers without breaking capacity are on the outside and live in use."""
    for place, nodes in _outside_mains(wired, lambda port: connector(port.connector).breaking_capacity is False):
        names = ", ".join(node[1] for node in nodes)
        yield Draft(
            subject=about(place),
            message=f"Switch off before parting {names} of {place.path}: "
            f"{connector(wired.ports[nodes[0]].connector).name} must not be parted under load.",
            inputs=tuple(
                Input(name=name_of(wired, node), value=connector(wired.ports[node].connector).name) for node in nodes
            ),
        )


@check("connect-order", "caution", PRACTICE)
def connect_order(wired: Wired) -> Iterator[Draft]:
    """Single-pole couplers are on the outside: earth first, then neutral, then phases, dead while doing it."""
    for place, nodes in _outside_mains(wired, lambda port: connector(port.connector).poles in (0, 1)):
        names = ", ".join(node[1] for node in nodes)
        yield Draft(
            subject=about(place),
            message=f"Connect {names} of {place.path} dead, by a competent person: {_earth(place)} first, then "
            "neutral, then phases; measure before energising, and part in the reverse order.",
            inputs=tuple(
                Input(name=name_of(wired, node), value=connector(wired.ports[node].connector).name) for node in nodes
            ),
        )


def _outside_mains(wired: Wired, holds: Callable[[Port], bool]) -> Iterator[tuple[Place, list[Node]]]:
    """Return the places with mains couplers on the outside for which ``holds``, and those couplers."""
    by_place: dict[int, list[Node]] = {}
    for node in exposed(wired):
        if wired.ports[node].carries == "mains" and holds(wired.ports[node]):
            by_place.setdefault(node[0], []).append(node)
    for place_id, nodes in by_place.items():
        yield wired.places[place_id], nodes
