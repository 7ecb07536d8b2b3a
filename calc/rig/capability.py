"""What a kit offers outside: ports, power, weight, draw, and what goes in which hole."""

from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime

from calc.rig.figures import Figures, SourceFigure, figures
from calc.rig.kit import Kit
from calc.rig.plug_map import plan
from calc.rig.subjects import Subject, about_port
from calc.rig.wiring import Wired, exposed, natural, poe_feeds, wire

VLAN_KINDS = ("switch", "router", "access-point")
NO_DATE = datetime.min.replace(tzinfo=UTC)
"""What is offered does not hang on the calendar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelPorts:
    """Ports of one kind on the outside of a kit."""

    connector: str
    side: str
    carries: str
    powered: bool
    """Whether a powered port is behind them, or in them."""
    count: int
    free: int
    """How many of them have nothing plugged in from outside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugRow:
    """One line of the plug map: this device goes there."""

    device: Subject
    source: Subject
    hole: Subject
    """The port to plug into: the source itself, or the open end of the wiring that leads to it."""
    fixed: bool
    """A drawn link says so; otherwise it is a proposal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugMap:
    """What goes in which hole, and whether it matters."""

    any_order_ok: bool | None
    """Would every way of plugging the devices without a link work? None: not known."""
    worst_w: float | None
    """Watts left on the worst-off source under the worst way of plugging; negative when overloaded. [W]"""
    rows: tuple[PlugRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PoweredPorts:
    """What one source of power over Ethernet still has."""

    source: Subject
    ports: int
    """Powered ports that are left once every device of the kit is plugged in, by links or by the plug map."""
    budget_w: float | None
    watts_left: float | None
    """What is then left of the budget; negative when overloaded. [W]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    """What a kit offers and asks for, as planned."""

    ports: tuple[PanelPorts, ...]
    powered: tuple[PoweredPorts, ...]
    vlans: bool
    """Whether something in it keeps VLANs apart."""
    access_points: int
    universes: int
    """Lines of DMX on the panel; each carries one universe."""
    internet: bool
    """Whether a router is in it, which a venue's line can be plugged into."""
    weight_kg: float | None
    draw_va: float | None
    heat_w: float | None
    plug_map: PlugMap
    starved: tuple[Subject, ...]
    """Devices without a link for which no powered port has enough left, whatever the missing numbers are."""


def capability(kit: Kit, view: str = "design") -> Capability:
    """Return what the kit offers, with its nested kits: as planned, or (``view="packed"``) with what is in it now.

    Raises:
        BadInput: ``view`` is neither.
    """
    wired = wire([kit], view=view, as_of=NO_DATE)
    return capability_of(wired, figures(wired, kit))


def capability_of(wired: Wired, sums: Figures) -> Capability:
    """Return what a kit offers that is wired by itself, with its figures."""
    specs = [place.spec for place in wired.places.values() if not place.is_spare]
    return Capability(
        ports=_panel_ports(wired),
        powered=_powered_ports(wired, sums),
        vlans=any(
            spec.kind in VLAN_KINDS and spec.network is not None and spec.network.vlans is True for spec in specs
        ),
        access_points=sum(spec.kind == "access-point" for spec in specs),
        universes=sum(wired.ports[node].carries == "dmx" for node in exposed(wired)),
        internet=any(spec.kind == "router" for spec in specs),
        weight_kg=sums["weight_kg"],
        draw_va=sums["mains_va"],
        heat_w=sums["heat_w"],
        plug_map=_plug_map(wired),
        starved=tuple(about_port(wired, device) for device in plan(wired).starved),
    )


def _panel_ports(wired: Wired) -> tuple[PanelPorts, ...]:
    holes = set(poe_feeds(wired).free.values())
    counts: Counter[tuple[str, str, str, bool]] = Counter()
    free: Counter[tuple[str, str, str, bool]] = Counter()
    for node in exposed(wired):
        port = wired.ports[node]
        own_poe = port.poe is not None and port.poe.role == "source"
        kind = (port.connector, port.side, port.carries, own_poe or node in holes)
        counts[kind] += 1
        free[kind] += not wired.is_linked(node)
    return tuple(
        PanelPorts(
            connector=kind[0], side=kind[1], carries=kind[2], powered=kind[3], count=counts[kind], free=free[kind]
        )
        for kind in sorted(counts)
    )


def _powered_ports(wired: Wired, sums: Figures) -> tuple[PoweredPorts, ...]:
    taken = set(plan(wired).placed.values())
    open_ports = Counter(node[0] for node in poe_feeds(wired).free if node not in taken)
    return tuple(
        PoweredPorts(
            source=Subject(position=figure["position"], label=figure["label"]),
            ports=open_ports[figure["position"]],
            budget_w=figure["budget_w"],
            watts_left=_left_w(figure),
        )
        for figure in sums["poe"]
    )


def _left_w(figure: SourceFigure) -> float | None:
    budget_w, allotted_w = figure["budget_w"], figure["allotted_w"]
    return None if budget_w is None or allotted_w is None else round(budget_w - allotted_w, 3)


def _plug_map(wired: Wired) -> PlugMap:
    feeds, made = poe_feeds(wired), plan(wired)
    fixed = [(feed.device, feed.source, feed.hole(wired), True) for feed in feeds.all()]
    proposed = [(device, source, feeds.free[source], False) for device, source in made.placed.items()]
    rows = sorted((*fixed, *proposed), key=lambda row: (row[0][0], natural(row[0][1])))
    return PlugMap(
        any_order_ok=made.any_order_ok,
        worst_w=made.worst_w,
        rows=tuple(
            PlugRow(
                device=about_port(wired, device),
                source=about_port(wired, source),
                hole=about_port(wired, hole),
                fixed=is_fixed,
            )
            for device, source, hole, is_fixed in rows
        ),
    )
