"""Power over Ethernet at the device: the class it is granted, and whether anything feeds it."""

from collections.abc import Iterator

from calc.checking.asking import ask_length
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.given import total
from calc.poe import PoeChannel, PoeLink, PoePort, class_limits, granted_class, link, runs_on
from calc.rig.cables import DATA, pairset_ohm
from calc.rig.inputs import Input, port_reading
from calc.rig.plug_map import as_device, plan, runs_reduced_on
from calc.rig.poe_budget import LEAST_CLASS, Ask, allotment_rules, budgets, port_class_of
from calc.rig.subjects import Subject, about, about_port, name_of
from calc.rig.wiring import Lead, Node, Wired, follow, has_power, poe_feeds

IEEE = "IEEE 802.3 cl. 33, 145"
HOT_CORD_C = 45.0
"""Copper of a cord in the sun, assumed for every run. Common practice. [°C]"""


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
    asked_w = class_limits(asked).device_w
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
            compared=Compared(low=_granted_w(asked, LEAST_CLASS), high=asked_w, unit="W", limit=asked_w, at_least=True),
            inputs=inputs,
        )
        return
    granted_w = _granted_w(asked, ask.port_class)
    if granted is None or granted_w >= asked_w:
        return
    runs = runs_on(asked, granted, runs_reduced_on(wired, device, asked))
    advice = "Plug {0} into a port of class {1}" if runs is False else "Expect less of {0} or plug it into class {1}"
    yield judged(
        about_port(wired, device),
        f"{advice.format(name_of(wired, device), asked)}: {name_of(wired, source)} gives it {granted_w:g} W "
        f"where it asks for {asked_w:g} W.",
        against(granted_w, asked_w, "W", at_least=True),
        severity="stop" if runs is False else "caution",
        inputs=inputs,
    )


def _granted_w(asked: int, port_class: int) -> float:
    """Return what may arrive at a device of one class on a port of another. [W]"""
    granted = granted_class(asked, port_class)
    return 0.0 if granted is None else class_limits(granted).device_w


def _reduced_by_plugging(wired: Wired) -> Iterator[Draft]:
    """Say once that a device without a link does not run on every port that it may land in."""
    feeds = poe_feeds(wired)
    classes = {port_class_of(wired, source) for source in feeds.free}
    for node in plan(wired).placed:
        poe = wired.ports[node].poe
        asked = poe.poe_class if poe is not None else None
        if asked is None:
            continue
        reduced = runs_reduced_on(wired, node, asked)
        if any(runs_on(asked, granted_class(asked, port_class), reduced) is False for port_class in classes):
            yield Draft(
                subject=about_port(wired, node),
                message=f"Plug by the plug map: {name_of(wired, node)} does not run on every free port.",
                inputs=(
                    port_reading(wired, node, "poe", "poe_class"),
                    Input(name="lowest class of a free port", value=min(classes)),
                ),
            )
            return


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
        for node in plan(wired).unproven[:1]:
            yield undecided(
                about_port(wired, node),
                f"Draw the connection of {name_of(wired, node)}: a place for it was not found, and that there is none "
                "could not be worked out.",
                unlocks="ports",
            )
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


@check("poe-volts-low", "stop", IEEE)
def poe_volts_low(wired: Wired) -> Iterator[Draft]:
    """The run drops so much, with hot copper, that too few volts or watts arrive at the device."""
    for budget in budgets(wired).values():
        for ask in budget.asks:
            if ask.granted[1] is not None:
                yield from _volts(wired, ask)


def _volts(wired: Wired, ask: Ask) -> Iterator[Draft]:
    between = ask.leads
    ohm = total((pairset_ohm(lead) for lead in between), "cable.length_m")
    worst = _arriving(wired, ask, ask.classes[1], ohm.high)
    if _arrives(worst):
        return
    node = ask.feed.device
    inputs = (
        port_reading(wired, node, "poe", "poe_class"),
        port_reading(wired, ask.feed.source, "poe", "poe_class"),
        Input(name="copper temperature", value=HOT_CORD_C, provenance="assumed"),
        *DATA.inputs(wired, between),
    )
    best = _arriving(wired, ask, ask.classes[0], ohm.low)
    if _arrives(best):
        yield _volts_undecided(wired, ask, between, inputs, _volts_between(worst, best))
        return
    best_v = worst.device_v if ohm.settled else best.device_v
    yield judged(
        about_port(wired, node),
        f"Shorten the run to {name_of(wired, node)} or use thicker copper: {worst.device_v:.1f} V arrive "
        f"with copper at {HOT_CORD_C:g} °C, where at least {worst.min_device_v:.1f} V are needed.",
        Compared(low=worst.device_v, high=best_v, unit="V", limit=worst.min_device_v, at_least=True),
        value=worst.device_v,
        inputs=inputs,
    )


def _arriving(wired: Wired, ask: Ask, poe_class: int, ohm: float) -> PoeLink:
    asked = as_device(wired, ask.feed.device, poe_class)
    return link(asked, PoePort("", ask.port_class), PoeChannel(ohm, HOT_CORD_C, ask.pairs))


def _volts_between(worst: PoeLink, best: PoeLink) -> Compared | None:
    """Return the volts at a device at both ends of what is not known; None where they are not what decides."""
    if worst.min_device_v != best.min_device_v or worst.device_v >= worst.min_device_v:
        return None
    return Compared(low=worst.device_v, high=best.device_v, unit="V", limit=worst.min_device_v, at_least=True)


def _volts_undecided(
    wired: Wired, ask: Ask, between: tuple[Lead, ...], inputs: tuple[Input, ...], compared: Compared | None
) -> Draft:
    node = ask.feed.device
    decides = f"enough volts arrive at {name_of(wired, node)}"
    return ask_length(wired, between, decides, inputs, compared) or undecided(
        about_port(wired, node),
        f"Enter the class of {name_of(wired, node)}: only then is it known whether {decides}.",
        unlocks=f"ports.{node[1]}.poe.class",
        compared=compared,
        inputs=inputs,
    )


def _arrives(answer: PoeLink) -> bool:
    """Tell whether the run itself is good enough; what the port grants is another question."""
    enough_w = answer.reduced or answer.margin_w >= 0
    return enough_w and round(answer.device_v - answer.min_device_v, 6) >= 0


@check("poe-kind-mismatch", "stop", IEEE)
def poe_kind_mismatch(wired: Wired) -> Iterator[Draft]:
    """Fixed volts meet a negotiated device or a foreign port, or a device of fixed volts a negotiated source."""
    for node, port in wired.ports.items():
        if port.carries != "ethernet" or port.poe is not None or port.power is None:
            continue
        run = follow(wired, node, has_power)
        if run.ending != "port":
            continue
        far = wired.ports[run.end]
        if port.power.role == "source" and (far.power is None or far.power.role != "load"):
            yield _kinds(wired, node, run.end, "fixed volts go out of it, and the other end does not take them")
        elif port.power.role == "load" and far.poe is not None and far.poe.role == "source":
            yield _kinds(wired, run.end, node, "it gives no power before it is asked, and the other end never asks")


def _kinds(wired: Wired, source: Node, other: Node, why: str) -> Draft:
    return Draft(
        subject=about_port(wired, other),
        message=f"Unplug {name_of(wired, other)} from {name_of(wired, source)}: {why}.",
        inputs=(
            Input(name=name_of(wired, source), value=_kind(wired, source)),
            Input(name=name_of(wired, other), value=_kind(wired, other)),
        ),
    )


def _kind(wired: Wired, node: Node) -> str:
    port = wired.ports[node]
    if port.poe is not None:
        return f"negotiated {port.poe.role}"
    return f"fixed-voltage {port.power.role}" if port.power is not None else f"{port.carries}, no power"
