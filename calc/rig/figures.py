"""The sums that stand beside the findings: power, heat and weight of a whole kit."""

from collections.abc import Iterable
from math import inf
from typing import NotRequired, TypedDict

from calc.connectors import connector
from calc.given import Given, total
from calc.rig.behind import lines_of
from calc.rig.demand import demand, own_va
from calc.rig.heat_sources import heat_w
from calc.rig.kinds import PASSING_KINDS
from calc.rig.kit import Kit
from calc.rig.lines import line_a, line_load, scaled
from calc.rig.neutrals import neutral_a
from calc.rig.plug_map import placed_w
from calc.rig.poe_budget import budgets
from calc.rig.run_times import run_minutes
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


class FeedFigures(TypedDict):
    """What comes in where the mains come into a kit."""

    mains_a: float | None
    """Of the line that carries most. [A]"""
    neutral_a: NotRequired[float | None]
    """At worst; only where the feed has several lines and a neutral. [A]"""
    legs_a: NotRequired[dict[str, float | None]]
    """Line → its current; only where every outlet says which leg it hangs on. [A]"""


class RunTimeFigure(TypedDict):
    """How long something runs what is linked to it from its own battery, new and full."""

    position: int
    label: str
    minutes: float | None


class Figures(FeedFigures):
    """The sums that a kit's page shows; None where they are not known."""

    mains_va: float | None
    heat_w: float | None
    case_rise_celsius: float | None
    weight_kg: float | None
    poe: list[SourceFigure]
    run_times: list[RunTimeFigure]


def figures(wired: Wired, kit: Kit) -> Figures:
    """Return the figures of one kit, with the kits nested in it, as it is wired.

    Spares are not counted but weighed. A sum with an unknown part is not known.
    """
    own = own_places(wired, kit)
    mains_va = _settled(_mains_va(wired, own))
    return Figures(
        mains_va=mains_va,
        **_feed(wired, own, mains_va),
        heat_w=_settled([heat_w(wired, place) for place in own]),
        case_rise_celsius=_case_rise_celsius(wired, kit),
        weight_kg=_weight_kg(wired, kit),
        poe=_poe(wired, own),
        run_times=_run_times(wired, own),
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


def _feed(wired: Wired, own: list[Place], mains_va: float | None) -> FeedFigures:
    """Return the currents where mains come into the kit: through all inlets that nothing in it passes them on to.

    They are reckoned at the one through which most of it comes; where that has several lines, by their legs as well.
    """
    fed = power_feeds(wired)
    inlets = [node for place in own for node in fed.inlets.get(place.id, ()) if wired.ports[node].carries == "mains"]
    passing = {node[0] for node in inlets}
    feeds = [node for node in inlets if not (fed.hops[node].is_fed and fed.hops[node].source[0] in passing)]
    if mains_va is None or not feeds:
        return FeedFigures(mains_a=None)
    most = max(feeds, key=lambda node: demand(wired).of_inlet[node].high)
    volts, lines = supply_of(wired, fed.hops[most]).volts, lines_of(wired, most)
    made = FeedFigures(mains_a=_settled([line_a(wired, feeds, volts)]))
    kind = connector(wired.ports[most].connector)
    if len(lines) > 1 and (kind.pole is not None or kind.neutral):
        made["neutral_a"] = _settled([neutral_a(wired, most, volts)])
    loaded = line_load(wired, feeds)
    if len(lines) > 1 and loaded.is_told and len(loaded.each) == len(lines):
        each = [_settled([scaled(va, 1 / volts)]) for va in loaded.each]
        made["legs_a"] = dict(zip(lines, each, strict=True))
    return made


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


def _run_times(wired: Wired, own: list[Place]) -> list[RunTimeFigure]:
    """Return the run time of each battery, and of each supply with one, that feeds something."""
    return [
        RunTimeFigure(position=place.id, label=place.label, minutes=None if minutes is None else round(minutes, 1))
        for place in own
        for minutes in run_minutes(wired, place)
    ]
