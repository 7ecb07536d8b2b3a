"""Length and resistance of the mains leads on a way, at both ends of what is not known."""

from functools import cache

from calc.assumptions import mains_area_mm2, stated
from calc.checking.compared import Compared
from calc.checking.drafts import Draft, Input, about, about_port, name_of, undecided
from calc.conductors import awg_area_mm2, awg_ohm_per_km, flexible_ohm_per_km
from calc.given import Given
from calc.rig.kit import CableSheet, Spec
from calc.rig.wiring import Hop, Lead, Wired, leads
from calc.rules import rule_set

UNNAMED_LEAD = Spec(
    id=0, name="lead", kind="cable", cable=CableSheet(length_m=2.0), provenance={"cable.length_m": "assumed"}
)
"""What a mains lead that nobody named is taken for. Common practice."""
UNMEASURED_LEAD_M = 5.0
"""What a named mains lead of unknown length is taken for. Common practice. [m]"""
LONGEST_DRUM_M = 100.0
DROP_C = 60.0
"""Rubber at work. [°C]"""
FAULT_C = 70.0
"""PVC at work. [°C]"""


def hop_leads(wired: Wired, hop: Hop) -> tuple[Lead, ...]:
    """Return the leads between an inlet and what feeds it."""
    return leads(wired, hop.load, hop.run.joints, hop.run.passed)


def _spec_of(lead: Lead) -> Spec:
    return lead.spec if lead.spec is not None else UNNAMED_LEAD


def mains_length_m(lead: Lead) -> Given:
    """Return the length of a mains lead; that of a drum must be written down. [m]"""
    spec = _spec_of(lead)
    written = stated(spec, "cable.length_m")
    if written is not None:
        return written
    if spec.kind == "drum":
        return Given.unknown("cable.length_m", high=LONGEST_DRUM_M)
    return Given.assumed(UNMEASURED_LEAD_M, "cable.length_m")


def conductor_ohm(lead: Lead, temperature_c: float) -> Given:
    """Return the resistance of one conductor of a lead. [Ω]"""
    length = mains_length_m(lead)
    area = mains_area_mm2(_spec_of(lead))
    if lead.sheet.area_mm2 is None and lead.sheet.awg is not None:
        thick = thin = _ohm_per_km_of_gauge(lead.sheet.awg, temperature_c)
    else:
        thick, thin = (_ohm_per_km(end, temperature_c) for end in (area.high, area.low))
    open_part = length if not length.settled else area
    settled = length.settled and area.settled
    provenance = (
        ("assumed" if "assumed" in (length.provenance, area.provenance) else area.provenance)
        if settled
        else ("unknown")
    )
    return Given(length.low / 1000 * thick, length.high / 1000 * thin, provenance, open_part.name)


@cache
def _ohm_per_km(area_mm2: float, temperature_c: float) -> float:
    """Return the resistance of a size of the table, or of the next thinner one; below the table by its area. [Ω/km]"""
    listed = sorted(rule_set("iec").flexible_ohm_per_km_at_20_c)
    thinner = [size for size in listed if size <= area_mm2]
    if thinner:
        return flexible_ohm_per_km(thinner[-1], temperature_c)
    return flexible_ohm_per_km(listed[0], temperature_c) * listed[0] / area_mm2


@cache
def _ohm_per_km_of_gauge(awg: int, temperature_c: float) -> float:
    """Return the resistance of a gauge of the North American table; of another by its area. [Ω/km]"""
    if awg in rule_set("north_america").awg_stranded_ohm_per_kft_at_75_c:
        return awg_ohm_per_km(awg, temperature_c)
    return _ohm_per_km(awg_area_mm2(awg), temperature_c)


def lead_inputs(wired: Wired, lead: Lead) -> tuple[Input, ...]:
    """Return what is known of a mains lead."""
    name = f"lead at {name_of(wired, lead.at)}"
    both = {"length_m": mains_length_m(lead), "area_mm2": mains_area_mm2(_spec_of(lead))}
    return tuple(
        Input(name=f"{name}: {what}", value=given.high if given.settled else None, provenance=given.provenance)
        for what, given in both.items()
    )


def ask_lead(wired: Wired, lead: Lead, unlocks: str, decides: str, compared: Compared) -> Draft:
    """Return the finding that asks for one number of a mains lead."""
    held = wired.places.get(lead.position) if lead.position is not None else None
    words = {"cable.length_m": "length", "cable.area_mm2": "conductor area", "cable.coiled_a": "coiled rating"}[unlocks]
    return undecided(
        about(held) if held is not None else about_port(wired, lead.at),
        f"Enter the {words} of {_name(lead.spec)} at {name_of(wired, lead.at)}: "
        f"only then is it known whether {decides}.",
        unlocks=unlocks,
        compared=compared,
        of_spec=lead.spec.id if lead.spec is not None else None,
    )


def _name(spec: Spec | None) -> str:
    return "the lead" if spec is None else spec.name
