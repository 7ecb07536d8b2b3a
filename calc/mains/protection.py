"""What a breaker sees: the fault at the end of a long cord, and the rush when many supplies are switched on together.

Curves B, C and D are those of IEC 60898-1; North American breakers carry none, and no answer is made up for them.
"""

from math import floor, sqrt

from calc.errors import BadInput, require_number, require_one_of
from calc.rules import rule_set
from calc.vocabulary import BREAKER_CURVES

HALF_PERIOD_MS = 10.0
"""From this length on a pulse is a current: its pulse factor is 1. [ms at 50 Hz]"""

LOOP_VOLTS_FACTOR = 0.95
"""Least over nominal voltage, Cmin. [-] Source: IEC 60364-4-41, from memory."""


def loop_impedance_ohm(
    supply_ohm: float, length_m: float, line_ohm_per_km: float, protective_ohm_per_km: float | None = None
) -> float:
    """Return the fault loop at the end of a cord: supply, out along the line, back along the protective conductor. [Ω]

    For cords in series, feed the answer of one in as the ``supply_ohm`` of the next. Resistances are added to the
    supply's impedance as they stand, which is never less than the exact sum.

    Args:
        supply_ohm: Loop impedance at the socket, measured. [Ω]
        length_m: Length of the cord, one way. [m]
        line_ohm_per_km: Of the line conductor at its working temperature (70 °C for PVC). [Ω/km]
        protective_ohm_per_km: Of the protective conductor; the same as the line where left out. [Ω/km]

    Raises:
        BadInput: a negative impedance or length, or a conductor without resistance.

    Source: IEC 60364-4-41.
    """
    require_number("supply_ohm", supply_ohm, least=0)
    require_number("length_m", length_m, least=0)
    require_number("line_ohm_per_km", line_ohm_per_km, above=0)
    back_ohm_per_km = line_ohm_per_km
    if protective_ohm_per_km is not None:
        back_ohm_per_km = require_number("protective_ohm_per_km", protective_ohm_per_km, above=0)
    return supply_ohm + length_m / 1000 * (line_ohm_per_km + back_ohm_per_km)


def loop_limit_ohm(breaker_a: float, curve: str, volts: float) -> float:
    """Return the highest fault loop at which a breaker still disconnects at once. [Ω]

    Args:
        breaker_a: Rating of the breaker. [A]
        curve: ``"B"``, ``"C"`` or ``"D"``. [-]
        volts: Nominal, line to earth. [V]

    Raises:
        BadInput: no rating, no volts, or a curve that is not one of the standard.

    Source: IEC 60364-4-41, Zs ≤ Cmin·U0/Ia with Cmin 0.95; Ia = 5, 10, 20 times the rating, IEC 60898-1; from memory.
    """
    _, surely = _instant_multiples(breaker_a, curve)
    require_number("volts", volts, above=0)
    return LOOP_VOLTS_FACTOR * volts / (surely * breaker_a)


def disconnects(breaker_a: float, curve: str, loop_ohm: float, volts: float) -> bool:
    """Return whether a breaker trips at once on a fault to earth at the end of that loop.

    Says nothing of a residual-current device, which trips on far less, nor of a fault between line and neutral.

    Args:
        breaker_a: Rating of the breaker. [A]
        curve: ``"B"``, ``"C"`` or ``"D"``. [-]
        loop_ohm: Fault loop, supply and cords. [Ω]
        volts: Nominal, line to earth. [V]

    Raises:
        BadInput: no rating, no volts, no impedance, or a curve that is not one of the standard.

    Source: IEC 60364-4-41, as ``loop_limit_ohm``.
    """
    require_number("loop_ohm", loop_ohm, above=0)
    return loop_ohm <= loop_limit_ohm(breaker_a, curve, volts)


def instant_floor_a(breaker_a: float, curve: str, pulse_factor: float = 1.0) -> float:
    """Return the peak that surely does not trip a breaker at once. [A peak]

    The published multiples are effective values, hence the factor √2; a short pulse may be higher by the breaker's own
    pulse factor (from its data sheet), and 1 is the cautious figure where that is not known.

    Args:
        breaker_a: Rating of the breaker. [A]
        curve: ``"B"``, ``"C"`` or ``"D"``. [-]
        pulse_factor: Tolerated pulse over tolerated sine, for the length of the pulse. [-]

    Raises:
        BadInput: no rating, a curve that is not one of the standard, or a pulse factor below 1.

    Source: IEC 60898-1, lower ends 3, 5, 10 times the rating; from memory.
    """
    not_yet, _ = _instant_multiples(breaker_a, curve)
    require_number("pulse_factor", pulse_factor, least=1)
    return not_yet * breaker_a * sqrt(2) * pulse_factor


def inrush_group(
    breaker_a: float,
    curve: str | None,
    inrush_a: float | None,
    inrush_ms: float | None,
    *,
    pulse_factor: float = 1.0,
    running_a: float = 0.0,
) -> int | None:
    """Return how many alike supplies may be switched on together, or None if that is not known.

    0: already one may trip the breaker. Supplies that restart together after a dip rush together too.

    Args:
        breaker_a: Rating of the breaker. [A]
        curve: ``"B"``, ``"C"`` or ``"D"``; None where nobody knows, and for breakers that carry none. [-]
        inrush_a: Peak of the inrush of one supply, None if not known. [A peak]
        inrush_ms: How long it lasts, None if not known. [ms]
        pulse_factor: As ``instant_floor_a``; 1 for a pulse of 10 ms and more. [-]
        running_a: Effective current of what is on already. [A]

    Raises:
        BadInput: no rating, an unknown curve, no peak, no length, a pulse factor below 1 or above 1 for a long pulse,
            or a negative running current.

    Source: IEC 60898-1; adding all peaks at once is common practice on the cautious end.
    """
    require_number("breaker_a", breaker_a, above=0)
    require_number("running_a", running_a, least=0)
    require_number("pulse_factor", pulse_factor, least=1)
    for argument, value in (("inrush_a", inrush_a), ("inrush_ms", inrush_ms)):
        if value is not None:
            require_number(argument, value, above=0)
    if curve is not None:
        require_one_of("curve", curve, BREAKER_CURVES)
    if curve is None or inrush_a is None or inrush_ms is None:
        return None
    floor_a = instant_floor_a(breaker_a, curve, pulse_factor)
    if pulse_factor > 1 and inrush_ms >= HALF_PERIOD_MS:
        raise BadInput("pulse_factor", pulse_factor, f"1 for a pulse of {HALF_PERIOD_MS:g} ms or longer")
    return max(0, floor((floor_a - running_a * sqrt(2)) / inrush_a))


def _instant_multiples(breaker_a: float, curve: str) -> tuple[float, float]:
    require_number("breaker_a", breaker_a, above=0)
    require_one_of("curve", curve, BREAKER_CURVES)
    return rule_set("iec").breaker_instant_multiples[curve]
