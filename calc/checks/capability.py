"""What a kit offers outside: ports, power, weight, draw, and what goes in which hole."""

from dataclasses import dataclass

from calc.checks.findings import Subject


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelPorts:
    """Ports of one kind on the outside of a kit."""

    connector: str
    side: str
    carries: str
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
    """Powered ports that nothing is plugged into."""
    budget_w: float | None
    watts_left: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    ports: tuple[PanelPorts, ...]
    powered: tuple[PoweredPorts, ...]
    vlans: bool
    """A switch or router in it keeps VLANs apart."""
    access_points: int
    weight_kg: float | None
    draw_va: float | None
    draw_w: float | None
    plug_map: PlugMap
