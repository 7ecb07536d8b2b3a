"""The checks: one file per theme, a register, and the runner that says what they find in a kit."""

# Importing a theme registers its checks: this order is the order of the documentation and of equals among findings.
# isort: off
from calc.checks import links, ports, network, segments, traffic, upkeep, cabling, fibre  # noqa: F401
from calc.checks import poe, poe_devices, direct_current, couplers, circuits, cords, mains_touch  # noqa: F401
from calc.checks import heat, carriage, dmx, group_traffic, contents, data  # noqa: F401

# isort: on
from calc.checks.capability import Capability, PanelPorts, PlugMap, PlugRow, PoweredPorts, capability
from calc.checks.findings import Figures, Finding, Range, Result, SourceFigure, Subject, verdict
from calc.checks.registry import CHECKS, RULES_VERSION, Check, check
from calc.checks.runner import evaluate, merge, run

__all__ = [
    "CHECKS",
    "RULES_VERSION",
    "Capability",
    "Check",
    "Figures",
    "Finding",
    "PanelPorts",
    "PlugMap",
    "PlugRow",
    "PoweredPorts",
    "Range",
    "Result",
    "SourceFigure",
    "Subject",
    "capability",
    "check",
    "evaluate",
    "merge",
    "run",
    "verdict",
]
