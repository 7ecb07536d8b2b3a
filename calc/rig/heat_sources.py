"""What each thing in a case turns into heat there, at worst.

Each watt counts once, where it turns into heat: what a thing passes on is not its own heat, but that of what it feeds,
and only if that works in the case too.
"""

from math import inf

from calc.assumptions import efficiency, power_factor, stated
from calc.given import Given, total
from calc.heat import heat_inside_w
from calc.mains import label_va
from calc.poe import class_limits
from calc.rig.demand import between, demand, own_w
from calc.rig.kinds import KINDS_WITH_PORTS, PASSING_KINDS
from calc.rig.plug_map import plan
from calc.rig.wiring import Hop, Node, Place, Run, Wired, poe_feeds, power_feeds

HARDLY_WARM_KINDS = (*PASSING_KINDS, "fan")
"""Kinds whose own heat is left out where nobody has stated it."""
GIVING_KINDS = ("supply", "splitter", "battery")
"""Kinds that are there to pass power on: their heat is what they lose on the way."""
KINDS_IN_THE_OPEN = ("fixture", "camera", "vehicle")
"""Kinds that do their work outside any case, since they shine, look or drive."""


def heat_w(wired: Wired, place: Place) -> Given:
    """Return the heat that a place gives off inside the case. [W]

    Nothing, where it is outside while in use, or is only stowed there.
    """
    return wired.once(_heats_w)[place.id]


def _heats_w(wired: Wired) -> dict[int, Given]:
    return {place.id: _heat_w(wired, place) for place in wired.places.values()}


def _heat_w(wired: Wired, place: Place) -> Given:
    if place.is_spare or _stands_outside(wired, place) or _is_stowed(wired, place):
        return NOTHING
    inlets, takes_poe = power_feeds(wired).inlets.get(place.id, []), _poe_inlet(wired, place)
    outputs = power_feeds(wired).outlets.get(place.id, [])
    if place.id in poe_feeds(wired).sources:
        return _of_source(wired, place, inlets)
    if not place.spec.ports and place.spec.kind in KINDS_WITH_PORTS and place.spec.kind not in HARDLY_WARM_KINDS:
        return Given.unknown("ports")
    if not inlets and takes_poe is None:
        return NOTHING
    if outputs and (place.spec.kind in GIVING_KINDS or _is_rated_to_give(place)):
        return _lost_in_supply(wired, place, outputs)
    written = _written_w(wired, place, inlets)
    if written is None and takes_poe is not None:
        written = _of_class(wired, takes_poe)
    if written is not None:
        return _less_what_it_feeds(wired, written, outputs)
    return NOTHING if place.spec.kind in PASSING_KINDS else Given.unknown("power.max_w")


NOTHING = Given.known(0.0, "data sheet", "power.max_w")


def _is_rated_to_give(place: Place) -> bool:
    """Tell whether a sheet states what a place gives in all: a supply for mains, or one built into something else."""
    sheet = place.spec.power
    return sheet is not None and (sheet.output_w is not None or sheet.output_va is not None)


def _less_what_it_feeds(wired: Wired, drawn: Given, outputs: list[Node]) -> Given:
    """Return what a place draws, less what goes on to what it feeds by its outlets. [W]"""
    passed = [own_w(wired, wired.place_of(hop.load), hop.load) for hop in _fed(wired, outputs)]
    if not passed:
        return drawn
    onward = total(passed, drawn.name)
    low_w = max(0.0, drawn.low - onward.high)
    return between(low_w, max(low_w, drawn.high - onward.low), drawn.provenance, drawn.name)


def _fed(wired: Wired, outputs: list[Node]) -> list[Hop]:
    """Return the inlets that hang on some outlets."""
    return [hop for node in outputs for hop in power_feeds(wired).by_source.get(node, ())]


def _written_w(wired: Wired, place: Place, inlets: list[Node]) -> Given | None:
    """Return the most that a place draws, as its sheet, its inlets or its label say. [W]"""
    spec, sheet = place.spec, place.spec.power
    written = stated(spec, "power.max_w")
    if written is not None or spec.kind in PASSING_KINDS:
        return written  # what only passes power on has its rating on the label, and no draw
    at_inlets = [power.watts for power in (wired.ports[node].power for node in inlets) if power is not None]
    if at_inlets and None not in at_inlets:
        return Given.known(max(watts for watts in at_inlets if watts is not None), "data sheet", "power.max_w")
    if sheet is not None and sheet.rated_a is not None and sheet.at_volts is not None:
        va, share = label_va(sheet.rated_a, sheet.at_volts), power_factor(spec)
        if not share.settled:
            return Given.unknown("power.max_w", high=va * share.high)  # a label in volt-amperes only bounds it
        return Given.known(va * share.high, share.provenance, "power.max_w")
    return None


def _lost_in_supply(wired: Wired, place: Place, outputs: list[Node]) -> Given:
    """Return what a supply, a splitter or an uninterruptible supply loses on the way to what it feeds. [W]"""
    fed = [_drawn_w(wired, hop) for hop in _fed(wired, outputs)]
    drawn, rated = total(fed, "power.output_w"), _rated_w(wired, place, outputs)
    if not fed and rated is not None:
        drawn = Given.assumed(rated.high, "power.output_w")
    elif drawn.high == inf and rated is not None:
        drawn = between(min(drawn.low, rated.high), rated.high, "assumed", "power.output_w")
    elif not fed:
        drawn = Given.unknown("power.output_w")
    share = efficiency(place.spec)
    low_w, high_w = drawn.low * (1 / share.high - 1), inf if drawn.high == inf else drawn.high * (1 / share.low - 1)
    return between(low_w, high_w, share.provenance, share.name if drawn.high < inf else "power.output_w")


def _drawn_w(wired: Wired, hop: Hop) -> Given:
    """Return what is drawn at an inlet, of mains with what is fed on from there: no more watts than VA. [W]"""
    if wired.ports[hop.load].carries == "mains":
        return demand(wired).of_inlet[hop.load]
    return own_w(wired, wired.place_of(hop.load), hop.load)


def _rated_w(wired: Wired, place: Place, outputs: list[Node]) -> Given | None:
    """Return the most that a place gives: by its sheet, or by its outlets where each of them says. [W]"""
    rated = stated(place.spec, "power.output_w") or stated(place.spec, "power.output_va")
    if rated is not None:
        return rated
    watts = [power.watts for node in outputs if (power := wired.ports[node].power) is not None]
    known = [one for one in watts if one is not None]
    if not known or len(known) < len(outputs):
        return None
    return Given.known(sum(known), "data sheet", "power.output_w")


def _of_source(wired: Wired, place: Place, inlets: list[Node]) -> Given:
    """Return what a source of power over Ethernet keeps for itself: what it draws, less what it can pass on. [W]

    A draw below the budget can only be its own: then nothing is taken off.
    """
    drawn = _written_w(wired, place, inlets)
    if drawn is None:
        return Given.unknown("power.max_w")
    budget_w = place.spec.poe.budget_w if place.spec.poe is not None else None
    if _poe_inlet(wired, place) is not None and place.id not in poe_feeds(wired).powered_otherwise:
        return drawn
    if budget_w is None:
        return Given(0.0, drawn.high, "unknown", "poe.budget_w")
    outside_w = budget_w if budget_w < drawn.high else 0.0
    return Given.known(heat_inside_w(drawn.high, outside_w), drawn.provenance, drawn.name)


def _poe_inlet(wired: Wired, place: Place) -> Node | None:
    return next(
        (node for node, port in wired.nodes_of(place) if port.poe is not None and port.poe.role == "load"), None
    )


def _of_class(wired: Wired, node: Node) -> Given:
    poe = wired.ports[node].poe
    name = f"ports.{node[1]}.poe.class"
    if poe is None or poe.poe_class is None:
        return Given.unknown(name)
    return Given.known(class_limits(poe.poe_class).device_w, "data sheet", name)


def _stands_outside(wired: Wired, place: Place) -> bool:
    """Tell whether a place works outside its case: it is of a kind that does, or it is fed through the panel."""
    if place.spec.kind in KINDS_IN_THE_OPEN:
        return True
    feeds = poe_feeds(wired)
    runs = [feed.run for feed in feeds.by_device.get(place.id, ())]
    runs += [hop.run for hop in _hops(wired, place) if hop.is_fed]
    if any(_passes_outside(wired, run) for run in runs):
        return True
    proposed = (source for device, source in plan(wired).placed.items() if device[0] == place.id)
    return any(wired.ports[feeds.free[source]].face == "outside" for source in proposed)


def _is_stowed(wired: Wired, place: Place) -> bool:
    """Tell whether a place with an inlet is wired to nothing, in a kit that says how its power is wired.

    An inlet on the outside is fed from there. A device that is linked to anything works in the case, even if nobody
    drew its mains lead; and where no power is drawn at all, nobody has said yet what works: then it counts.
    """
    nodes = [node for node, _ in wired.nodes_of(place)]
    inlets = power_feeds(wired).inlets.get(place.id, ())
    if not inlets or any(wired.is_linked(node) or wired.ports[node].face == "outside" for node in nodes):
        return False
    if any(source[0] == place.id for source in plan(wired).placed.values()):
        return False
    return any(hop.run.joints and wired.place_of(hop.load).kit is place.kit for hop in power_feeds(wired).hops.values())


def _hops(wired: Wired, place: Place) -> list[Hop]:
    return [power_feeds(wired).hops[node] for node in power_feeds(wired).inlets.get(place.id, ())]


def _passes_outside(wired: Wired, run: Run) -> bool:
    nodes = [node for pair in run.passed for node in pair]
    return any(wired.ports[node].face == "outside" for node in (*nodes, run.end))
