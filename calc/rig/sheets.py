"""The parts of a data sheet that not every spec has, and the one declaration of each of their fields.

``None`` means not known, never zero. A new number is a line here, a column in ``inventory.models.sheets`` and a
migration; the interface, the forms, the pages and the messages are derived from the line.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from calc.channel import FIBRE_APPLICATIONS
from calc.rig.fields import number, text, whole, yes_or_no
from calc.vocabulary import ALLOTMENTS, PROTECTION_CLASSES

GIVES_POWER = ("supply", "battery")


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerSheet:
    """What a spec draws from the mains or direct current, and what a supply makes of it."""

    rated_a: float | None = number("rated current", "A", most=10_000, may_be_zero=False)
    at_volts: float | None = number("voltage of the rated current", "V", least=1, most=1000)
    max_w: float | None = number("highest draw", "W")
    typical_w: float | None = number("typical draw", "W")
    power_factor: float | None = number("power factor", least=0.01, most=1)
    third_harmonic: float | None = number("third harmonic, as a share of the current", most=2)
    leakage_ma: float | None = number("leakage to earth", "mA", most=10_000)
    inrush_a: float | None = number("inrush current", "A", most=100_000, may_be_zero=False)
    inrush_ms: float | None = number("inrush duration", "ms", most=100_000, may_be_zero=False)
    protection_class: str | None = text("protection class", longest=3, choices=PROTECTION_CLASSES)
    efficiency: float | None = number("efficiency", least=0.01, most=1, matters_for=GIVES_POWER)
    output_volts: float | None = number("output voltage", "V", most=1000, may_be_zero=False, matters_for=GIVES_POWER)
    output_w: float | None = number("rated output", "W", matters_for=GIVES_POWER)
    output_va: float | None = number("rated apparent output", "VA", may_be_zero=False)
    neutral_bonded: bool | None = yes_or_no("neutral bonded to earth, of a source of its own")
    inlets_apart: bool | None = yes_or_no("inlets kept apart by a change-over switch")


@dataclass(frozen=True, slots=True, kw_only=True)
class PoeSheet:
    """What a source of power over Ethernet has to give, and how it counts it."""

    budget_w: float | None = number("power budget", "W", most=100_000, matters_for=("switch", "injector"))
    allotment: str | None = text("power allotment", longest=12, choices=ALLOTMENTS)
    efficiency: float | None = number("efficiency of the PoE source", least=0.01, most=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class CableSheet:
    """A cable's length, conductors and ratings."""

    length_m: float | None = number("length", "m", matters_for=("cable", "drum"))
    awg: int | None = whole("gauge", "AWG", least=-3, most=40)
    area_mm2: float | None = number("conductor area", "mm²", least=0.01, most=10_000)
    stranded: bool | None = yes_or_no("stranded conductors")
    category: str | None = text("category")
    pairs: int | None = whole("number of pairs", least=1, most=100)
    rated_a: float | None = number("uncoiled rating", "A", most=10_000, may_be_zero=False)
    coiled_a: float | None = number("coiled rating", "A", most=10_000, may_be_zero=False, matters_for=("drum",))
    fuse_a: float | None = number("fuse in the plug", "A", most=10_000, may_be_zero=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class NetworkSheet:
    """What network gear can do with segments and group traffic."""

    managed: bool | None = yes_or_no("managed")
    vlans: bool | None = yes_or_no("VLANs")
    snooping: bool | None = yes_or_no("IGMP snooping")
    querier: bool | None = yes_or_no("IGMP querier")
    dhcp_server: bool | None = yes_or_no("DHCP server")


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolingSheet:
    """The air that a fan moves, and the warmest surroundings that a part is made for."""

    fan_m3h: float | None = number("air flow of the fan", "m³/h", matters_for=("fan",))
    max_ambient_celsius: float | None = number("highest ambient temperature", "°C", least=-50, most=200)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatterySheet:
    """A battery's voltage and capacity."""

    volts: float | None = number("nominal voltage", "V", most=1000, may_be_zero=False, matters_for=("battery",))
    amp_hours: float | None = number("capacity", "Ah", most=100_000, may_be_zero=False, matters_for=("battery",))


@dataclass(frozen=True, slots=True, kw_only=True)
class OpticsSheet:
    """The light that an optical module, or a device with optics built in, sends and takes."""

    application: str | None = text("optical application", choices=FIBRE_APPLICATIONS)
    wavelength_nm: int | None = whole("wavelength sent", "nm", least=600, most=1700)
    receives_nm: int | None = whole("wavelength received", "nm", least=600, most=1700)


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundSheet:
    """The impedance of a loudspeaker, and the least that an output of an amplifier drives."""

    impedance_ohm: float | None = number("nominal impedance", "Ω", most=10_000, may_be_zero=False)
    least_ohm: float | None = number("least load impedance", "Ω", most=10_000, may_be_zero=False)


Sheet = PowerSheet | PoeSheet | CableSheet | NetworkSheet | CoolingSheet | BatterySheet | OpticsSheet | SoundSheet
SHEET_TYPES: Mapping[str, type[Sheet]] = {
    "power": PowerSheet,
    "poe": PoeSheet,
    "cable": CableSheet,
    "network": NetworkSheet,
    "cooling": CoolingSheet,
    "battery": BatterySheet,
    "optics": OpticsSheet,
    "sound": SoundSheet,
}
"""Field of a spec → its sheet."""
