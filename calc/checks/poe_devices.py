"""Power over Ethernet at the device: the class it is granted, and whether anything feeds it."""

from collections.abc import Iterator

from calc.checks.drafts import Draft, about, about_port, name_of, port_reading, undecided
from calc.checks.findings import Subject
from calc.checks.plug_map import plan
from calc.checks.poe_budget import Ask, allotment_rules, budgets
from calc.checks.registry import check
from calc.poe import class_limits, runs_on
from calc.wiring import Node, Wired, poe_feeds

IEEE = "IEEE 802.3 cl. 33, 145"


@check("poe-reduced", ("caution", "stop"), IEEE)
def poe_reduced(wired: Wired) -> Iterator[Draft]:
    """A device's class is above what its port grants: caution, stop if it cannot run on that."""
    for budget in budgets(wired).values():
        for ask in budget.asks:
            yield from _reduced(wired, ask)
    yield from _reduced_by_plugging(wired)


def _reduced(wired: Wired, ask: Ask) -> Iterator[Draft]:
    device, source = ask.feed.device, ask.feed.source
    asked, granted = ask.classes[1], ask.granted[1]
    device_poe, port_poe = wired.ports[device].poe, wired.ports[source].poe
    if device_poe is None or port_poe is None or device_poe.poe_class is None:
        return
    inputs = (
        port_reading(wired, device, "poe", "poe_class"),
        port_reading(wired, device, "poe", "reduced_class_ok"),
        port_reading(wired, source, "poe", "poe_class"),
    )
    if port_poe.poe_class is None:
        yield undecided(
            about_port(wired, source),
            f"Enter the class of {name_of(wired, source)}: {name_of(wired, device)} asks for class {asked}.",
            unlocks=f"ports.{source[1]}.poe.class",
            inputs=inputs,
        )
        return
    asked_w = class_limits(asked).device_w
    granted_w = 0.0 if granted is None else class_limits(granted).device_w
    if granted is None or granted_w >= asked_w:
        return
    runs = runs_on(asked, granted, device_poe.reduced_class_ok)
    advice = "Plug {0} into a port of class {1}" if runs is False else "Expect less of {0} or plug it into class {1}"
    yield Draft(
        subject=about_port(wired, device),
        severity="stop" if runs is False else "caution",
        value=granted_w,
        limit=asked_w,
        margin=granted_w - asked_w,
        unit="W",
        message=f"{advice.format(name_of(wired, device), asked)}: {name_of(wired, source)} gives it {granted_w:g} W "
        f"where it asks for {asked_w:g} W.",
        inputs=inputs,
    )


def _reduced_by_plugging(wired: Wired) -> Iterator[Draft]:
    """Say once that a free port gives too little for a device that may land in it."""
    made = plan(wired)
    if made.any_order_ok is not False or made.worst is not None or made.starved or made.doubtful or not made.placed:
        return
    hungry = max(made.placed, key=lambda node: (port_reading(wired, node, "poe", "poe_class").value or 0, node))
    yield Draft(
        subject=about_port(wired, hungry),
        message=f"Plug by the plug map: {name_of(wired, hungry)} does not run on every free port.",
        inputs=(port_reading(wired, hungry, "poe", "poe_class"),),
    )


@check("poe-starved", ("stop", "caution"), IEEE)
def poe_starved(wired: Wired) -> Iterator[Draft]:
    """A device has no source: its link leads to none, its port grants nothing, or no free port is left for it."""
    for run in poe_feeds(wired).misfed:
        if wired.ports[run.end].power is None or wired.ports[run.end].carries != "ethernet":
            yield _starved(wired, run.start, f"{name_of(wired, run.end)}, where it is linked to, gives no power")
    for budget in budgets(wired).values():
        for ask in budget.asks:
            if ask.granted == (None, None):
                yield _starved(
                    wired, ask.feed.device, f"{name_of(wired, ask.feed.source)} grants class {ask.port_class} at most"
                )
    if not _misses_a_source(wired):
        for node in plan(wired).starved:
            yield _starved(wired, node, "no free powered port has enough left for it")
        yield from _doubtful(wired)


def _starved(wired: Wired, node: Node, why: str) -> Draft:
    place = wired.place_of(node)
    return Draft(
        subject=about_port(wired, node),
        severity="caution" if place.position.role == "optional" else "stop",
        message=f"Give {name_of(wired, node)} a powered port: {why}.",
        inputs=(port_reading(wired, node, "poe", "poe_class"),),
    )


def _misses_a_source(wired: Wired) -> bool:
    """Tell whether a source is planned in a position that is empty: then nobody can say what is left."""
    return any(
        port.poe is not None and port.poe.role == "source"
        for position in wired.empty.values()
        for port in position.spec.ports
    )


def _doubtful(wired: Wired) -> Iterator[Draft]:
    """Say which number decides about a device for which something may be left."""
    made = plan(wired)
    if not made.doubtful and not (made.any_order_ok is None and made.placed):
        return
    deciding = _deciding(wired)
    if deciding is not None:
        subject, unlocks, words = deciding
        yield undecided(
            subject,
            f"Enter {words}: only then is it known whether every device finds power, and in which hole.",
            unlocks=unlocks,
        )


def _deciding(wired: Wired) -> tuple[Subject, str, str] | None:
    """Return the missing number that decides where devices without a link find power."""
    feeds = poe_feeds(wired)
    for node in feeds.hanging:
        poe = wired.ports[node].poe
        if poe is not None and poe.poe_class is None:
            return about_port(wired, node), f"ports.{node[1]}.poe.class", f"the class of {name_of(wired, node)}"
    for place_id in dict.fromkeys(node[0] for node in feeds.free):
        budget = budgets(wired)[place_id]
        place, rules = budget.place, allotment_rules(budget.place)
        if budget.budget_w is None and budget.passing is None:
            return about(place), "poe.budget_w", f"the power budget of {place.path}"
        if budget.passing is not None and not budget.passing.own_w.settled:
            return about(place), "power.max_w", f"the own draw of {place.path}"
        if len(rules) > 1:
            return about(place), "poe.allotment", f"how {place.path} counts its ports, by class or by draw"
    return None
