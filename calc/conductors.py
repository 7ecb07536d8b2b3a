"""Copper: gauges, resistance and the volts lost along it.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Mapping
from math import pi, sqrt
from typing import TypeVar

from calc.errors import BadInput, require_number, require_one_of, require_whole
from calc.rules import LEAST_AWG, MOST_AWG, rule_set

ALPHA20_PER_C = 0.00393
"""Rise of copper's resistance per kelvin, referred to 20 °C. [1/K] Source: IEC 60028."""

_ZERO_RESISTANCE_C = 20 - 1 / ALPHA20_PER_C
_COPPER_MELTS_C = 1084
_KM_PER_KFT = 0.3048

Size = TypeVar("Size", int, float)


def awg_diameter_mm(awg: int) -> float:
    """Return the diameter of a solid round wire. [mm]

    Args:
        awg: Gauge: 0 is 1/0, -1 is 2/0, -3 is 4/0. [AWG]

    Raises:
        BadInput: not a whole number from -3 to 56.

    Source: ASTM B258.
    """
    require_whole("awg", awg, least=LEAST_AWG, most=MOST_AWG)
    return float(0.127 * 92 ** ((36 - awg) / 39))


def awg_area_mm2(awg: int) -> float:
    """Return the cross-section of a solid round wire. [mm²]

    Args:
        awg: Gauge: 0 is 1/0, -1 is 2/0, -3 is 4/0. [AWG]

    Raises:
        BadInput: not a whole number from -3 to 56.

    Source: ASTM B258.
    """
    return pi / 4 * awg_diameter_mm(awg) ** 2


def flexible_ohm_per_km(area_mm2: float, temperature_c: float = 20) -> float:
    """Return the resistance of one flexible copper conductor (class 5, plain). [Ω/km]

    Args:
        area_mm2: Nominal area, one of the standard's sizes. [mm²]
        temperature_c: Of the conductor, not of the air. In use rather 60 (rubber) or 70 (PVC) than 20. [°C]

    Raises:
        BadInput: a size that the table lacks, or a temperature at which copper is no conductor of this law.

    Source: IEC 60228 table 3 class 5; temperature coefficient IEC 60028. Sizes above 35 mm² from memory.
    """
    at_20_c = _listed("area_mm2", area_mm2, rule_set("iec").flexible_ohm_per_km_at_20_c)
    return at_20_c * _growth_from_20_c(temperature_c)


def awg_ohm_per_km(awg: int, temperature_c: float = 75, *, stranded: bool = True) -> float:
    """Return the resistance of one uncoated copper conductor by the North American table. [Ω/km]

    Args:
        awg: Gauge: 0 is 1/0, -1 is 2/0, -3 is 4/0. [AWG]
        temperature_c: Of the conductor; the table is at 75. [°C]
        stranded: Cords are stranded, and a little higher than solid wire of the same gauge. [-]

    Raises:
        BadInput: a gauge that the table lacks, or a temperature at which copper is no conductor of this law.

    Source: NFPA 70 chapter 9 table 8, uncoated; stranded 18 to 8 and gauges 3, 1, 2/0, 3/0 from memory.
    """
    require_whole("awg", awg)
    rules = rule_set("north_america")
    table = rules.awg_stranded_ohm_per_kft_at_75_c if stranded else rules.awg_solid_ohm_per_kft_at_75_c
    at_75_c = _listed("awg", awg, table) / _KM_PER_KFT
    return at_75_c * _growth_from_20_c(temperature_c) / _growth_from_20_c(75)


def drop_v(
    current_a: float,
    length_m: float,
    ohm_per_km: float,
    phases: int = 1,
    power_factor: float = 1.0,
    reactance_ohm_per_km: float = 0.0,
) -> float:
    """Return the volts lost along a cable: out and return for 1 phase, line to line for 3. [V]

    Args:
        current_a: Line current. [A]
        length_m: Length of the cable, one way. [m]
        ohm_per_km: Resistance of one conductor at its working temperature. [Ω/km]
        phases: 1, or 3 (balanced). [-]
        power_factor: Of the load, lagging. [-]
        reactance_ohm_per_km: Of one conductor. [Ω/km]

    Raises:
        BadInput: a negative current, length or reactance, no resistance, phases other than 1 and 3, or a power factor
            outside 0 to 1.

    Source: IEC 60364-5-52 annex G, b·(R·cos φ + X·sin φ)·I.
    """
    require_number("current_a", current_a, least=0)
    require_number("length_m", length_m, least=0)
    require_number("ohm_per_km", ohm_per_km, above=0)
    require_one_of("phases", phases, (1, 3))
    require_number("power_factor", power_factor, least=0, most=1)
    require_number("reactance_ohm_per_km", reactance_ohm_per_km, least=0)
    along_the_volts = ohm_per_km * power_factor + reactance_ohm_per_km * sqrt(1 - power_factor**2)
    return (2 if phases == 1 else sqrt(3)) * current_a * length_m / 1000 * along_the_volts


def _growth_from_20_c(temperature_c: float) -> float:
    """Return resistance at that temperature over resistance at 20 °C. [-]"""
    require_number("temperature_c", temperature_c, above=_ZERO_RESISTANCE_C, most=_COPPER_MELTS_C)
    return 1 + ALPHA20_PER_C * (temperature_c - 20)


def _listed(argument: str, size: Size, table: Mapping[Size, float]) -> float:
    require_number(argument, size)
    if size not in table:
        raise BadInput(argument, size, "one of " + ", ".join(f"{known:g}" for known in sorted(table)))
    return table[size]
