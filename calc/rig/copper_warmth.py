"""How warm the copper of data runs lies: in the air around a kit, or inside its case."""

from math import inf

from calc.channel import COLDEST_C, HOTTEST_C
from calc.given import Given
from calc.rig.warm_cases import WarmCase, temperatures, warm_cases
from calc.rig.wiring import Lead, Wired

REFERENCE_C = 20.0
"""Taken where nobody said how warm it is around a kit: what the lengths of the standards are stated at. [°C]"""


def copper_c(wired: Wired, lead: Lead) -> Given:
    """Return how warm a lead lies, within what the standard's table covers. [°C]

    That is what the kit's surroundings have, with the rise inside for a lead between two ports in the same case: at
    least so much as is known to turn to heat there, so that no run is blamed for heat that may not be. Beyond the end
    of the table a run is judged as at its end; that the case is too hot, ``case-hot`` says.
    """
    case = _case_around(wired, lead)
    inside_c = None if case is None else _inside_c(case)
    if case is not None and inside_c is not None:
        known = case.kit.build is not None and case.heat_w.provenance not in ("assumed", "unknown")
        return _given(inside_c, "data sheet" if known else "assumed")
    kits = [wired.place_of(node).kit for node in lead.joins]
    stated = [kit.ambient_celsius for kit in kits if kit.ambient_celsius is not None]
    return _given(max(stated), "data sheet") if stated else _given(REFERENCE_C, "assumed")


def _given(celsius: float, provenance: str) -> Given:
    return Given.known(min(max(celsius, COLDEST_C), HOTTEST_C), provenance, "kit.ambient_celsius")


def _case_around(wired: Wired, lead: Lead) -> WarmCase | None:
    """Return the innermost case in which both ends of a lead are; none if one of them is on the outside."""
    ends = {node[0] for node in lead.joins}
    if len(lead.joins) < 2 or any(wired.ports[node].face == "outside" for node in lead.joins):
        return None
    around = [case for case in warm_cases(wired) if ends <= case.inside | {case.case.id}]
    return min(around, key=lambda case: len(case.inside), default=None)


def _inside_c(case: WarmCase) -> float | None:
    """Return how warm it is at least inside a case; None where nobody can say. [°C]"""
    if case.silent_fan is not None or case.heat_w.low == inf:
        return None
    reached = temperatures(case, case.heat_w.low, "mild")
    return None if reached is None else reached.running_c
