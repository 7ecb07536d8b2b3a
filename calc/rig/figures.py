"""The sums that stand beside the findings: power, heat and weight of a whole kit."""

from collections.abc import Iterable
from math import inf
from typing import TypedDict

from calc.given import Given, total
from calc.rig.demand import amperes, demand, own_va
from calc.rig.heat_sources import heat_w
from calc.rig.kinds import PASSING_KINDS
from calc.rig.kit import Kit
from calc.rig.plug_map import placed_w
from calc.rig.poe_budget import budgets
from calc.rig.supply import supply_of
from calc.rig.warm_cases import temperatures, warm_cases
from calc.rig.weights import known_kg, parts_of
from calc.rig.wiring import Place, Wired, own_places, power_feeds

DECIMALS = 3
NOTHING = Given.known(0.0, "data sheet", "poe.budget_w")


class SourceFigure(TypedDict):
    """One source of power over Ethernet: its budget and what is allotted of it."""

    position: int
    label: str
    budget_w: float | None
    allotted_w: float | None


class Figures(TypedDict):
    """The sums that a kit's page shows; None where they are not known."""

    mains_va: float | None
    mains_a: float | None
    heat_w: float | None
    case_rise_celsius: float | None
    weight_kg: float | None
    poe: list[SourceFigure]


def figures(wired: Wired, kit: Kit) -> Figures:
    """Return the figures of one kit, with the kits nested in it, as it is wired.

    Spares are not counted but weighed. A sum with an unknown part is not known.
    """
    own = own_places(wired, kit)
    mains_va = _settled(_mains_va(wired, own))
    return Figures(
        mains_va=mains_va,
        mains_a=_mains_a(wired, own, mains_va),
        heat_w=_settled([heat_w(wired, place) for place in own]),
        case_rise_celsius=_case_rise_celsius(wired, kit),
        weight_kg=_weight_kg(wired, kit),
        poe=_poe(wired, own),
    )


def _mains_va(wired: Wired, own: list[Place]) -> list[Given]:
    """Return what everything with a mains inlet draws for itself, each counted once. [VA]"""
    inlets = power_feeds(wired).inlets
    first = (
        (place, next((node for node in inlets.get(place.id, ()) if wired.ports[node].carries == "mains"), None))
        for place in own
        if place.spec.kind not in PASSING_KINDS
    )
    return [own_va(wired, place, node) for place, node in first if node is not None]


def _mains_a(wired: Wired, own: list[Place], mains_va: float | None) -> float | None:
    """Return the current of each line at the kit's own feed: the inlet through which most of it comes. [A]"""
    hops = power_feeds(wired).hops
    inlets = [
        node
        for place in own
        for node in power_feeds(wired).inlets.get(place.id, ())
        if wired.ports[node].carries == "mains"
    ]
    if mains_va is None or not inlets:
        return None
    feed = max(inlets, key=lambda node: demand(wired).of_inlet[node].high)
    volts, coupler = supply_of(wired, hops[feed]).volts, wired.ports[feed].connector
    return round(amperes(Given.known(mains_va, "data sheet", ""), volts, coupler).high, DECIMALS)


def _settled(parts: Iterable[Given]) -> float | None:
    """Return the sum of the parts, stated or assumed at worst; None if any part is not known, or if there is none."""
    listed = list(parts)
    summed = total(listed, "")
    return None if not listed or _is_open(summed) else round(summed.high, DECIMALS)


def _is_open(given: Given) -> bool:
    """Tell whether a number is not known as one; of an assumed range, the worse end stands."""
    return given.high == inf or (not given.settled and given.provenance == "unknown")


def _case_rise_celsius(wired: Wired, kit: Kit) -> float | None:
    """Return how much warmer than its surroundings the kit's own case gets, with its fans. [K]"""
    own = next((warm for warm in warm_cases(wired) if warm.kit is kit), None)
    if own is None or _is_open(own.heat_w) or own.kit.ambient_celsius is None:
        return None
    reached = temperatures(own, own.heat_w.high)
    return None if reached is None else round(reached.running_c - own.kit.ambient_celsius, DECIMALS)


def _weight_kg(wired: Wired, kit: Kit) -> float | None:
    """Return the weight of everything in the kit, planned cables of links included. [kg]"""
    parts = parts_of(wired, kit)
    return known_kg(parts) if parts and all(part.spec.weight_kg is not None for part in parts) else None


def _poe(wired: Wired, own: list[Place]) -> list[SourceFigure]:
    """Return each source of power over Ethernet with what it sets aside: for drawn links, and by the plug map."""
    planned, ids = placed_w(wired), {place.id for place in own}
    return [
        SourceFigure(
            position=place_id,
            label=budget.place.label,
            budget_w=round(budget.available_w[0], DECIMALS) if budget.is_known else None,
            allotted_w=_settled([*(ask.allotted for ask in budget.asks), planned.get(place_id, NOTHING)]),
        )
        for place_id, budget in budgets(wired).items()
        if place_id in ids
    ]
