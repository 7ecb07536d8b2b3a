"""Volts at the load: what a lead leaves of the supply, for direct current, one phase and three.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from dataclasses import dataclass
from math import sqrt

from calc.conductors import drop_v
from calc.errors import require_number, require_one_of


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadVolts:
    """What arrives across the load, or the sentence that says why nothing can."""

    supply_v: float
    lost_v: float | None
    """None where the load asks for more than the lead can carry, so that no current does it. [V]"""
    lost_percent: float | None
    at_load_v: float | None
    """None where more would be lost than there is. [V]"""
    current_a: float | None
    why: str
    """Empty where something arrives; else a sentence."""


def at_current(
    supply_v: float,
    current_a: float,
    length_m: float,
    ohm_per_km: float,
    phases: int = 1,
    power_factor: float = 1.0,
    reactance_ohm_per_km: float = 0.0,
) -> LoadVolts:
    """Return the volts at the end of a lead whose load draws a fixed current.

    Direct current and one phase lose volts out and back. A balanced three-phase lead loses them along one conductor,
    against the volts between line and neutral; the share lost is the same between lines.

    Args:
        supply_v: Across a load at the near end; between line and neutral for 3 phases. [V]
        current_a: In each line. [A]
        length_m: One way. [m]
        ohm_per_km: Of one conductor at its working temperature. [Ω/km]
        phases: 1 (also direct current), or 3, balanced. [-]
        power_factor: Of the load, lagging; 1 for direct current. [-]
        reactance_ohm_per_km: Of one conductor; 0 for direct current. [Ω/km]

    Raises:
        BadInput: no supply, or as ``calc.conductors.drop_v``.

    Source: IEC 60364-5-52 annex G, b = 2 for one phase and 1 for three.
    """
    require_number("supply_v", supply_v, above=0)
    lost_v = drop_v(current_a, length_m, ohm_per_km, phases, power_factor, reactance_ohm_per_km)
    if phases == 3:
        lost_v /= sqrt(3)  # ``drop_v`` answers between lines
    return _left_of(supply_v, lost_v, current_a)


def at_worst_leg(
    supply_v: float, legs_a: tuple[float, ...], length_m: float, ohm_per_km: float, power_factor: float = 1.0
) -> LoadVolts:
    """Return the volts on the leg that loses most, of a lead with a neutral and unequal loads on its legs.

    The leg loses volts along its own conductor and, by what the other legs do not cancel, along the neutral: with the
    other legs empty that is out and back, with all legs equal it is one conductor. All loads have one power factor, and
    no harmonics: with them the neutral carries more (``calc.mains.neutral_current_a``).

    Args:
        supply_v: Between a line and neutral. [V]
        legs_a: Current of each leg: two for split phase (120/240), three for three phases. [A]
        length_m: One way. [m]
        ohm_per_km: Of one conductor, the neutral likewise. [Ω/km]
        power_factor: Of the loads. [-]

    Raises:
        BadInput: no supply or resistance, other than two or three legs, a negative current or length, or a power factor
            outside 0 to 1.

    Source: IEC 60364-5-52 annex G for the leg; Kirchhoff for the neutral.
    """
    require_number("supply_v", supply_v, above=0)
    require_one_of("legs_a", len(legs_a), (2, 3))
    for place, leg_a in enumerate(legs_a):
        require_number(f"legs_a[{place}]", leg_a, least=0)
    worst_a = max(legs_a)
    others_a = sum(legs_a) - worst_a
    cancelled_a = others_a if len(legs_a) == 2 else others_a / 2
    # What a leg loses along its conductor, and along the neutral by the part of its current in step with the leg.
    lost_v = drop_v(2 * worst_a - min(cancelled_a, worst_a), length_m, ohm_per_km, 1, power_factor) / 2
    return _left_of(supply_v, lost_v, worst_a)


def at_constant_power(supply_v: float, watts: float, length_m: float, ohm_per_km: float) -> LoadVolts:
    """Return the volts at the end of a lead whose load draws the same watts at whatever volts arrive.

    Converters and switch-mode supplies do: the lower the volts, the more current, the more is lost. Beyond a quarter of
    supply² over the loop's resistance no current brings those watts.

    Args:
        supply_v: At the near end, direct current or one phase. [V]
        watts: At the load. [W]
        length_m: One way. [m]
        ohm_per_km: Of one conductor at its working temperature. [Ω/km]

    Raises:
        BadInput: no supply or resistance, or negative watts or length.

    Source: Kirchhoff, V·I − R·I² = P.
    """
    require_number("supply_v", supply_v, above=0)
    require_number("watts", watts, least=0)
    loop_ohm = drop_v(1.0, length_m, ohm_per_km)
    most_w = supply_v**2 / (4 * loop_ohm) if loop_ohm > 0 else None
    if most_w is not None and watts > most_w:
        why = f"No current can bring {watts:g} W to the end of this lead: at most {most_w:.1f} W arrive there."
        return LoadVolts(supply_v=supply_v, lost_v=None, lost_percent=None, at_load_v=None, current_a=None, why=why)
    current_a = 2 * watts / (supply_v + sqrt(max(0.0, supply_v**2 - 4 * loop_ohm * watts)))
    return _left_of(supply_v, current_a * loop_ohm, current_a)


def _left_of(supply_v: float, lost_v: float, current_a: float) -> LoadVolts:
    arrives = lost_v < supply_v
    why = f"This lead would lose {lost_v:.0f} V, more than the {supply_v:g} V that there are: nothing runs at its end."
    return LoadVolts(
        supply_v=supply_v,
        lost_v=lost_v,
        lost_percent=100 * lost_v / supply_v,
        at_load_v=supply_v - lost_v if arrives else None,
        current_a=current_a,
        why="" if arrives else why,
    )
