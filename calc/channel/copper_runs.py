"""Copper runs: how far they reach, and what they carry."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum
from types import MappingProxyType

from calc.errors import LEAST_ABOVE_ZERO, BadInput, require_items, require_number, require_one_of, require_whole

LENGTH_LIMIT_M = 100.0
EQUIVALENT_LIMIT_M = 102.0
JOINTS_LIMIT = 4  # from memory
COLDEST_C, HOTTEST_C = -20.0, 60.0
"""Between these the standard says what heat takes. [°C] −20 from memory."""

CORD_DERATING = MappingProxyType({24: 0.2, 26: 0.5, 28: 0.95})
"""D: how much more a stranded cord of that gauge attenuates than the fixed cable. [-] 28 AWG from memory."""

CATEGORIES = ("3", "5", "5e", "6", "6a", "7", "7a", "8")  # weakest first; 3, 5, 7, 7a and 8 from memory

_REACH_M = MappingProxyType(
    {
        10: (("3", 100.0),),  # 10BASE-T, from memory
        100: (("5", 100.0),),  # 100BASE-TX, from memory
        1_000: (("5", 100.0),),  # 1000BASE-T; read for category 5e, category 5 from memory
        2_500: (("5e", 100.0),),  # 2.5GBASE-T, from memory
        5_000: (("6", 100.0),),  # 5GBASE-T, from memory
        10_000: (("6", 55.0), ("6a", 100.0)),  # 10GBASE-T
        25_000: (("8", 30.0),),  # 25GBASE-T, from memory
        40_000: (("8", 30.0),),  # 40GBASE-T, from memory
    }
)
"""Speed in Mb/s → for a category and every better one, the length in metres that carries it."""

_TWO_PAIR_SPEEDS_MBPS = (10, 100)

_NANOMETRE_DIGITS = 9  # sums of decimal lengths are rounded here, so that 0.1 + 0.2 does not tip a limit


@dataclass(frozen=True, slots=True)
class Span:
    """One cable of a run, between two joints or between a joint and an active port."""

    length_m: float
    """Length of the cable. [m]"""
    category: str
    """Category of its data sheet, such as ``"5e"`` or ``"cat6a"``."""
    cord_awg: int | None = None
    """Gauge of a stranded cord; None for a fixed (solid) cable. [AWG]"""
    pairs: int = 4
    """Pairs that are connected through. [-]"""
    temperature_c: float | None = None
    """How warm it lies, where that is not the temperature of the run. [°C]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CopperRun:
    """A copper run against the limits of the cabling standard."""

    length_m: float
    """Physical length. [m]"""
    length_limit_m: float
    length_margin_m: float
    equivalent_m: float
    """Length of fixed cable that loses as much: fixed + Σ cord·(1 + D). [m]"""
    equivalent_limit_m: float
    """102 m at 20 °C, less where the run is hotter. [m]"""
    equivalent_margin_m: float
    joints: int
    """Places where two spans meet; the active ports are not counted. [-]"""
    joints_limit: int
    category: str
    """The weakest span's category, as it was written."""
    shorten_by_m: float
    """Least metres of fixed cable to take out so that both lengths are within their limits; 0 if they are. [m]"""
    max_speed_mbps: int | None
    """Highest speed for the weakest category, the fewest pairs and the physical length; 0 if the pairs carry none, None
    (not known) for a run beyond 100 m, where the standards say nothing. [Mb/s]"""
    ok: bool
    """Both lengths are within their limits and the asked speed is not above ``max_speed_mbps``; False beyond 100 m."""


def cord_allowance_m(fixed_m: float, awg: int) -> float:
    """Return the length of stranded cords that a fixed run leaves room for.

    The rule was written for cords at the two ends of a fixed run; with ``fixed_m`` 0, as on the road, it is an
    extrapolation of the same attenuation ratio.

    Args:
        fixed_m: Length of fixed (solid) cable. [m]
        awg: Gauge of the cords: 24, 26 or 28. [AWG]

    Raises:
        BadInput: ``fixed_m`` is not in 0..102, or the standard has no de-rating for the gauge.

    >>> cord_allowance_m(90, 24)
    10.0

    Source: ANSI/TIA-568, cord length rule C = (102 − H)/(1 + D); D of 28 AWG from memory.
    """
    require_number("fixed_m", fixed_m, least=0, most=EQUIVALENT_LIMIT_M)
    return (EQUIVALENT_LIMIT_M - fixed_m) / (1 + _derating("awg", awg))


def temperature_factor(temperature_c: float) -> float:
    """Return how much more unscreened cable attenuates at a temperature than at 20 °C.

    Below 20 °C the standard gives no credit and neither does this.

    Args:
        temperature_c: Temperature of the cable, −20 to 60. [°C]

    Raises:
        BadInput: outside the range of temperatures that the standard covers.

    Source: ANSI/TIA-568.2-D: +4 % per 10 °C from 20 to 40 °C, +6 % per 10 °C from 40 to 60 °C; −20 °C from memory.
    """
    require_number("temperature_c", temperature_c, least=COLDEST_C, most=HOTTEST_C)
    warm_c = min(max(temperature_c - 20, 0), 20)
    hot_c = max(temperature_c - 40, 0)
    return 1 + 0.004 * warm_c + 0.006 * hot_c


def copper(spans: Sequence[Span], speed_mbps: float, temperature_c: float = 20) -> CopperRun:
    """Return a copper run's lengths, joints and highest speed against the standard's limits.

    A run beyond 100 m may still work: what speed it carries is not known (``max_speed_mbps`` is None).

    Heat takes from the equivalent limit, not from the physical one, each span as much as it loses. The reach of
    10GBASE-T on category 6 is the 55 m of a loose cable; cables that lie bundled over a long way may carry it 37 m
    only. Joints have a limit of their own that ``ok`` leaves aside.

    Args:
        spans: The cables of the run, in order, at least one. [-]
        speed_mbps: Speed that the two active ports want: 10 to 40 000, one that IEEE 802.3 has. [Mb/s]
        temperature_c: Temperature of the cables that state none of their own, −20 to 60. [°C]

    Raises:
        BadInput: no span, a negative length, a category, gauge, number of pairs or speed that the standards do not
            have, or a temperature outside their range.

    Source: ANSI/TIA-568 (100 m, 102 m equivalent, D, temperature; 4 connections from memory); IEEE 802.3 and TIA
        TSB-155 (reach by category; what is from memory is marked beside the table).
    """
    spans = require_items("spans", spans, Span)
    _require_spans(spans)
    require_number("speed_mbps", speed_mbps)
    if speed_mbps not in _REACH_M:
        raise BadInput("speed_mbps", speed_mbps, "one of " + ", ".join(str(speed) for speed in _REACH_M))
    length_m = round(fsum(span.length_m for span in spans), _NANOMETRE_DIGITS)
    equivalent_m = round(fsum(_equivalent_m(span) for span in spans), _NANOMETRE_DIGITS)
    equivalent_limit_m = EQUIVALENT_LIMIT_M / _mean_temperature_factor(spans, temperature_c)
    weakest = min(spans, key=lambda span: _rank(span.category))
    max_speed_mbps = _max_speed_mbps(_rank(weakest.category), min(span.pairs for span in spans), length_m)
    within = length_m <= LENGTH_LIMIT_M and equivalent_m <= equivalent_limit_m
    return CopperRun(
        length_m=length_m,
        length_limit_m=LENGTH_LIMIT_M,
        length_margin_m=LENGTH_LIMIT_M - length_m,
        equivalent_m=equivalent_m,
        equivalent_limit_m=equivalent_limit_m,
        equivalent_margin_m=equivalent_limit_m - equivalent_m,
        joints=len(spans) - 1,
        joints_limit=JOINTS_LIMIT,
        category=weakest.category,
        shorten_by_m=max(0.0, length_m - LENGTH_LIMIT_M, equivalent_m - equivalent_limit_m),
        max_speed_mbps=max_speed_mbps,
        ok=within and max_speed_mbps is not None and speed_mbps <= max_speed_mbps,
    )


def _derating(argument: str, awg: int) -> float:
    require_one_of(argument, awg, tuple(CORD_DERATING))
    return CORD_DERATING[awg]


def _equivalent_m(span: Span) -> float:
    if span.cord_awg is None:
        return span.length_m
    return span.length_m * (1 + CORD_DERATING[span.cord_awg])


def _mean_temperature_factor(spans: Sequence[Span], temperature_c: float) -> float:
    """Return how much more all spans together attenuate than at 20 °C, each by the length that it counts for."""
    of_run = temperature_factor(temperature_c)
    factors = [of_run if span.temperature_c is None else temperature_factor(span.temperature_c) for span in spans]
    at_20_c_m = fsum(_equivalent_m(span) for span in spans)
    if len(set(factors)) == 1 or at_20_c_m < LEAST_ABOVE_ZERO:
        return factors[0]
    warm_m = fsum(_equivalent_m(span) * factor for span, factor in zip(spans, factors, strict=True))
    return warm_m / at_20_c_m


def _require_spans(spans: Sequence[Span]) -> None:
    if not spans:
        raise BadInput("spans", spans, "at least one span")
    for place, span in enumerate(spans):
        name = f"spans[{place}]"
        require_number(f"{name}.length_m", span.length_m, least=0)
        require_whole(f"{name}.pairs", span.pairs, least=1, most=4)
        if span.temperature_c is not None:
            require_number(f"{name}.temperature_c", span.temperature_c, least=COLDEST_C, most=HOTTEST_C)
        if span.cord_awg is not None:
            _derating(f"{name}.cord_awg", span.cord_awg)
        if _category_name(span.category) not in CATEGORIES:
            raise BadInput(f"{name}.category", span.category, "one of " + ", ".join(CATEGORIES))


def _category_name(category: object) -> str:
    """Return the bare name: "Cat 6A", "cat6a" and "6a" are written on reels for the same thing."""
    return str(category).lower().replace(" ", "").removeprefix("category").removeprefix("cat").removeprefix(".")


def _rank(category: str) -> int:
    return CATEGORIES.index(_category_name(category))


def _max_speed_mbps(rank: int, pairs: int, length_m: float) -> int | None:
    if length_m > LENGTH_LIMIT_M:
        return None
    carried = [
        speed_mbps
        for speed_mbps, reaches in _REACH_M.items()
        if pairs >= (2 if speed_mbps in _TWO_PAIR_SPEEDS_MBPS else 4)
        and any(rank >= CATEGORIES.index(name) and length_m <= reach_m for name, reach_m in reaches)
    ]
    return max(carried, default=0)
