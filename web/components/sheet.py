"""A data sheet: every number with its unit and where it came from; what nobody wrote down can be typed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from calc.vocabulary import ALLOTMENTS, PROTECTION_CLASSES
from inventory.selectors.specs import SpecShape
from web.components.numbers import with_unit

DATA_SHEET = "data sheet"
"""What a number without a provenance of its own came from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """What may stand on a data sheet."""

    path: str
    """As provenance names it: ``weight_kg``, ``power.max_w``."""
    words: str
    unit: str = ""
    takes: str = "number"
    """``number``, ``whole``, ``yes or no``, ``text``, or ``choice``."""
    choices: tuple[str, ...] = ()
    least: float = 0
    most: float = 1_000_000

    @property
    def sheet(self) -> str:
        """The sheet that it stands on; empty for size and weight."""
        return self.path.rpartition(".")[0]

    @property
    def name(self) -> str:
        return self.path.rpartition(".")[2]


def _yes_or_no(path: str, words: str) -> Fact:
    return Fact(path=path, words=words, takes="yes or no")


FACTS: Mapping[str, tuple[Fact, ...]] = {
    "Size and weight": (
        Fact(path="weight_kg", words="Weight", unit="kg", most=100_000),
        Fact(path="width_mm", words="Width", unit="mm"),
        Fact(path="depth_mm", words="Depth", unit="mm"),
        Fact(path="height_mm", words="Height", unit="mm"),
    ),
    "Power": (
        Fact(path="power.rated_a", words="Current on its plate", unit="A", most=10_000),
        Fact(path="power.at_volts", words="Volts that the plate's current is for", unit="V", least=1, most=1000),
        Fact(path="power.max_w", words="Draws at most", unit="W"),
        Fact(path="power.typical_w", words="Draws in use", unit="W"),
        Fact(path="power.power_factor", words="Power factor", least=0.01, most=1),
        Fact(path="power.third_harmonic", words="Third harmonic, as a share of the current", most=2),
        Fact(path="power.leakage_ma", words="Leaks to earth", unit="mA", most=10_000),
        Fact(path="power.inrush_a", words="Inrush", unit="A", most=100_000),
        Fact(path="power.inrush_ms", words="Inrush lasts", unit="ms", most=100_000),
        Fact(path="power.protection_class", words="Protection class", takes="choice", choices=PROTECTION_CLASSES),
        Fact(path="power.efficiency", words="Efficiency", least=0.01, most=1),
        Fact(path="power.output_volts", words="Gives, volts", unit="V", most=1000),
        Fact(path="power.output_w", words="Gives at most", unit="W"),
    ),
    "Power over Ethernet": (
        Fact(path="poe.budget_w", words="Gives over Ethernet, in all", unit="W", most=100_000),
        Fact(path="poe.allotment", words="Sets aside by", takes="choice", choices=ALLOTMENTS),
        Fact(path="poe.efficiency", words="Efficiency of the source", least=0.01, most=1),
    ),
    "Cable": (
        Fact(path="cable.length_m", words="Length", unit="m"),
        Fact(path="cable.awg", words="Gauge, AWG", takes="whole", least=-3, most=40),
        Fact(path="cable.area_mm2", words="Area of a conductor", unit="mm²", least=0.01, most=10_000),
        _yes_or_no("cable.stranded", "Stranded"),
        Fact(path="cable.category", words="Category", takes="text"),
        Fact(path="cable.pairs", words="Pairs", takes="whole", least=1, most=100),
        Fact(path="cable.rated_a", words="Carries, unwound", unit="A", most=10_000),
        Fact(path="cable.coiled_a", words="Carries, coiled", unit="A", most=10_000),
        Fact(path="cable.fuse_a", words="Fuse in its plug", unit="A", most=10_000),
    ),
    "Network": (
        _yes_or_no("network.managed", "Can be set up"),
        _yes_or_no("network.vlans", "Keeps VLANs apart"),
        _yes_or_no("network.snooping", "Follows group traffic"),
        _yes_or_no("network.querier", "Asks for group members"),
        _yes_or_no("network.dhcp_server", "Hands out addresses"),
    ),
    "Cooling": (
        Fact(path="cooling.fan_m3h", words="Air moved by its fan", unit="m³/h"),
        Fact(
            path="cooling.max_ambient_celsius", words="Warmest air it may stand in", unit="°C", least=-50, most=200
        ),
    ),
    "Battery": (
        Fact(path="battery.volts", words="Volts", unit="V", most=1000),
        Fact(path="battery.amp_hours", words="Capacity", unit="Ah", most=100_000),
    ),
}  # fmt: skip
"""Heading → what stands under it."""
BY_PATH = {fact.path: fact for facts in FACTS.values() for fact in facts}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    path: str
    words: str
    value: str
    known: bool
    origin: str
    """Where the number came from; empty where there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPart:
    heading: str
    lines: tuple[SheetLine, ...]
    begun: bool
    """Something is known; a part of which nothing is known is folded away."""


def sheet_parts(spec: SpecShape) -> tuple[SheetPart, ...]:
    """Return the numbers of a data sheet, part by part."""
    parts = []
    for heading, facts in FACTS.items():
        lines = tuple(_line(spec, fact) for fact in facts)
        parts.append(SheetPart(heading=heading, lines=lines, begun=any(line.known for line in lines)))
    return tuple(parts)


def value_at(spec: SpecShape, fact: Fact) -> Any:
    """Return what the data sheet says there, or None."""
    source: Any = spec
    if fact.sheet:
        source = source[fact.sheet]
    return None if source is None else source[fact.name]


def origin_of(spec: SpecShape, path: str) -> str:
    """Return where a number came from."""
    return spec["provenance"].get(path, DATA_SHEET)


def _line(spec: SpecShape, fact: Fact) -> SheetLine:
    value = value_at(spec, fact)
    if isinstance(value, bool):
        shown = "yes" if value else "no"
    elif isinstance(value, str):
        shown = value
    else:
        shown = with_unit(value, fact.unit)
    known = value is not None
    return SheetLine(
        path=fact.path,
        words=fact.words,
        value=shown,
        known=known,
        origin=origin_of(spec, fact.path) if known or fact.path in spec["provenance"] else "",
    )
