"""What each source sets aside for what is linked to it, at both ends of what is not known."""

from dataclasses import dataclass
from math import inf

from calc.given import Given
from calc.poe import PoeDevice, allotted_w, class_limits, granted_class
from calc.poe.classes import MOST_CLASS_OVER_TWO_PAIRS
from calc.rig.cables import fewest_pairs
from calc.rig.inputs import Input, port_reading, reading
from calc.rig.wiring import Feed, Lead, Node, Place, Wired, leads, poe_feeds
from calc.vocabulary import ALLOTMENTS

TWO_PAIRS = 2
LEAST_CLASS = 1
MOST_CLASS = 8
"""What a powered port of unknown class may have, and a device of unknown class on it ask for."""
PASSING_EFFICIENCY = (0.8, 1.0)
"""Share of what a box takes in that it can pass on, where nobody has said. Common practice."""
NOISE_DIGITS = 6
"""Sums of tenths of a watt are rounded here, so that 15.4 three times is 46.2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One device at one powered port."""

    feed: Feed
    port_class: int
    """The highest class of the port; the highest there is where nobody has said."""
    classes: tuple[int, int]
    """Lowest and highest class that the device can be of."""
    draw_w: float | None
    """The most that it draws. [W]"""
    allotted: Given
    """What the source sets aside for it. [W]"""
    leads: tuple[Lead, ...]
    """The cables between, from the device on."""
    pairs: int
    """How many pairs are connected all the way, 2 or 4."""

    @property
    def granted(self) -> tuple[int | None, int | None]:
        """Lowest and highest class that it is granted; None: no power."""
        low, high = (granted_class(asked, self.port_class) for asked in self.classes)
        return low, high


@dataclass(frozen=True, slots=True, kw_only=True)
class Passing:
    """A box that lives on power over Ethernet and passes some of it on."""

    own_w: Given
    """What it draws itself. [W]"""
    efficiency: Given
    limit_w: Given
    """What may arrive at its inlets by the classes that they are granted. [W]"""

    @property
    def room_w(self) -> tuple[float, float]:
        """Least and most that it can pass on. [W]"""
        least = (self.limit_w.low - self.own_w.high) * self.efficiency.low
        most = (self.limit_w.high - self.own_w.low) * self.efficiency.high
        return max(least, 0.0), max(most, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """One source, and what links make it set aside."""

    place: Place
    budget_w: float | None
    """What its ports together may take by its sheet; None: not known. [W]"""
    passing: Passing | None
    """Set where it lives on power over Ethernet itself."""
    asks: tuple[Ask, ...]

    @property
    def low_w(self) -> float:
        return round(sum(ask.allotted.low for ask in self.asks), NOISE_DIGITS)

    @property
    def high_w(self) -> float:
        return round(sum(ask.allotted.high for ask in self.asks), NOISE_DIGITS)

    @property
    def is_known(self) -> bool:
        low, high = self.available_w
        return low == high

    @property
    def available_w(self) -> tuple[float, float]:
        """Least and most that its ports together may take. [W]"""
        by_sheet = (0.0, inf) if self.budget_w is None else (self.budget_w, self.budget_w)
        if self.passing is None:
            return by_sheet
        least, most = self.passing.room_w
        return (least if self.budget_w is None else min(by_sheet[0], least)), min(by_sheet[1], most)


def budgets(wired: Wired) -> dict[int, Budget]:
    """Return every source of power over Ethernet, by its place."""
    return wired.once(_budgets)


def _budgets(wired: Wired) -> dict[int, Budget]:
    feeds = poe_feeds(wired)
    found = {}
    for place_id in feeds.sources:
        place = wired.places[place_id]
        found[place_id] = Budget(
            place=place,
            budget_w=_budget_w(wired, place),
            passing=_passing(wired, place),
            asks=tuple(ask(wired, feed) for feed in feeds.by_source.get(place_id, ())),
        )
    return found


def _budget_w(wired: Wired, place: Place) -> float | None:
    """Return the budget of a source by its sheet or, where it has one powered port only, by the class of that port."""
    if place.spec.poe is not None and place.spec.poe.budget_w is not None:
        return place.spec.poe.budget_w
    sources = poe_feeds(wired).sources[place.id]
    poe = wired.ports[sources[0]].poe
    if len(sources) > 1 or poe is None or poe.poe_class is None or _has_poe_inlet(place):
        return None
    return class_limits(poe.poe_class).source_w


def _has_poe_inlet(place: Place) -> bool:
    return any(port.poe is not None and port.poe.role == "load" for port in place.spec.ports)


def ask(wired: Wired, feed: Feed) -> Ask:
    """Return what a device asks of the port that feeds it."""
    between = leads(wired, feed.run)
    pairs = fewest_pairs(wired, feed.run, between)
    port_class = port_class_of(wired, feed.source)
    if pairs == TWO_PAIRS:
        port_class = min(port_class, MOST_CLASS_OVER_TWO_PAIRS)
    draw_w = drawn_w(wired, feed.device)
    classes = device_classes(wired, feed.device, port_class, draw_w)
    allotted = allotted_between(wired, feed.source, feed.device, port_class, classes)
    return Ask(
        feed=feed,
        port_class=port_class,
        classes=classes,
        draw_w=draw_w,
        allotted=allotted,
        leads=between,
        pairs=pairs,
    )


def allotted_between(wired: Wired, source: Node, device: Node, port_class: int, classes: tuple[int, int]) -> Given:
    """Return what a source sets aside for a device of one class or another at one of its ports. [W]"""
    draw_w = drawn_w(wired, device)
    watts = [
        allotted_w(PoeDevice("", asked, draw_w), granted_class(asked, port_class), rule)
        for asked in classes
        for rule in allotment_rules(wired.place_of(source))
    ]
    known = "data sheet" if min(watts) == max(watts) else "unknown"
    return Given(min(watts), max(watts), known, f"ports.{device[1]}.poe.class")


def port_class_of(wired: Wired, source: Node) -> int:
    """Return the highest class of a powered port; where nobody has said, the highest there is."""
    poe = wired.ports[source].poe
    return MOST_CLASS if poe is None or poe.poe_class is None else poe.poe_class


def allotment_rules(place: Place) -> tuple[str, ...]:
    """Return the rules by which a source may count: its own, or every one where nobody has said."""
    sheet = place.spec.poe
    return ALLOTMENTS if sheet is None or sheet.allotment is None else (sheet.allotment,)


def device_classes(wired: Wired, device: Node, port_class: int, draw_w: float | None) -> tuple[int, int]:
    """Return the lowest and highest class that a device can be of, on a port of that class."""
    poe = wired.ports[device].poe
    stated = poe.poe_class if poe is not None else None
    if stated is not None:
        return stated, stated
    enough = (c for c in range(LEAST_CLASS, port_class) if draw_w is None or class_limits(c).device_w >= draw_w)
    return next(enough, port_class), port_class


def drawn_w(wired: Wired, device: Node) -> float | None:
    """Return the most that a device draws for itself, or None: not known, or it passes power on to others. [W]"""
    place = wired.place_of(device)
    if place.id in poe_feeds(wired).sources or place.spec.power is None:
        return None
    return place.spec.power.max_w


def _passing(wired: Wired, place: Place) -> Passing | None:
    feeds = poe_feeds(wired)
    inlets = [node for node, port in wired.nodes_of(place) if port.poe is not None and port.poe.role == "load"]
    if not inlets or place.id in feeds.powered_otherwise:
        return None
    sheet, own = place.spec.poe, place.spec.power.max_w if place.spec.power else None
    efficiency = sheet.efficiency if sheet else None
    return Passing(
        own_w=_given(place, "power.max_w", own, (0.0, inf)),
        efficiency=_given(place, "poe.efficiency", efficiency, PASSING_EFFICIENCY),
        limit_w=_arriving_w(wired, place, inlets),
    )


def _given(place: Place, name: str, value: float | None, otherwise: tuple[float, float]) -> Given:
    if value is None:
        return Given.unknown(name, low=otherwise[0], high=otherwise[1])
    return Given.known(value, place.spec.provenance.get(name, "data sheet"), name)


def _arriving_w(wired: Wired, place: Place, inlets: list[Node]) -> Given:
    """Return what may arrive at a box: by the ports that feed it, or by its own class while nothing does yet. [W]"""
    name = f"ports.{inlets[0][1]}.poe.class"
    fed = [(feed.device, port_class_of(wired, feed.source)) for feed in poe_feeds(wired).by_device.get(place.id, ())]
    low = high = 0.0
    for inlet, port_class in fed or [(inlets[0], MOST_CLASS)]:
        asked = device_classes(wired, inlet, port_class, None)
        least, most = (_device_w(granted_class(one, port_class)) for one in asked)
        low, high = low + least, high + most
    return Given(low, high, "data sheet" if low == high else "unknown", name)


def _device_w(granted: int | None) -> float:
    return 0.0 if granted is None else class_limits(granted).device_w


def ask_inputs(wired: Wired, asks: tuple[Ask, ...]) -> tuple[Input, ...]:
    """Return the numbers that the sum of what devices ask hangs on."""
    inputs = []
    for one in asks:
        inputs.append(port_reading(wired, one.feed.device, "poe", "poe_class"))
        inputs.append(port_reading(wired, one.feed.source, "poe", "poe_class"))
        if one.draw_w is not None:
            inputs.append(reading(wired.place_of(one.feed.device), "power", "max_w"))
    return tuple(inputs)
