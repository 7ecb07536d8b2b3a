"""A kit as calculation sees it: what the rooms above assemble from their rows, once, for every check.

Numbers are as somebody wrote them: ``None`` means that nobody did, never zero. Where a number came from stands in
``Spec.provenance`` under its dotted path (``"power.max_w"``, ``"ports.dc.power.watts"``, ``"weight_kg"``); a number
that is present and not named there came from the data sheet.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType

from calc.rig.brief import Brief
from calc.rig.ends import End
from calc.rig.fields import number
from calc.rig.sheets import (
    BatterySheet,
    CableSheet,
    CoolingSheet,
    NetworkSheet,
    OpticsSheet,
    PoeSheet,
    PowerSheet,
    SoundSheet,
)

NO_PROVENANCE: Mapping[str, str] = MappingProxyType({})
NO_DAMAGE: Mapping[str, frozenset[str]] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class PortPoe:
    """Power over Ethernet at a port: what it grants (source) or asks for (load)."""

    role: str
    poe_class: int | None = None
    reduced_class_ok: int | None = None
    """The lowest class on which a load still does its work. [class]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PortPower:
    """Mains or direct current at a port."""

    role: str
    volts_min: float | None = None
    volts_max: float | None = None
    watts: float | None = None
    """What a load draws at most, or a source gives at most. [W]"""
    breaker_a: float | None = None
    curve: str | None = None
    rcd_ma: float | None = None
    """Rated residual current of the device that protects an outlet; 0 says that there is none. [mA]"""
    leg: str | None = None
    """Line of the inlet that a single-phase outlet hangs on, or the two between which it does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Port:
    """One connector of a spec."""

    name: str
    connector: str
    side: str
    carries: str
    face: str = "inside"
    through: str | None = None
    """Name of the port of the same spec that this one is joined to (a feed-through, a cord's other end)."""
    group: str | None = None
    """Ports of one group are switched together."""
    speed_mbps: float | None = None
    pairs: int | None = None
    pinout: str | None = None
    poe: PortPoe | None = None
    power: PortPower | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """The data sheet of one make and model."""

    id: int
    name: str
    kind: str
    weight_kg: float | None = number("weight", "kg", most=100_000)
    width_mm: float | None = number("width", "mm", may_be_zero=False)
    depth_mm: float | None = number("depth", "mm", may_be_zero=False)
    height_mm: float | None = number("height", "mm", may_be_zero=False)
    power: PowerSheet | None = None
    poe: PoeSheet | None = None
    cable: CableSheet | None = None
    network: NetworkSheet | None = None
    cooling: CoolingSheet | None = None
    battery: BatterySheet | None = None
    optics: OpticsSheet | None = None
    sound: SoundSheet | None = None
    ports: tuple[Port, ...] = ()
    provenance: Mapping[str, str] = field(default_factory=lambda: NO_PROVENANCE)

    def port(self, name: str) -> Port | None:
        """Return the port of that name, or None."""
        return next((port for port in self.ports if port.name == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One physical thing, as it is now."""

    id: int
    tag: str
    spec: Spec
    state: str = "in-service"
    """in-service, held-back, lost or retired."""
    firmware: str | None = None
    """The version that somebody read off it."""
    measured_w: float | None = None
    damage: Mapping[str, frozenset[str]] = field(default_factory=lambda: NO_DAMAGE)
    """Port name → kinds of damage (``calc.vocabulary.PORT_DAMAGE``); a port not named is sound."""
    inspection_due_at: datetime | None = None
    failed_inspection: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Position:
    """One place in a kit: what is planned there and what is packed there."""

    id: int
    label: str
    role: str
    spec: Spec
    accepts: frozenset[int] = frozenset()
    """Ids of other specs that may stand in."""
    unit: Unit | None = None
    nested: "Kit | None" = None
    """The kit whose case the unit is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One wired connection; with a cable from a position, a planned cable spec, or neither."""

    id: int
    a: End
    b: End
    cable: int | None = None
    """Id of the position that holds the cable."""
    cable_spec: Spec | None = None
    label: str = ""
    colour: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """A road case, bag or rack with its planned and actual contents. Ids of positions are unique across nested kits."""

    id: int
    name: str
    build: str | None = None
    ambient_celsius: float | None = None
    exposed_retention: str | None = None
    """The least retention that the kit asks of a panel port: friction, latch or lock."""
    rules: str = "iec"
    belongs: str = "company"
    """Whose it is, one of ``calc.vocabulary.BELONGS``; a kit that is not the company's is made up for one event."""
    positions: tuple[Position, ...] = ()
    links: tuple[Link, ...] = ()
    wired_at: datetime | None = None
    """When a link was last laid, changed or taken away."""
    brief: Brief | None = None
    """What the kit is for; None where nobody said."""
