"""What each inlet draws, at both ends of what is not known, and what each link then carries."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import inf

from calc.assumptions import efficiency, power_factor, stated
from calc.given import Given, total
from calc.mains import label_va
from calc.rig.behind import behind
from calc.rig.kinds import PASSING_KINDS
from calc.rig.wiring import Hop, Node, Place, Wired, fed_by, outlets_of, power_feeds


@dataclass(slots=True, kw_only=True)
class Demand:
    """Apparent power of mains inlets in VA, power of the others in W."""

    of_inlet: dict[Node, Given] = field(default_factory=dict)
    through_joint: dict[int, Given] = field(default_factory=dict)
    """Number of a joint → what goes through that link."""


def demand(wired: Wired) -> Demand:
    """Return what every inlet draws, with all that it feeds, and what every link carries."""
    return wired.once(_demand)


def _demand(wired: Wired) -> Demand:
    made = Demand()
    for node in power_feeds(wired).hops:
        made.of_inlet[node] = drawn(wired, behind(wired, node), own(wired, node).name)
    crossing: dict[int, list[Node]] = {}
    for node, hop in power_feeds(wired).hops.items():
        for joint in hop.run.joints:
            crossing.setdefault(joint.number, []).append(node)
    made.through_joint = {
        number: drawn(wired, (one for node in nodes for one in behind(wired, node)), made.of_inlet[nodes[0]].name)
        for number, nodes in crossing.items()
    }
    return made


def drawn(wired: Wired, loads: Iterable[Node], name: str = "power.rated_a") -> Given:
    """Return what the places of some inlets draw for themselves there, together.

    What has several inlets among them draws its power once, through whichever of them (a redundant supply), unless the
    sheet says at each inlet how much is drawn there.
    """
    by_place: dict[int, dict[Node, Given]] = {}
    for node in loads:
        by_place.setdefault(node[0], {})[node] = own(wired, node)
    parts = [part for each in by_place.values() for part in _of_place(list(each.values()))]
    return total(parts, name)


def _of_place(parts: list[Given]) -> list[Given]:
    """Return what counts of the draws at several inlets of one place."""
    if all(part.name.startswith("ports.") for part in parts):
        return parts
    return [max(parts, key=lambda part: part.high)]


def own(wired: Wired, node: Node) -> Given:
    """Return what a place draws for itself at an inlet: VA of mains, otherwise W."""
    return wired.once(_own_each)[node]


def _own_each(wired: Wired) -> dict[Node, Given]:
    return {
        node: (own_va if wired.ports[node].carries == "mains" else own_w)(wired, wired.place_of(node), node)
        for node in power_feeds(wired).hops
    }


def own_va(wired: Wired, place: Place, inlet: Node) -> Given:
    """Return the apparent power that a place draws for itself at a mains inlet, at worst. [VA]"""
    spec, port = place.spec, wired.ports[inlet]
    sheet = spec.power
    passes_on = spec.kind in PASSING_KINDS or supplies_mains(wired, place)
    # What only passes mains on has a rating on its label; what draws has its draw there.
    if sheet is not None and sheet.rated_a is not None and sheet.at_volts is not None and not passes_on:
        provenance = spec.provenance.get("power.rated_a", "data sheet")
        return Given.known(label_va(sheet.rated_a, sheet.at_volts), provenance, "power.rated_a")
    watts = stated(spec, "power.max_w")
    if watts is None and port.power is not None and port.power.watts is not None:
        watts = Given.known(port.power.watts, "data sheet", f"ports.{inlet[1]}.power.watts")
    if watts is None and not supplies_mains(wired, place):
        watts = _drawn_by_supply_w(wired, place)
    if watts is not None:
        return _divided(watts, power_factor(spec))
    if passes_on:
        return Given.known(0.0, "data sheet", "power.max_w")
    return Given.unknown("power.rated_a")


def supplies_mains(wired: Wired, place: Place) -> bool:
    """Tell whether a place gives mains by a rating of its own: an uninterruptible supply, an inverter, a generator."""
    sheet = place.spec.power
    gives = any(wired.ports[node].carries == "mains" for node in power_feeds(wired).outlets.get(place.id, ()))
    return gives and (place.spec.kind == "supply" or (sheet is not None and sheet.output_va is not None))


def _drawn_by_supply_w(wired: Wired, place: Place) -> Given | None:
    """Return what a supply takes in for its rated output; without one, for what is linked to it, or may be. [W]"""
    output = stated(place.spec, "power.output_w")
    if output is None:
        fed = [
            own_w(wired, wired.place_of(hop.load), hop.load)
            for outlet in power_feeds(wired).outlets.get(place.id, ())
            if wired.ports[outlet].carries != "mains"
            for hop in power_feeds(wired).by_source.get(outlet, ())
        ]
        output = total(fed, "power.output_w") if fed else _rated_by_ports_w(wired, place)
    return None if output is None else _divided(output, efficiency(place.spec))


def _rated_by_ports_w(wired: Wired, place: Place) -> Given | None:
    """Return what the outputs of a supply give together, where each of them states it. [W]"""
    outputs = [node for node in power_feeds(wired).outlets.get(place.id, ()) if wired.ports[node].carries != "mains"]
    watts = [power.watts for node in outputs if (power := wired.ports[node].power) is not None]
    known = [one for one in watts if one is not None]
    if not known or len(known) < len(outputs):
        return None
    return Given.known(sum(known), "data sheet", f"ports.{outputs[0][1]}.power.watts")


def own_w(wired: Wired, place: Place, inlet: Node) -> Given:
    """Return the most that a place draws at an inlet of direct current. [W]"""
    port = wired.ports[inlet]
    name = f"ports.{inlet[1]}.power.watts"
    if port.power is not None and port.power.watts is not None:
        return Given.known(port.power.watts, place.spec.provenance.get(name, "data sheet"), name)
    written = stated(place.spec, "power.max_w")
    if written is not None:
        return written
    if supplies_mains(wired, place):
        return _divided(mains_w(wired, place), efficiency(place.spec))
    return Given.known(0.0, "data sheet", name) if place.spec.kind in PASSING_KINDS else Given.unknown(name)


def mains_w(wired: Wired, place: Place) -> Given:
    """Return the active power of all that a place feeds with mains, at worst. [W]"""
    outlets = [node for node in power_feeds(wired).outlets.get(place.id, ()) if wired.ports[node].carries == "mains"]
    hops = [hop for outlet in outlets for hop in power_feeds(wired).by_source.get(outlet, ())]
    fed = {hop.load[0]: hop.load for hop in consumers(wired, hops)}
    return total([_active_w(wired, node) for node in fed.values()], "power.max_w")


def _active_w(wired: Wired, inlet: Node) -> Given:
    """Return the watts of a mains inlet: as written, else no more than its volt-amperes. [W]"""
    written = stated(wired.place_of(inlet).spec, "power.max_w")
    va = own_va(wired, wired.place_of(inlet), inlet)
    return written if written is not None else between(0.0, va.high, "unknown", va.name)


def _divided(amount: Given, share: Given) -> Given:
    """Return an amount over a share of it; an assumed share makes the answer an assumed one.

    It is known least by the share where only that has two ends.
    """
    provenance = share.provenance if amount.provenance == "data sheet" else amount.provenance
    name = share.name if amount.settled and not share.settled else amount.name
    return between(amount.low / share.high, amount.high / share.low, provenance, name)


def between(low: float, high: float, provenance: str, name: str) -> Given:
    """Return a number between two ends; without an upper end it is not known, whatever it was made from."""
    return Given(low, high, "unknown" if high == inf else provenance, name)


def consumers(wired: Wired, hops: Iterable[Hop]) -> list[Hop]:
    """Return the inlets behind some hops that draw something themselves, those of the hops included."""
    found: dict[Node, Hop] = {}
    for hop in hops:
        found[hop.load] = hop
        for outlet in outlets_of(wired, hop.load):
            found.update({further.load: further for further in fed_by(wired, outlet)})
    return [
        hop
        for hop in found.values()
        if wired.ports[hop.load].carries == "mains" and own_va(wired, wired.place_of(hop.load), hop.load).high > 0
    ]
