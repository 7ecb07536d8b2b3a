"""The loss along a pair of wires or two that feed a load of constant power."""

from math import sqrt

from calc.errors import BadInput, require_number, require_one_of


def device_power_w(source_w: float, channel_ohm: float, source_v: float, pairs: int = 2) -> float:
    """Return the power that arrives at a device. [W]

    Args:
        source_w: What leaves the port. [W]
        channel_ohm: Loop resistance of one pairset. [Ω]
        source_v: Volts at the port. [V]
        pairs: 2, or 4 for two pairsets in parallel. [-]

    Raises:
        BadInput: negative or not finite, no volts, other pairs, or more power than a short circuit at the far end
            takes.

    Source: IEEE 802.3-2022 clauses 33 and 145; P - (P / U)²·R.
    """
    require_number("source_w", source_w, least=0)
    loop_ohm = _loop_ohm(channel_ohm, source_v, pairs)
    current_a = source_w / source_v
    if current_a * loop_ohm > source_v:
        raise BadInput(
            "source_w", source_w, f"at most {source_v * source_v / loop_ohm:g}, what a short circuit would take"
        )
    return source_w - current_a * current_a * loop_ohm


def source_power_w(device_w: float, channel_ohm: float, source_v: float, pairs: int = 2) -> float:
    """Return the power that must leave a port so that ``device_w`` arrives at a load of constant power. [W]

    Args:
        device_w: What the device draws. [W]
        channel_ohm: Loop resistance of one pairset. [Ω]
        source_v: Volts at the port. [V]
        pairs: 2, or 4 for two pairsets in parallel. [-]

    Raises:
        BadInput: negative or not finite, no volts, other pairs, or no current can carry that much.

    Source: IEEE 802.3-2022 clauses 33 and 145; the lower root of R·I² - U·I + P = 0, times U.
    """
    require_number("device_w", device_w, least=0)
    loop_ohm = _loop_ohm(channel_ohm, source_v, pairs)
    current_a = load_current_a(device_w, loop_ohm, source_v)
    if current_a is None:
        raise BadInput(
            "device_w", device_w, f"at most {most_power_w(loop_ohm, source_v):g}, all that this channel carries"
        )
    return source_v * current_a


def _loop_ohm(channel_ohm: float, source_v: float, pairs: int) -> float:
    require_number("channel_ohm", channel_ohm, least=0)
    require_number("source_v", source_v, above=0)
    require_one_of("pairs", pairs, (2, 4))
    return channel_ohm * 2 / pairs


def load_current_a(device_w: float, loop_ohm: float, source_v: float) -> float | None:
    """Return the current of a load of constant power at the end of a loop, or None if no current can carry it. [A]

    The lower root of R·I² - U·I + P = 0, in the form that holds for R = 0 too.
    """
    radicand = source_v * source_v - 4 * loop_ohm * device_w
    return None if radicand < 0 else 2 * device_w / (source_v + sqrt(radicand))


def most_power_w(loop_ohm: float, source_v: float) -> float:
    """Return the most that a loop can carry, at half the volts. [W]"""
    return source_v * source_v / (4 * loop_ohm)
