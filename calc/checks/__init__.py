"""The checks: one file per theme, a register, and the runner that says what they find in a kit."""

# Importing a theme registers its checks: this order is the order of the documentation and of equals among findings.
# isort: off
from calc.rig.figures import Figures, SourceFigure
from calc.checking.compared import Range
from calc.rig.subjects import Subject
from calc.checks import links, ports, network, segments, traffic, upkeep, cabling, fibre, optics  # noqa: F401
from calc.checks import poe, poe_devices, direct_current, couplers, circuits, cords, mains_touch, sources  # noqa: F401
from calc.checks import heat, carriage, dmx, signals, loudspeakers, group_traffic, contents, data  # noqa: F401

# isort: on
from calc.checking.findings import Finding, Result, verdict
from calc.checking.registry import CHECKS, RULES_VERSION, Check, check
from calc.checking.runner import evaluate, merge, run

__all__ = [
    "CHECKS",
    "RULES_VERSION",
    "Check",
    "Figures",
    "Finding",
    "Range",
    "Result",
    "SourceFigure",
    "Subject",
    "check",
    "evaluate",
    "merge",
    "run",
    "verdict",
]
