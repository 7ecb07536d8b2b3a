"""Power over Ethernet: what each source sets aside against its own budget, never pooled."""

from collections.abc import Iterator

from calc.checking.asking import field_words
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.given import widest
from calc.poe import granted_class
from calc.rig.demand import between
from calc.rig.inputs import Input, port_reading, reading
from calc.rig.plug_map import plan
from calc.rig.poe_budget import Ask, Budget, Passing, ask_inputs, budgets
from calc.rig.subjects import about, about_port, name_of
from calc.rig.wiring import Node, Wired, poe_feeds

IEEE = "IEEE 802.3 cl. 33, 145"


@check("poe-budget-exceeded", ("stop", "caution"), IEEE)
def poe_budget_exceeded(wired: Wired) -> Iterator[Draft]:
    """A source sets aside more than its own budget: stop by drawn links, caution by the worst plugging of the rest."""
    for budget in budgets(wired).values():
        if budget.asks and budget.passing is None:
            yield from _by_links(wired, budget)
        if budget.asks and budget.passing is not None:
            yield from _passed_on(wired, budget, budget.passing)
            if budget.budget_w is not None:
                yield from _by_links(wired, budget)
    yield from _by_worst_plugging(wired)


def _by_links(wired: Wired, budget: Budget) -> Iterator[Draft]:
    limit_w = budget.budget_w
    subject, inputs = about(budget.place), _budget_inputs(wired, budget)
    if limit_w is None:
        yield undecided(
            subject,
            f"Enter the power budget of {budget.place.path}: what is linked to it takes up to {budget.high_w:g} W.",
            unlocks="poe.budget_w",
            compared=_set_aside(budget, None),
            inputs=inputs,
        )
    elif budget.low_w > limit_w:
        relief, compared = _relief(wired, budget, limit_w), _set_aside(budget, limit_w)
        yield judged(subject, relief, compared, value=budget.high_w, inputs=inputs)
    elif budget.high_w > limit_w:
        yield _budget_undecided(wired, budget, limit_w, inputs)


def _set_aside(budget: Budget, limit_w: float | None) -> Compared:
    return Compared(low=budget.low_w, high=budget.high_w, unit="W", limit=limit_w)


def _budget_inputs(wired: Wired, budget: Budget) -> tuple[Input, ...]:
    own = (reading(budget.place, "poe", "budget_w"), reading(budget.place, "poe", "allotment"))
    return own + ask_inputs(wired, budget.asks)


def _relief(wired: Wired, budget: Budget, limit_w: float) -> str:
    """Return what to do about an overloaded source: which device to move where, or how much to take off."""
    last = _goes_dark(budget, limit_w)
    device, hole = name_of(wired, last.feed.device), name_of(wired, last.feed.source)
    why = (
        f"{budget.place.path} sets aside {budget.high_w:g} W of {limit_w:g} W, and port {last.feed.source[1]} goes dark"
    )
    other = _room_elsewhere(wired, last)
    if other is not None:
        return f"Move {device} from {hole} to {name_of(wired, other)}: {why}."
    return f"Feed {device} from another source: {why}."


def _goes_dark(budget: Budget, limit_w: float) -> Ask:
    """Return the device that a source feeding its ports in their order can no longer feed."""
    taken_w = 0.0
    for ask in budget.asks:
        taken_w = round(taken_w + ask.allotted.high, 6)
        if taken_w > limit_w:
            return ask
    return budget.asks[-1]


def _room_elsewhere(wired: Wired, ask: Ask) -> Node | None:
    """Return where a free port of another source can take the device as it is."""
    for source, hole in poe_feeds(wired).free.items():
        other = budgets(wired)[source[0]]
        poe = wired.ports[source].poe
        enough = (
            poe is not None
            and poe.poe_class is not None
            and granted_class(ask.classes[1], poe.poe_class) in ask.granted
        )
        if source[0] != ask.feed.source[0] and enough and other.high_w + ask.allotted.high <= other.available_w[0]:
            return hole
    return None


def _budget_undecided(wired: Wired, budget: Budget, limit_w: float, inputs: tuple[Input, ...]) -> Draft:
    """Return the finding that names the one number on which the budget hangs."""
    range_words = f"{budget.place.path} sets aside {budget.low_w:g} to {budget.high_w:g} W of {limit_w:g} W"
    unclassed = [ask for ask in budget.asks if ask.classes[0] != ask.classes[1]]
    if not unclassed:
        return undecided(
            about(budget.place),
            f"Say how {budget.place.path} counts its ports, by class or by draw: {range_words}.",
            unlocks="poe.allotment",
            compared=_set_aside(budget, limit_w),
            inputs=inputs,
        )
    widest_ask = max(unclassed, key=lambda ask: ask.allotted.high - ask.allotted.low)
    device = widest_ask.feed.device
    return undecided(
        about_port(wired, device),
        f"Enter the class of {name_of(wired, device)}: {range_words}.",
        unlocks=f"ports.{device[1]}.poe.class",
        compared=_set_aside(budget, limit_w),
        inputs=inputs,
    )


def _passed_on(wired: Wired, budget: Budget, passing: Passing) -> Iterator[Draft]:
    """Judge a box that passes on what it is fed: its own draw and what it passes on, against what may arrive."""
    low_w = passing.own_w.low + budget.low_w / passing.efficiency.high
    high_w = passing.own_w.high + budget.high_w / passing.efficiency.low
    needed = between(low_w, high_w, "assumed", "power.max_w")
    place, limit = budget.place, passing.limit_w
    inputs = (
        reading(place, "power", "max_w"),
        reading(place, "poe", "efficiency"),
        Input(name=f"{place.path}: may arrive", value=limit.low, provenance=limit.provenance),
        *ask_inputs(wired, budget.asks),
    )
    if low_w > limit.high:
        value_w = high_w if passing.own_w.settled else low_w
        last = budget.asks[-1].feed
        yield judged(
            about(place),
            f"Feed {name_of(wired, last.device)} from elsewhere, or {place.path} from a higher class: it needs "
            f"{value_w:.1f} W for itself and what it passes on, {limit.high:g} W may arrive, and port {last.source[1]} "
            "goes dark.",
            against(needed, limit.high, "W"),
            value=value_w,
            inputs=inputs,
        )
    elif high_w > limit.low:
        unknown = widest((passing.own_w, passing.efficiency, limit)) or passing.efficiency
        yield undecided(
            about(place),
            f"Enter {field_words(unknown.name)} of {place.path}: only then is it known whether {limit.low:g} W are "
            "enough for it and what it passes on.",
            unlocks=unknown.name,
            compared=against(needed, limit, "W"),
            inputs=inputs,
        )


def _by_worst_plugging(wired: Wired) -> Iterator[Draft]:
    worst = plan(wired).worst
    if worst is None or plan(wired).any_order_ok:
        return
    place = worst.budget.place
    names = ", ".join(name_of(wired, node) for node in worst.devices)
    yield judged(
        about(place),
        f"Plug by the plug map: with {names} all on {place.path} it sets aside {worst.value_w:g} W of "
        f"{worst.limit_w:g} W, and port {worst.dark[1]} goes dark.",
        against(worst.value_w, worst.limit_w, "W"),
        severity="caution",
        inputs=(
            *_budget_inputs(wired, worst.budget),
            *(port_reading(wired, node, "poe", "poe_class") for node in worst.devices),
        ),
    )
