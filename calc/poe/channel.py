"""A device at the end of a run: what it gets there, and whether it works."""

from dataclasses import dataclass

from calc.conductors import ALPHA20_PER_C
from calc.errors import require_kind, require_number, require_one_of
from calc.poe.classes import MOST_CLASS_OVER_TWO_PAIRS, class_limits, granted_class, require_class, runs_on
from calc.poe.loss import load_current_a, most_power_w, source_power_w
from calc.poe.parts import PoeChannel, PoeDevice, PoePort

_COPPER_WITHOUT_RESISTANCE_C = 20 - 1 / ALPHA20_PER_C
_COPPER_MELTS_C = 1084
_DIGITS = 9  # differences are rounded here, so that the standard's own worst case stands at a margin of 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PoeLink:
    """One device at the end of one run, at the power that it draws there."""

    granted_class: int | None
    """What the port grants; None: no power."""
    reduced: bool
    """Whether that is less than the device asks for."""
    loop_ohm: float
    """Resistance of the whole loop at the stated temperature, pairsets in parallel. [Ω]"""
    needed_w: float
    """What must be able to arrive. [W]"""
    delivered_w: float
    """What arrives: ``device_v`` times ``current_a``. [W]"""
    device_v: float
    """Volts at the device. [V]"""
    min_device_v: float
    """The least that the granted class allows there. [V]"""
    current_a: float
    """Over all powered pairs. [A]"""
    source_w: float
    """What leaves the port. [W]"""
    source_limit_w: float
    """What may leave it by the granted class. [W]"""
    margin_w: float
    """The most that may arrive, by the granted class over this run, less ``needed_w``. [W]"""
    ok: bool
    """Margin and volts hold, and the device is known to work on the class granted."""


def link(device: PoeDevice, source_port: PoePort, channel: PoeChannel) -> PoeLink:
    """Return what a device gets from a port at the end of a run; a run that cannot do it is an answer, not an error.

    The device draws ``draw_w``, or all that its class allows; demoted, and known to work so, no more than the granted
    class allows. Where no current can carry that, the answer stands at the most that the run carries, half the volts.

    Args:
        device: What it asks for and draws. [-]
        source_port: Its highest class, and its volts where they are known. [-]
        channel: Copper between them at 20 °C, its temperature, and how many of its pairs are connected: over two, no
            more than class 4 is granted. [-]

    Raises:
        BadInput: no such class, or a number that no physical thing has. Never because it does not work.

    Source: IEEE 802.3-2022 clauses 33 and 145, class tables and power demotion (second-hand); copper IEC 60228 annex.
    """
    require_kind("device", device, PoeDevice)
    require_kind("source_port", source_port, PoePort)
    require_kind("channel", channel, PoeChannel)
    wanted_w = _wanted_w(device)
    granted = granted_class(device.poe_class, _port_class(source_port, channel))
    source_v = _source_v(source_port, granted)
    if granted is None:
        return _no_power(device.poe_class, wanted_w, _hot_loop_ohm(channel, pairs=2))
    limits = class_limits(granted)
    loop_ohm = _hot_loop_ohm(channel, limits.pairs)
    runs = runs_on(device.poe_class, granted, device.reduced_class_ok)
    drawn_w, needed_w = _drawn_and_needed_w(device.poe_class, wanted_w, granted, runs)
    current_a = load_current_a(drawn_w, loop_ohm, source_v)
    if current_a is None:
        current_a = source_v / (2 * loop_ohm)
    device_v = source_v - current_a * loop_ohm
    margin_w = round(_most_arriving_w(granted, loop_ohm, source_v) - needed_w, _DIGITS)
    return PoeLink(
        granted_class=granted,
        reduced=limits.device_w < class_limits(device.poe_class).device_w,
        loop_ohm=loop_ohm,
        needed_w=needed_w,
        delivered_w=current_a * device_v,
        device_v=device_v,
        min_device_v=limits.min_device_v,
        current_a=current_a,
        source_w=source_v * current_a,
        source_limit_w=_source_limit_w(granted),
        margin_w=margin_w,
        ok=bool(runs) and margin_w >= 0 and round(device_v - limits.min_device_v, _DIGITS) >= 0,
    )


def _wanted_w(device: PoeDevice) -> float:
    limits = class_limits(device.poe_class)
    return limits.device_w if device.draw_w is None else require_number("draw_w", device.draw_w, least=0)


def _port_class(source_port: PoePort, channel: PoeChannel) -> int:
    require_one_of("pairs", channel.pairs, (2, 4))
    port_class = require_class("max_class", source_port.max_class)
    return port_class if channel.pairs == 4 else min(port_class, MOST_CLASS_OVER_TWO_PAIRS)


def _source_v(source_port: PoePort, granted: int | None) -> float:
    if source_port.source_v is not None:
        return require_number("source_v", source_port.source_v, above=0)
    return class_limits(source_port.max_class if granted is None else granted).min_source_v


def _drawn_and_needed_w(poe_class: int, wanted_w: float, granted: int, runs: bool | None) -> tuple[float, float]:
    """Return what the device draws on the class granted, and what must be able to arrive. [W]

    Unless it is known to work on less, a demoted device needs its whole class, whatever it happens to draw.
    """
    own_w, granted_w = class_limits(poe_class).device_w, class_limits(granted).device_w
    if granted_w >= own_w:
        return wanted_w, wanted_w
    drawn_w = min(wanted_w, granted_w)
    return drawn_w, drawn_w if runs else max(wanted_w, own_w)


def _no_power(poe_class: int, wanted_w: float, loop_ohm: float) -> PoeLink:
    return PoeLink(
        granted_class=None,
        reduced=True,
        loop_ohm=loop_ohm,
        needed_w=wanted_w,
        delivered_w=0.0,
        device_v=0.0,
        min_device_v=class_limits(poe_class).min_device_v,
        current_a=0.0,
        source_w=0.0,
        source_limit_w=0.0,
        margin_w=-wanted_w,
        ok=False,
    )


def _most_arriving_w(granted: int, loop_ohm: float, source_v: float) -> float:
    """Return the most that may arrive: by the class at the device, and by what the class lets leave the port. [W]"""
    current_a = _source_limit_w(granted) / source_v
    if current_a * loop_ohm > source_v / 2:
        return min(class_limits(granted).device_w, most_power_w(loop_ohm, source_v))
    return min(class_limits(granted).device_w, current_a * (source_v - current_a * loop_ohm))


def _source_limit_w(granted: int) -> float:
    """Return what may leave a port: the class's watts, or what its own longest channel takes where print rounds. [W]

    For class 5, for example, 40 W at the device need 45.08 W, and 45 is printed.
    """
    limits = class_limits(granted)
    over_longest = source_power_w(limits.device_w, limits.channel_ohm, limits.min_source_v, limits.pairs)
    return max(limits.source_w, over_longest)


def _hot_loop_ohm(channel: PoeChannel, pairs: int) -> float:
    require_number("loop_ohm_20c", channel.loop_ohm_20c, least=0)
    require_number("temperature_c", channel.temperature_c, above=_COPPER_WITHOUT_RESISTANCE_C, most=_COPPER_MELTS_C)
    hot_ohm = channel.loop_ohm_20c * (1 + ALPHA20_PER_C * (channel.temperature_c - 20))
    return hot_ohm * 2 / pairs
