"""What a missing number is taken for: conservative, visible, and marked ``assumed`` or ``unknown``.

Each function answers what the spec says, with its provenance, and only otherwise the default by kind of spec. Where two
defaults come into question, the answer is the range over both. The values are in ``registers/assumptions.json``; nearly
all are common practice of the trade, so a number from the label or from a meter is always worth more.
"""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from calc.conductors import awg_area_mm2
from calc.errors import BadInput, require_number, require_one_of
from calc.given import Choice, Given
from calc.mains import label_va
from calc.poe import class_limits
from calc.registers import load
from calc.rig.kit import Spec
from calc.rules import rule_set
from calc.vocabulary import BREAKER_CURVES, CASE_BUILDS

LEAST_CLASS = 1
"""The class of IEEE 802.3 for which a source sets the least aside."""


def stated(spec: Spec, path: str) -> Given | None:
    """Return the number that a sheet of the spec holds, or None if nobody wrote one.

    Args:
        spec: The data sheet. [-]
        path: Sheet and field, such as ``"power.leakage_ma"``; or a field of the spec, such as ``"weight_kg"``. [-]

    Raises:
        BadInput: a spec has no such field, or it does not hold a number.
    """
    value = _field(spec, path)
    if value is None:
        return None
    require_number(path, value)
    return Given.known(value, _provenance(spec, path), path)


def power_factor(spec: Spec) -> Given:
    """Return the power factor of what the spec draws from the mains. [-]

    If nobody wrote it, it lies between what a supply of that size has at least and 1, which a heater has.

    Source: common practice; the size at which it changes is that of IEC 61000-3-2.
    """
    name = "power.power_factor"
    return stated(spec, name) or Given.assumed_range(_by_size_of_supply(spec, "power_factor").low, 1.0, name)


def third_harmonic(spec: Spec) -> Given:
    """Return the third harmonic over the fundamental current. [-]

    If nobody wrote it, it lies between none, as of a heater, and what a supply of that size makes at most.

    Source: common practice; the size at which it changes is that of IEC 61000-3-2.
    """
    name = "power.third_harmonic"
    return stated(spec, name) or Given.assumed_range(0.0, _by_size_of_supply(spec, "third_harmonic").high, name)


def efficiency(spec: Spec) -> Given:
    """Return output over input of a supply or a splitter; by its size if nobody wrote it. [-]

    A splitter states it as its own or as that of what it does with power over Ethernet: it does nothing else.

    Source: common practice.
    """
    own = stated(spec, "power.efficiency")
    if own is None and spec.kind == "splitter":
        own = stated(spec, "poe.efficiency")
    return own or _by_size_of_supply(spec, "efficiency")


def leakage_ma(spec: Spec) -> Given:
    """Return the standing current in the protective conductor; class II and III have no such conductor. [mA]

    Source: common practice; protection classes IEC 61140.
    """
    name = "power.leakage_ma"
    written = stated(spec, name)
    if written is not None:
        return written
    if spec.power is not None and spec.power.protection_class in ("II", "III"):
        return Given.known(0.0, _provenance(spec, "power.protection_class"), name)
    return Given.assumed(_value("leakage_ma"), name)


def inrush_a(spec: Spec) -> Given:
    """Return the peak current at switching on; there is no default that would hold. [A]"""
    return stated(spec, "power.inrush_a") or Given.unknown("power.inrush_a")


def asked_w(port_name: str, poe_class: int | None, port_max_w: float) -> Given:
    """Return what a source sets aside for a device: by class, or anything from the least to the port's most. [W]

    Args:
        port_name: The device's port, to ask about. [-]
        poe_class: Its class, None if nobody knows. [-]
        port_max_w: The most that the source's port grants. [W]

    Raises:
        BadInput: there is no such class, or the port grants less than the least class takes.

    Source: IEEE 802.3 clauses 33 and 145, class tables.
    """
    name = f"ports.{port_name}.poe.class"
    least_w = class_limits(LEAST_CLASS).source_w
    require_number("port_max_w", port_max_w, least=least_w)
    if poe_class is not None:
        return Given.known(class_limits(poe_class).source_w, "data sheet", name)
    return Given.unknown(name, low=least_w, high=port_max_w)


def cord_awg(spec: Spec) -> Given:
    """Return the gauge of a data cord: thin where it is short, that of a drum where it is one, else either. [AWG]

    Source: common practice.
    """
    name = "cable.awg"
    written = stated(spec, name)
    if written is not None:
        return written
    if spec.kind == "drum":
        return Given.assumed(_value("drum_awg"), name)
    length = stated(spec, "cable.length_m")
    if length is not None and length.high <= _value("short_cord_up_to_m"):
        return Given.assumed(_value("short_cord_awg"), name)
    return Given.assumed_range(_value("drum_awg"), _value("short_cord_awg"), name)


def cord_stranded(spec: Spec) -> Choice[bool]:
    """Return whether the conductors are stranded, as those of leads that bend every day are.

    Source: common practice.
    """
    name = "cable.stranded"
    written = _field(spec, name)
    return Choice(True, "assumed", name) if written is None else Choice(written, _provenance(spec, name), name)


def cord_category(spec: Spec) -> Choice[str]:
    """Return the category of a data cord.

    Source: common practice.
    """
    name = "cable.category"
    written = _field(spec, name)
    if written is None:
        return Choice(_value("cord_category"), "assumed", name)
    return Choice(written, _provenance(spec, name), name)


def mains_area_mm2(spec: Spec) -> Given:
    """Return the conductor area of a mains lead: the thinnest there is, or for a drum the range of its sizes. [mm²]

    Source: common practice; gauges ASTM B258.
    """
    name = "cable.area_mm2"
    written, gauge = stated(spec, name), stated(spec, "cable.awg")
    if written is not None:
        return written
    if gauge is not None:
        return Given.known(awg_area_mm2(int(gauge.low)), gauge.provenance, "cable.awg")
    if spec.kind == "drum":
        low, high = _value("drum_mm2")
        return Given.unknown(name, low=low, high=high)
    return Given.assumed(_value("mains_lead_mm2"), name)


def coax_awg(spec: Spec) -> Given:
    """Return the gauge of the centre conductor of coax for video: that of a thick cable, or of a thin one. [AWG]

    Source: common practice.
    """
    return stated(spec, "cable.awg") or _range("coax_awg", "cable.awg")


def loudspeaker_lead_mm2(spec: Spec) -> Given:
    """Return the conductor area of a lead to a loudspeaker. [mm²]

    Source: common practice; gauges ASTM B258.
    """
    written, gauge = stated(spec, "cable.area_mm2"), stated(spec, "cable.awg")
    if written is None and gauge is not None:
        return Given.known(awg_area_mm2(int(gauge.low)), gauge.provenance, "cable.awg")
    return written or _range("loudspeaker_lead_mm2", "cable.area_mm2")


def loudspeaker_ohm(spec: Spec) -> Given:
    """Return the nominal impedance of a loudspeaker. [Ω]

    Source: common practice.
    """
    return stated(spec, "sound.impedance_ohm") or _range("loudspeaker_ohm", "sound.impedance_ohm")


def breaker_curves(curve: str | None, rules: str) -> tuple[str, ...]:
    """Return the curves that a breaker may have: its own, or all that the rule set knows, which may be none.

    Args:
        curve: B, C or D; None if nobody knows. [-]
        rules: Name of the rule set. [-]

    Raises:
        BadInput: no such curve or rule set.

    Source: IEC 60898-1.
    """
    known = rule_set(rules).breaker_instant_multiples
    if curve is None:
        return tuple(known)
    require_one_of("curve", curve, BREAKER_CURVES)
    return (curve,)


def residual_for_tripping_ma(spec: Spec, port_name: str, rules: str) -> Given:
    """Return the rated residual current to use when asking whether a device trips for nothing: one is assumed. [mA]

    Args:
        spec: What has the outlet. [-]
        port_name: The outlet. [-]
        rules: Name of the rule set. [-]

    Raises:
        BadInput: there is no such port or rule set, or the port states a current that is not above 0.

    Source: common practice.
    """
    port = spec.port(port_name)
    if port is None:
        raise BadInput("port_name", port_name, "a port of the spec")
    name = f"ports.{port_name}.power.rcd_ma"
    rcd_ma = port.power.rcd_ma if port.power is not None else None
    if rcd_ma is None:
        return Given.assumed(rule_set(rules).residual_assumed_ma, name)
    return Given.known(require_number(name, rcd_ma, above=0), _provenance(spec, name), name)


def case_build(build: str | None) -> Choice[str]:
    """Return how the walls of a case are built: foam-lined, which keeps the heat in, if nobody wrote it.

    Args:
        build: The kit's build, None if nobody knows. [-]

    Raises:
        BadInput: there is no such build.

    Source: common practice.
    """
    if build is None:
        return Choice(_value("case_build"), "assumed", "build")
    require_one_of("build", build, CASE_BUILDS)
    return Choice(build, "data sheet", "build")


def _range(default: str, name: str) -> Given:
    low, high = _value(default)
    return Given.assumed_range(low, high, name)


@cache
def _value(name: str) -> Any:
    return load("assumptions")[name]["value"]


def _by_size_of_supply(spec: Spec, what: str) -> Given:
    register: Mapping[str, Any] = load("assumptions")
    small, large = (register[size][what]["value"] for size in ("small_supply", "large_supply"))
    is_small = _has_small_supply(spec)
    if is_small is None:
        return Given.assumed_range(min(small, large), max(small, large), f"power.{what}")
    return Given.assumed(small if is_small else large, f"power.{what}")


def _has_small_supply(spec: Spec) -> bool | None:
    """Return whether the supply is of the size that need not correct its power factor, or None if nobody can tell.

    A label gives volt-amperes: few enough of them settle it, many do not.
    """
    power, most_w = spec.power, _value("small_supply_up_to_w")
    if power is None:
        return None
    watts = power.max_w if power.max_w is not None else power.output_w
    if watts is not None:
        return bool(watts <= most_w)
    if power.rated_a is not None and power.at_volts is not None and label_va(power.rated_a, power.at_volts) <= most_w:
        return True
    return None


def _field(spec: Spec, path: str) -> Any:
    here: Any = spec
    *sheets, last = path.split(".")
    for name in sheets:
        here = _own(here, name, path)
        if here is None:
            return None
    return _own(here, last, path)


def _own(here: Any, name: str, path: str) -> Any:
    if name not in _fields_of(here.__class__):
        raise BadInput("path", path, "a field of the spec or of one of its sheets")
    return getattr(here, name)


@cache
def _fields_of(kind: type) -> frozenset[str]:
    """Return the names of the fields of a dataclass; none of anything else."""
    return frozenset(field.name for field in fields(kind)) if is_dataclass(kind) else frozenset()


def _provenance(spec: Spec, path: str) -> str:
    return spec.provenance.get(path, "data sheet")
