"""Which device goes into which hole, and whether it matters."""

from collections.abc import Collection
from dataclasses import dataclass

from calc.errors import BadInput, require_items, require_number, require_one_of, require_whole
from calc.poe.classes import class_limits, require_class, runs_on
from calc.poe.parts import PoeDevice, PoePort, PoeSource
from calc.poe.setup import Setup
from calc.solve.packing import choose
from calc.vocabulary import ALLOTMENTS


@dataclass(frozen=True, slots=True, kw_only=True)
class PoeAllocation:
    """Where each device goes, and what would happen if people plugged them as they come."""

    placed: dict[str, tuple[str, str]]
    """Device → (source, port)."""
    unplaced: list[str]
    """Devices that find no port, by name."""
    watts_left: dict[str, float]
    """Source → budget less what it sets aside for the devices placed on it. [W]"""
    any_order_ok: bool
    """Whether every way of plugging all devices in would work: no budget exceeded, no device known not to run."""
    reduced_unknown: list[str]
    """Devices that some port gives less than their class, where nobody has said whether they run on it; in
    ``any_order_ok`` they count as running."""
    worst_plugging: float | None
    """Least margin of any source over all ways to plug all devices in; None if they outnumber the ports. [W]"""
    proven: bool
    """Whether no other placement is better in anything: numbers, watts, names."""
    most_proven: bool
    """Whether no other placement has more devices of the highest priority, or as many and more of the next, and so on.

    Without it a device in ``unplaced`` is not shown to be without power: the search was cut short."""


def allocate(sources: Collection[PoeSource], devices: Collection[PoeDevice]) -> PoeAllocation:
    """Return the best placement of devices on the ports of several sources, each with a budget of its own.

    Best is, in this order: most devices of the highest priority, of the next, and so on; least watts set aside; the
    devices whose names come first. Earlier names go into earlier holes where these are alike. Numbers in names count as
    numbers. A device is placed on a port of a lower class only if its ``reduced_class_ok`` says that it runs on what
    that port grants; not known is not yes.

    The search has a limit of work: the numbers by priority are sought first (``most_proven``); watts and names have a
    small limit of their own (``proven``).

    ``any_order_ok`` and ``worst_plugging`` look at every way of putting all devices into distinct ports, a port of a
    lower class granting what it has.

    Args:
        sources: Their names differ, and so do the names of the ports on each. [-]
        devices: Their names differ. One whose class is not known is not accepted: ask with both ends. [-]

    Raises:
        BadInput: two of a name, no such class or allotment rule, a negative budget, a draw below zero or above what the
            device's own class allows, a ``reduced_class_ok`` above it.

    Source: IEEE 802.3-2022 clauses 33 and 145, class tables and power demotion (second-hand). A budget for each source
    and the allotment rules are common practice.
    """
    sources, devices = require_items("sources", sources, PoeSource), require_items("devices", devices, PoeDevice)
    _require_sources(sources)
    _require_devices(devices)
    setup = Setup(sources, devices)
    choice = choose(setup.problem, setup.members)
    loading = setup.in_order(choice.loading)
    placed = setup.holes(loading)
    worst_w = setup.worst_plugging_w()
    return PoeAllocation(
        placed=placed,
        unplaced=[device.name for device in setup.devices if device.name not in placed],
        watts_left=setup.watts_left(loading),
        any_order_ok=(worst_w is None or worst_w >= 0) and setup.room_for_all and not setup.some_port_fails_some,
        reduced_unknown=setup.reduced_unknown(),
        worst_plugging=worst_w,
        proven=choice.proven,
        most_proven=choice.most_proven,
    )


def _require_sources(sources: Collection[PoeSource]) -> None:
    _require_names("sources", sources)
    for source in sources:
        require_number("budget_w", source.budget_w, least=0)
        require_one_of("allotment", source.allotment, ALLOTMENTS)
        _require_names("ports", require_items("ports", source.ports, PoePort))
        for port in source.ports:
            require_class("max_class", port.max_class)
            if port.source_v is not None:
                require_number("source_v", port.source_v, above=0)


def _require_devices(devices: Collection[PoeDevice]) -> None:
    _require_names("devices", devices)
    for device in devices:
        require_class("poe_class", device.poe_class)
        require_whole("priority", device.priority)
        runs_on(device.poe_class, None, device.reduced_class_ok)
        if device.draw_w is not None:
            require_number("draw_w", device.draw_w, least=0, most=class_limits(device.poe_class).device_w)


def _require_names(argument: str, named: Collection[PoeSource] | Collection[PoePort] | Collection[PoeDevice]) -> None:
    seen: set[str] = set()
    for each in named:
        if not isinstance(each.name, str) or each.name in seen:
            raise BadInput(argument, each.name, "a text for each name, and no name twice")
        seen.add(each.name)
