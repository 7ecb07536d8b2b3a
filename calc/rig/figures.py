"""The sums that stand beside the findings: power, heat and weight of a whole kit."""

from collections.abc import Iterable
from math import inf
from typing import TypedDict

from calc.given import Given, total
from calc.rig.demand import NOMINAL_V, own_va
from calc.rig.heat_sources import heat_w
from calc.rig.kinds import PASSING_KINDS
from calc.rig.plug_map import placed_w
from calc.rig.poe_budget import budgets
from calc.rig.warm_cases import temperatures, warm_cases
from calc.rig.wiring import Wired, power_feeds

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


def figures(wired: Wired) -> Figures:
    """Return the figures of a wired kit, spares not counted but weighed; a sum with an unknown part is not known."""
    mains_va = _settled(_mains_va(wired))
    volts = NOMINAL_V[wired.kits[0].rules] if wired.kits else None
    return Figures(
        mains_va=mains_va,
        mains_a=None if mains_va is None or volts is None else round(mains_va / volts, DECIMALS),
        heat_w=_settled([heat_w(wired, place) for place in wired.places.values()]),
        case_rise_celsius=_case_rise_celsius(wired),
        weight_kg=_weight_kg(wired),
        poe=_poe(wired),
    )


def _mains_va(wired: Wired) -> list[Given]:
    """Return what everything with a mains inlet draws for itself, each counted once. [VA]"""
    first = {
        place_id: next((node for node in nodes if wired.ports[node].carries == "mains"), None)
        for place_id, nodes in power_feeds(wired).inlets.items()
    }
    return [
        own_va(wired, wired.places[place_id], node)
        for place_id, node in first.items()
        if node is not None and wired.places[place_id].spec.kind not in PASSING_KINDS
    ]


def _settled(parts: Iterable[Given]) -> float | None:
    """Return the sum of the parts, stated or assumed; None if any part is open, or if there is none."""
    listed = list(parts)
    summed = total(listed, "")
    return round(summed.high, DECIMALS) if listed and summed.settled and summed.high < inf else None


def _case_rise_celsius(wired: Wired) -> float | None:
    """Return how much warmer than its surroundings the kit's own case gets, with its fans. [K]"""
    own = next((warm for warm in warm_cases(wired) if any(warm.kit is kit for kit in wired.kits)), None)
    if own is None or not own.heat_w.settled or own.kit.ambient_celsius is None:
        return None
    reached = temperatures(own, own.heat_w.high)
    return None if reached is None else round(reached.running_c - own.kit.ambient_celsius, DECIMALS)


def _weight_kg(wired: Wired) -> float | None:
    """Return the weight of everything in the kit, planned cables of links included. [kg]"""
    weights = [place.spec.weight_kg for place in wired.places.values()]
    weights += [joint.cable.weight_kg for joint in wired.joints if joint.cable and joint.link.cable is None]
    known = [weight for weight in weights if weight is not None]
    return round(sum(known), DECIMALS) if known and len(known) == len(weights) else None


def _poe(wired: Wired) -> list[SourceFigure]:
    """Return each source of power over Ethernet with what it sets aside: for drawn links, and by the plug map."""
    planned = placed_w(wired)
    return [
        SourceFigure(
            position=place_id,
            label=budget.place.label,
            budget_w=round(budget.available_w[0], DECIMALS) if budget.is_known else None,
            allotted_w=_settled([*(ask.allotted for ask in budget.asks), planned.get(place_id, NOTHING)]),
        )
        for place_id, budget in budgets(wired).items()
    ]
