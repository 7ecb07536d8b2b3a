"""Copper and fibre runs: how far they reach, and what they carry.

A run is what the cabling standards call a channel: everything between two active ports.
"""

from calc.channel.copper_runs import (
    CATEGORIES,
    COLDEST_C,
    CORD_DERATING,
    EQUIVALENT_LIMIT_M,
    HOTTEST_C,
    LENGTH_LIMIT_M,
    CopperRun,
    Span,
    copper,
    cord_allowance_m,
    temperature_factor,
)
from calc.channel.fibre_runs import (
    FIBRE_APPLICATIONS,
    FIBRES,
    FibreBudget,
    Optics,
    fibre_budget_db,
    fibre_loss_db,
    fibre_loss_limit_db,
    fibre_reach_m,
    optics_of,
)

__all__ = [
    "CATEGORIES",
    "COLDEST_C",
    "CORD_DERATING",
    "EQUIVALENT_LIMIT_M",
    "FIBRES",
    "FIBRE_APPLICATIONS",
    "HOTTEST_C",
    "LENGTH_LIMIT_M",
    "CopperRun",
    "FibreBudget",
    "Optics",
    "Span",
    "copper",
    "cord_allowance_m",
    "fibre_budget_db",
    "fibre_loss_db",
    "fibre_loss_limit_db",
    "fibre_reach_m",
    "optics_of",
    "temperature_factor",
]
