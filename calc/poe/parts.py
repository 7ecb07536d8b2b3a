"""What is plugged into what: sources with their ports, devices, and the channel between."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PoePort:
    """One powered port of a source."""

    name: str
    max_class: int
    """The highest class that it grants, 0 to 8."""
    source_v: float | None = None
    """Volts at the port under load; None: the least that the granted class allows. [V]"""


@dataclass(frozen=True, slots=True)
class PoeSource:
    """Powered ports that share one budget."""

    name: str
    budget_w: float
    """What all its ports together may take. [W]"""
    ports: Sequence[PoePort]
    allotment: str = "class"
    """How it counts a device against the budget: by ``"class"``, ``"negotiated"`` or ``"measured"``."""


@dataclass(frozen=True, slots=True)
class PoeDevice:
    """Something that is powered through its network port."""

    name: str
    poe_class: int
    """The class that it asks for, 0 to 8."""
    draw_w: float | None = None
    """The most that it draws, at the device; None: all that its class allows. [W]"""
    reduced_class_ok: int | None = None
    """The lowest class on which it still does its work; None: not known."""
    priority: int = 0
    """Larger is placed first."""


@dataclass(frozen=True, slots=True)
class PoeChannel:
    """The run between a port and a device."""

    loop_ohm_20c: float
    """Loop resistance of one pairset at 20 °C: two conductors out in parallel, two back. [Ω]"""
    temperature_c: float = 45.0
    """Of the copper; 45 is a cord in the sun (common practice). [°C]"""
    pairs: int = 4
    """Pairs that are connected all the way, 2 or 4."""
