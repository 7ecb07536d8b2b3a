"""Copper and fibre runs: how far they reach, and what they carry.

A run is what the cabling standards call a channel: everything between two active ports.
"""

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

_FIBRE_REACH_M = MappingProxyType(
    {
        ("1000BASE-SX", "OM1"): 275.0,
        ("1000BASE-SX", "OM2"): 550.0,
        ("1000BASE-SX", "OM3"): 550.0,  # from memory: the standard's figure for 50 µm, no more for better fibre
        ("1000BASE-SX", "OM4"): 550.0,  # from memory, likewise
        ("1000BASE-LX", "OM1"): 550.0,  # from memory
        ("1000BASE-LX", "OM2"): 550.0,  # from memory
        ("1000BASE-LX", "OM3"): 550.0,  # from memory
        ("1000BASE-LX", "OS"): 5_000.0,
        ("1000BASE-LX10", "OS"): 10_000.0,
        ("10GBASE-SR", "OM1"): 33.0,
        ("10GBASE-SR", "OM2"): 82.0,  # OM1/OM2 split from memory
        ("10GBASE-SR", "OM3"): 300.0,
        ("10GBASE-SR", "OM4"): 400.0,
        ("10GBASE-LR", "OS"): 10_000.0,
        ("10GBASE-ER", "OS"): 40_000.0,
        ("25GBASE-SR", "OM3"): 70.0,  # IEEE 802.3 clause 112, from memory
        ("25GBASE-SR", "OM4"): 100.0,  # likewise
        ("25GBASE-LR", "OS"): 10_000.0,  # IEEE 802.3 clause 114, from memory
    }
)
_FIBRE_LOSS_LIMIT_DB = MappingProxyType(  # all from memory: channel insertion loss, the connections between included
    {
        ("1000BASE-SX", "OM1"): 2.6,
        ("1000BASE-SX", "OM2"): 3.56,
        ("1000BASE-SX", "OM3"): 3.56,
        ("1000BASE-SX", "OM4"): 3.56,
        ("1000BASE-LX", "OM1"): 2.35,
        ("1000BASE-LX", "OM2"): 2.35,
        ("1000BASE-LX", "OM3"): 2.35,
        ("1000BASE-LX", "OS"): 4.57,
        ("1000BASE-LX10", "OS"): 6.0,
        ("10GBASE-SR", "OM1"): 1.6,
        ("10GBASE-SR", "OM2"): 1.8,
        ("10GBASE-SR", "OM3"): 2.6,
        ("10GBASE-SR", "OM4"): 2.9,
        ("25GBASE-SR", "OM3"): 1.8,
        ("25GBASE-SR", "OM4"): 1.9,
        ("25GBASE-LR", "OS"): 6.3,
        ("10GBASE-LR", "OS"): 6.2,
        ("10GBASE-ER", "OS"): 10.9,
    }
)
FIBRE_WAVELENGTH_NM = MappingProxyType(
    {
        ("1000BASE-SX", False): 850,
        ("1000BASE-LX", False): 1300,
        ("1000BASE-LX", True): 1310,
        ("1000BASE-LX10", True): 1310,
        ("10GBASE-SR", False): 850,
        ("25GBASE-SR", False): 850,
        ("25GBASE-LR", True): 1310,
        ("10GBASE-LR", True): 1310,
        ("10GBASE-ER", True): 1550,
    }
)
"""By application and whether the fibre is single-mode. Source: IEEE 802.3. [nm]"""
_MULTIMODE = ("OM1", "OM2", "OM3", "OM4")
_SINGLE_MODE = ("OS", "OS1", "OS2")
FIBRES = _MULTIMODE + _SINGLE_MODE
FIBRE_APPLICATIONS = tuple(dict.fromkeys(application for application, _ in _FIBRE_REACH_M))

MATED_PAIR_LOSS_DB = 0.75  # from memory
SPLICE_LOSS_DB = 0.3  # from memory
EXPANDED_BEAM_LOSS_DB = 1.5  # common practice
_MULTIMODE_LOSS_DB_PER_KM = MappingProxyType({850: 3.5, 1300: 1.5})  # from memory
_SINGLE_MODE_LOSS_DB_PER_KM = MappingProxyType({1310: 1.0, 1550: 1.0})  # from memory

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


@dataclass(frozen=True, slots=True, kw_only=True)
class FibreBudget:
    """The optical budget of a fibre run."""

    available_db: float
    """Weakest light sent over weakest light understood. [dB]"""
    loss_db: float
    margin_db: float
    """Light to spare. [dB]"""
    overload_margin_db: float | None
    """Room below the receiver's most; None if one of the two maxima is not known. [dB]"""
    ok: bool
    """No known margin is negative."""


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


def fibre_reach_m(fibre: str, application: str) -> float:
    """Return how far an optical application of IEEE 802.3 reaches on a kind of fibre.

    Args:
        fibre: ``"OM1"`` to ``"OM4"``, ``"OS1"``, ``"OS2"``, or ``"OS"`` for any single-mode fibre. [-]
        application: ``"1000BASE-SX"``, ``"1000BASE-LX"``, ``"1000BASE-LX10"``, ``"10GBASE-SR"``, ``"10GBASE-LR"``,
            ``"10GBASE-ER"``, ``"25GBASE-SR"`` or ``"25GBASE-LR"``. [-]

    Raises:
        BadInput: an unknown fibre or application, or one on which the standard does not run the other.

    Source: IEEE 802.3z; IEEE 802.3 clause 52. From memory: the OM1/OM2 split of 10GBASE-SR, 1000BASE-SX on OM3 and
        OM4, 1000BASE-LX on multimode fibre.
    """
    return _FIBRE_REACH_M[_fitting(fibre, application)]


def fibre_loss_limit_db(fibre: str, application: str) -> float:
    """Return the most that a run may lose between the two optics of an application of IEEE 802.3.

    The connections between the two ends count; those into the optics themselves do not: their launch power is stated
    behind them.

    Args:
        fibre: As ``fibre_reach_m``. [-]
        application: As ``fibre_reach_m``. [-]

    Raises:
        BadInput: as ``fibre_reach_m``.

    >>> fibre_loss_limit_db("OM3", "10GBASE-SR")
    2.6

    Source: IEEE 802.3, channel insertion loss; the figures are from memory.
    """
    return _FIBRE_LOSS_LIMIT_DB[_fitting(fibre, application)]


def _fitting(fibre: str, application: str) -> tuple[str, str]:
    require_one_of("fibre", fibre, FIBRES)
    require_one_of("application", application, FIBRE_APPLICATIONS)
    kind = "OS" if fibre in _SINGLE_MODE else fibre
    if (application, kind) not in _FIBRE_REACH_M:
        fitting = ", ".join(repr(name) for on, name in _FIBRE_REACH_M if on == application)
        raise BadInput("fibre", fibre, f"a fibre that {application} runs on: {fitting}")
    return application, kind


def fibre_loss_db(
    length_m: float,
    fibre: str,
    wavelength_nm: int,
    mated_pairs: int = 2,
    splices: int = 0,
    expanded_beam_pairs: int = 0,
) -> float:
    """Return the most that a sound, clean fibre run may lose.

    Args:
        length_m: Length of the fibre. [m]
        fibre: ``"OM1"`` to ``"OM4"``, ``"OS1"``, ``"OS2"`` or ``"OS"``. [-]
        wavelength_nm: 850 or 1300 on multimode, 1310 or 1550 on single-mode fibre. [nm]
        mated_pairs: Physical-contact connector pairs, the two at the ends included. [-]
        splices: Splices. [-]
        expanded_beam_pairs: Expanded-beam (lens) connector pairs. [-]

    Raises:
        BadInput: a negative length or count, an unknown fibre, or a wavelength that the fibre has no figure for.

    Source: ANSI/TIA-568: 0.75 dB a mated pair, 0.3 dB a splice, 3.5 / 1.5 dB/km multimode at 850 / 1300 nm, 1.0 dB/km
        single-mode (from memory); expanded beam 1.5 dB a pair is common practice.
    """
    require_number("length_m", length_m, least=0)
    require_one_of("fibre", fibre, FIBRES)
    loss_db_per_km = _SINGLE_MODE_LOSS_DB_PER_KM if fibre in _SINGLE_MODE else _MULTIMODE_LOSS_DB_PER_KM
    require_one_of("wavelength_nm", wavelength_nm, tuple(loss_db_per_km))
    joined_db = (
        require_whole("mated_pairs", mated_pairs, least=0) * MATED_PAIR_LOSS_DB
        + require_whole("splices", splices, least=0) * SPLICE_LOSS_DB
        + require_whole("expanded_beam_pairs", expanded_beam_pairs, least=0) * EXPANDED_BEAM_LOSS_DB
    )
    return joined_db + length_m / 1000 * loss_db_per_km[wavelength_nm]


def fibre_budget_db(
    loss_db: float,
    transmit_min_dbm: float,
    receive_min_dbm: float,
    transmit_max_dbm: float | None = None,
    receive_max_dbm: float | None = None,
    least_loss_db: float = 0.0,
) -> FibreBudget:
    """Return whether enough light arrives at the far end of a fibre run, and not too much.

    Long-range optics on a short run can blind their receiver: that is judged when both maxima are given.

    Args:
        loss_db: Most that the run may lose, as ``fibre_loss_db`` tells. [dB]
        transmit_min_dbm: Least power that the transmitter launches. [dBm]
        receive_min_dbm: Least power that the receiver understands. [dBm]
        transmit_max_dbm: Most power that the transmitter launches; None if not known. [dBm]
        receive_max_dbm: Most power that the receiver bears; None if not known. [dBm]
        least_loss_db: Least that the run loses for certain, an attenuator for instance. [dB]

    Raises:
        BadInput: a number is not finite, a loss is negative, ``least_loss_db`` is above ``loss_db``, or a maximum is
            below its minimum.

    Source: IEEE 802.3 clause 52, link power budget: launch power − channel insertion loss ≥ receiver sensitivity.
    """
    require_number("loss_db", loss_db, least=0)
    require_number("transmit_min_dbm", transmit_min_dbm)
    require_number("receive_min_dbm", receive_min_dbm)
    require_number("least_loss_db", least_loss_db, least=0, most=loss_db)
    if transmit_max_dbm is not None:
        require_number("transmit_max_dbm", transmit_max_dbm, least=transmit_min_dbm)
    if receive_max_dbm is not None:
        require_number("receive_max_dbm", receive_max_dbm, least=receive_min_dbm)
    available_db = transmit_min_dbm - receive_min_dbm
    margin_db = available_db - loss_db
    overload_margin_db = None
    if transmit_max_dbm is not None and receive_max_dbm is not None:
        overload_margin_db = receive_max_dbm - (transmit_max_dbm - least_loss_db)
    return FibreBudget(
        available_db=available_db,
        loss_db=loss_db,
        margin_db=margin_db,
        overload_margin_db=overload_margin_db,
        ok=margin_db >= 0 and (overload_margin_db is None or overload_margin_db >= 0),
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
