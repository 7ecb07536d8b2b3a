"""The checks: one file per theme, a register, and the runner that says what they find in a kit."""

from calc.checks import contents, data, links, ports  # noqa: F401 - they register their checks
from calc.checks.capability import Capability, PanelPorts, PlugMap, PlugRow, PoweredPorts
from calc.checks.findings import Figures, Finding, Result, SourceFigure, Subject, verdict
from calc.checks.registry import CHECKS, RULES_VERSION, Check, check
from calc.checks.runner import run

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
    "Result",
    "SourceFigure",
    "Subject",
    "check",
    "run",
    "verdict",
]
