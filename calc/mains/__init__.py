"""Mains power: currents, limits, neutral, leakage, protection, and loads spread over circuits.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from calc.mains.circuits import Circuit, CircuitLoad, Load, Spread, spread
from calc.mains.leakage import LeakageSteps, leakage_limit_ma, leakage_steps_ma
from calc.mains.neutral import neutral_current_a, phase_current_a
from calc.mains.power import apparent_power_va, continuous_limit_a, current_a, label_va
from calc.mains.protection import disconnects, inrush_group, instant_floor_a, loop_impedance_ohm, loop_limit_ohm

__all__ = [
    "Circuit",
    "CircuitLoad",
    "LeakageSteps",
    "Load",
    "Spread",
    "apparent_power_va",
    "continuous_limit_a",
    "current_a",
    "disconnects",
    "inrush_group",
    "instant_floor_a",
    "label_va",
    "leakage_limit_ma",
    "leakage_steps_ma",
    "loop_impedance_ohm",
    "loop_limit_ohm",
    "neutral_current_a",
    "phase_current_a",
    "spread",
]
