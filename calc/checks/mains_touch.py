"""Mains that can be touched or parted: earth, live pins, couplers that must not be pulled under load.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Callable, Iterator

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

PRACTICE = "common practice"


@check("earth-broken", "stop", PRACTICE)
def earth_broken(wired: Wired) -> Iterator[Draft]:
    """A part without earth contact lies between the supply and something that needs an earth."""
    for hop in power_feeds(wired).hops.values():
        port, place = wired.ports[hop.load], wired.place_of(hop.load)
        without = _without_earth(wired, hop)
        if port.carries != "mains" or without is None or connector(port.connector).earth is False:
            continue
        sheet = place.spec.power
        protection = sheet.protection_class if sheet is not None else None
        if protection is None and place.spec.kind in PASSING_KINDS:
            protection = _strictest_behind(wired, hop)
        inputs = (
            Input(
                name=f"{place.path}: protection class",
                value=protection,
                provenance="data sheet" if protection else "unknown",
            ),
            Input(name="without earth", value=connector(without[1].connector).name),
        )
        if protection is None:
            yield undecided(
                about(place),
                f"Enter the protection class of {place.spec.name}: {connector(without[1].connector).name} on its way "
                f"brings no {_earth(place)}.",
                unlocks="power.protection_class",
                inputs=inputs,
            )
        elif protection == "I":
            yield Draft(
                subject=about_port(wired, hop.load),
                message=f"Feed {name_of(wired, hop.load)} only through parts with {_earth(place)} contact: "
                f"{connector(without[1].connector).name} at {name_of(wired, without[0])} brings no {_earth(place)}.",
                inputs=inputs,
            )


def _strictest_behind(wired: Wired, hop: Hop) -> str | None:
    """Return the class of what a box feeds that needs an earth first; None where nothing states one."""
    sheets = [wired.place_of(one.load).spec.power for one in consumers(wired, [hop])]
    classes = {sheet.protection_class for sheet in sheets if sheet is not None}
    return "I" if "I" in classes else None


def _earth(place: Place) -> str:
    """Return what the reader of the kit's rules calls the protective connection."""
    return rule_set(place.kit.rules).earth_word


def _without_earth(wired: Wired, hop: Hop) -> tuple[Node, Port] | None:
    on_the_way = (half for joint in hop.run.joints for half in halves(wired, joint))
    return next((half for half in on_the_way if connector(half[1].connector).earth is False), None)


@check("live-pins", "stop", PRACTICE)
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
