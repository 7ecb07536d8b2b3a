"""What goes in which hole: devices that no link fixes, over the powered ports that are free."""

from dataclasses import dataclass

from calc.given import Given, total
from calc.poe import PoeAllocation, PoeDevice, PoePort, PoeSource, allocate, allotted_w, class_limits, granted_class
from calc.rig.poe_budget import (
    MOST_CLASS,
    Budget,
    allotment_rules,
    allotted_between,
    budgets,
    device_classes,
    drawn_w,
    port_class_of,
)
from calc.rig.wiring import Node, Wired, poe_feeds

PRIORITY = {"required": 1, "case": 1, "optional": 0}


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstPlugging:
    """The source that comes off worst when the devices are plugged in the worst way."""

    budget: Budget
    value_w: float
    limit_w: float
    devices: tuple[Node, ...]
    """Those that then sit on it."""
    dark: Node
    """The port of which the source can no longer feed the device."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Where the devices without a link go."""

    placed: dict[Node, Node]
    """Device → powered port, at the worst of what is not known."""
    starved: tuple[Node, ...]
    """Devices for which nothing is left, whatever the missing numbers are."""
    doubtful: tuple[Node, ...]
    """Devices for which something is left only if a missing number is good enough."""
    unproven: tuple[Node, ...]
    """Devices for which no place was found before the search ended: there may be one."""
    any_order_ok: bool | None
    worst_w: float | None
    """Watts left on the worst-off source under the worst plugging, links included; None: not known. [W]"""
    worst: WorstPlugging | None
    """Set where that is negative."""


def plan(wired: Wired) -> Plan:
    """Return where the devices without a link go, and what the worst way of plugging them would do."""
    return wired.once(_plan)


def _plan(wired: Wired) -> Plan:
    bench = _Bench(wired)
    worst = bench.answer(at_worst=True)
    best = bench.answer(at_worst=False) if bench.has_unknowns() else worst
    without_place = tuple(bench.ends[name] for name in best.unplaced)
    doubtful = tuple(bench.ends[name] for name in worst.unplaced if name not in best.unplaced)
    least = bench.worst_plugging() if not worst.unplaced and bench.hanging else None
    left_w = bench.least_left_w(least)
    in_any_order = worst.any_order_ok if worst.any_order_ok == best.any_order_ok else None
    return Plan(
        placed={bench.ends[device]: bench.ends[port] for device, (_, port) in worst.placed.items()},
        starved=without_place if best.most_proven else (),
        unproven=() if best.most_proven else without_place,
        doubtful=doubtful,
        # No order mends a source that its drawn links overload already.
        any_order_ok=False if left_w is not None and left_w < 0 else in_any_order,
        worst=least if least is not None and least.value_w > least.limit_w else None,
        worst_w=left_w,
    )


def placed_w(wired: Wired) -> dict[int, Given]:
    """Return what each source sets aside for the devices that the plan puts on it, by its place. [W]"""
    parts: dict[int, list[Given]] = {}
    for node, source in plan(wired).placed.items():
        port_class = port_class_of(wired, source)
        classes = device_classes(wired, node, port_class, drawn_w(wired, node))
        parts.setdefault(source[0], []).append(allotted_between(wired, source, node, port_class, classes))
    return {place_id: total(given, "poe.budget_w") for place_id, given in parts.items()}


class _Bench:
    """The free ports and the devices to put there, with every missing number at its worst or at its best."""

    def __init__(self, wired: Wired) -> None:
        self.wired = wired
        feeds = poe_feeds(wired)
        self.hanging = feeds.hanging
        self.free: dict[int, list[Node]] = {}
        for node in feeds.free:
            self.free.setdefault(node[0], []).append(node)
        self.ends = {_name(node): node for node in (*feeds.free, *feeds.hanging)}
        self.most_class = max((port_class_of(wired, node) for node in feeds.free), default=MOST_CLASS)

    def has_unknowns(self) -> bool:
        sources = (budgets(self.wired)[place_id] for place_id in self.free)
        return any(not b.is_known or b.low_w != b.high_w or len(allotment_rules(b.place)) > 1 for b in sources) or any(
            low != high for low, high in map(self._classes, self.hanging)
        )

    def answer(self, *, at_worst: bool) -> PoeAllocation:
        devices = [self._device(node, at_worst=at_worst) for node in self.hanging]
        return allocate([self._source(place_id, at_worst=at_worst) for place_id in self.free], devices)

    def _source(self, place_id: int, *, at_worst: bool) -> PoeSource:
        budget = budgets(self.wired)[place_id]
        ports = [PoePort(_name(node), port_class_of(self.wired, node)) for node in self.free[place_id]]
        left_w = budget.available_w[0] - budget.high_w if at_worst else budget.available_w[1] - budget.low_w
        all_ports_w = sum(class_limits(port.max_class).source_w for port in ports)
        rules = allotment_rules(budget.place)
        return PoeSource(
            name=_name((place_id, "")),
            budget_w=max(min(left_w, all_ports_w), 0.0),
            ports=ports,
            allotment=rules[0] if at_worst else rules[-1],
        )

    def _device(self, node: Node, *, at_worst: bool) -> PoeDevice:
        return as_device(self.wired, node, self._classes(node)[1 if at_worst else 0])

    def _classes(self, node: Node) -> tuple[int, int]:
        return device_classes(self.wired, node, self.most_class, drawn_w(self.wired, node))

    def worst_plugging(self) -> WorstPlugging | None:
        """Return the source that comes off worst, when its free ports get whatever asks most of it.

        One that its links overload already is another finding.
        """
        judged = [budgets(self.wired)[place_id] for place_id in self.free]
        on_each = [self._most_on(b.place.id) for b in judged if b.is_known and b.high_w <= b.available_w[0]]
        return min(on_each, key=lambda worst: worst.limit_w - worst.value_w, default=None)

    def _most_on(self, place_id: int) -> WorstPlugging:
        budget = budgets(self.wired)[place_id]
        rule = allotment_rules(budget.place)[0]
        holes = sorted(self.free[place_id], key=lambda node: -port_class_of(self.wired, node))
        devices = sorted(
            (self._device(node, at_worst=True) for node in self.hanging), key=lambda one: -_source_w(one, rule)
        )
        value_w, limit_w, dark = budget.high_w, budget.available_w[0], holes[0]
        plugged = list(zip(holes, devices, strict=False))
        for hole, one in plugged:
            before_w = value_w
            value_w = round(value_w + allotted_w(one, granted_class(one.poe_class, self._class(hole)), rule), 6)
            dark = hole if before_w <= limit_w < value_w else dark
        on_it = tuple(self.ends[one.name] for _, one in plugged)
        return WorstPlugging(budget=budget, value_w=value_w, limit_w=limit_w, devices=on_it, dark=dark)

    def _class(self, source: Node) -> int:
        return port_class_of(self.wired, source)

    def least_left_w(self, worst: WorstPlugging | None) -> float | None:
        """Return the watts left on the worst-off source, also where nothing hangs; None where a budget is unknown."""
        all_budgets = budgets(self.wired).values()
        if not all_budgets or any(not budget.is_known for budget in all_budgets) or (self.hanging and worst is None):
            return None
        left = [budget.available_w[0] - budget.high_w for budget in all_budgets]
        return round(min([*left, worst.limit_w - worst.value_w] if worst else left), 6)


def as_device(wired: Wired, node: Node, poe_class: int) -> PoeDevice:
    """Return a device as calculation takes it, of that class; what contradicts the class is left out."""
    draw_w = drawn_w(wired, node)
    return PoeDevice(
        name=_name(node),
        poe_class=poe_class,
        draw_w=draw_w if draw_w is not None and draw_w <= class_limits(poe_class).device_w else None,
        reduced_class_ok=runs_reduced_on(wired, node, poe_class),
        priority=PRIORITY.get(wired.place_of(node).position.role, 0),
    )


def runs_reduced_on(wired: Wired, node: Node, poe_class: int) -> int | None:
    """Return the lowest class on which a device still works; None where nobody has said, or said one above its own."""
    poe = wired.ports[node].poe
    reduced = poe.reduced_class_ok if poe is not None else None
    if reduced is None or class_limits(reduced).device_w > class_limits(poe_class).device_w:
        return None
    return reduced


def _source_w(one: PoeDevice, rule: str) -> float:
    return allotted_w(one, one.poe_class, rule)


def _name(node: Node) -> str:
    """Return a name that sorts as positions and ports do."""
    return f"{node[0]} {node[1]}"
