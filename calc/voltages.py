"""Systems of supply voltage: what is between line and neutral, and what between two lines.

A number on a label or typed at a feed is the name of a system, not a measurement: 220, 230 and 240 V all mean the
230/400 V system, 110 to 120 V the 120 V one. Local codes, the venue's rules and a licensed electrician decide.
"""

from dataclasses import dataclass
from types import MappingProxyType

from calc.errors import require_number, require_one_of

TOLERANCE = 0.10
"""A nominal voltage stands for itself, more or less by this share. [-] Source: IEC 60038."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VoltageSystem:
    """One system of supply, by its nominal voltages."""

    name: str
    line_to_neutral_v: float | None
    """None where no neutral comes along. [V]"""
    line_to_line_v: float | None
    """None where there is one line only. [V]"""
    line_to_earth_v: float
    lines: int
    """1, 2 (split phase, or both ends of a transformer) or 3."""
    labels: tuple[tuple[float, float], ...]
    """Spans of the numbers that are written for one of its voltages, both ends included. [V]"""
    source: str


_230 = (220.0, 240.0)
_120 = (110.0, 127.0)
_400 = (380.0, 415.0)

_SYSTEMS = (
    VoltageSystem(
        name="230/400", line_to_neutral_v=230.0, line_to_line_v=400.0, line_to_earth_v=230.0, lines=3,
        labels=(_230, _400), source="IEC 60038",
    ),
    VoltageSystem(
        name="230", line_to_neutral_v=230.0, line_to_line_v=None, line_to_earth_v=230.0, lines=1,
        labels=(_230,), source="IEC 60038",
    ),
    VoltageSystem(
        name="110 centre-earthed", line_to_neutral_v=None, line_to_line_v=110.0, line_to_earth_v=55.0, lines=2,
        labels=((110.0, 110.0),), source="BS 7671 411.8 (reduced low voltage), from memory",
    ),
    VoltageSystem(
        name="120", line_to_neutral_v=120.0, line_to_line_v=None, line_to_earth_v=120.0, lines=1,
        labels=(_120,), source="ANSI C84.1, from memory",
    ),
    VoltageSystem(
        name="120/240", line_to_neutral_v=120.0, line_to_line_v=240.0, line_to_earth_v=120.0, lines=2,
        labels=(_120, (220.0, 250.0)), source="ANSI C84.1, from memory",
    ),
    VoltageSystem(
        name="120/208", line_to_neutral_v=120.0, line_to_line_v=208.0, line_to_earth_v=120.0, lines=3,
        labels=(_120, (200.0, 208.0)), source="ANSI C84.1, from memory",
    ),
    VoltageSystem(
        name="277/480", line_to_neutral_v=277.0, line_to_line_v=480.0, line_to_earth_v=277.0, lines=3,
        labels=((265.0, 277.0), (440.0, 480.0)), source="ANSI C84.1, from memory",
    ),
    VoltageSystem(
        name="100", line_to_neutral_v=100.0, line_to_line_v=None, line_to_earth_v=100.0, lines=1,
        labels=((100.0, 100.0),), source="IEC 60038 annex (100 V systems), from memory",
    ),
    VoltageSystem(
        name="100/200", line_to_neutral_v=100.0, line_to_line_v=200.0, line_to_earth_v=100.0, lines=2,
        labels=((100.0, 100.0), (200.0, 200.0)), source="IEC 60038 annex (100 V systems), from memory",
    ),
)  # fmt: skip
_BY_NAME = MappingProxyType({system.name: system for system in _SYSTEMS})
VOLTAGE_SYSTEMS = tuple(_BY_NAME)

# Label → the nominal voltage that it is a local name of.
_NOMINAL_OF_LABEL = ((_230, 230.0), ((110.0, 120.0), 120.0), (_400, 400.0))


def voltage_system(name: str) -> VoltageSystem:
    """Return the system of that name.

    Args:
        name: One of ``VOLTAGE_SYSTEMS``, such as ``"230/400"``. [-]

    Raises:
        BadInput: there is no such system.

    >>> voltage_system("230/400").line_to_line_v
    400.0

    Source: IEC 60038; ANSI C84.1 from memory.
    """
    require_one_of("name", name, VOLTAGE_SYSTEMS)
    return _BY_NAME[name]


def systems_of(volts: float, lines: int) -> tuple[VoltageSystem, ...]:
    """Return the systems that a number typed at a feed may mean; none: not known, several: ask.

    The number may be either voltage of the system: three lines and 230 V, or three lines and 400 V, are both 230/400.

    Args:
        volts: As typed, between line and neutral or between lines. [V]
        lines: How many lines the feed has: 1, 2 or 3. [-]

    Raises:
        BadInput: no volts, or lines other than 1, 2 and 3.

    Source: IEC 60038; ANSI C84.1 from memory; which numbers are written for a system is common practice.
    """
    require_number("volts", volts, above=0)
    require_one_of("lines", lines, (1, 2, 3))
    of_lines = [system for system in _SYSTEMS if system.lines == lines]
    return tuple(system for system in of_lines if any(low <= volts <= high for low, high in system.labels))


def accepted_v(low_v: float, high_v: float | None = None) -> tuple[float, float]:
    """Return the volts that a label accepts: a range is what it says, one number its system's tolerance. [V]

    One number is a nominal voltage. Where it is a local name of a system (220 or 240 V for 230), the tolerance of both
    counts: equipment marked 240 V runs on a 230 V supply.

    Args:
        low_v: The number, or the lower end of the range. [V]
        high_v: The upper end; None, or the same as ``low_v``, for one number. [V]

    Raises:
        BadInput: no volts, or the ends the wrong way round.

    >>> accepted_v(100, 240)
    (100, 240)

    Source: IEC 60038, ±10 %.
    """
    require_number("low_v", low_v, above=0)
    if high_v is not None:
        require_number("high_v", high_v, least=low_v)
        if high_v > low_v:
            return low_v, high_v
    nominal = next((v for (least, most), v in _NOMINAL_OF_LABEL if least <= low_v <= most), low_v)
    least_v, most_v = min(low_v, nominal), max(low_v, nominal)
    return round(least_v * (1 - TOLERANCE), 6), round(most_v * (1 + TOLERANCE), 6)


def across_load_v(system: str, *, between_lines: bool) -> float | None:
    """Return the nominal volts across a load of a system; None if it has no such pair of conductors. [V]

    Args:
        system: One of ``VOLTAGE_SYSTEMS``. [-]
        between_lines: Whether the load is between two lines (or is a three-phase one), not between line and neutral.
            [-]

    Raises:
        BadInput: there is no such system.

    Source: as ``voltage_system``.
    """
    require_one_of("system", system, VOLTAGE_SYSTEMS)
    chosen = _BY_NAME[system]
    return chosen.line_to_line_v if between_lines else chosen.line_to_neutral_v
