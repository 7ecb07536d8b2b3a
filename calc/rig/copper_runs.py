"""Resistance of the copper between a powered port and its device."""

from collections.abc import Sequence

from calc.assumptions import cord_awg, stated
from calc.checking.compared import Compared
from calc.checking.drafts import Draft, Input, about, about_port, name_of, undecided
from calc.conductors import awg_area_mm2
from calc.given import Given
from calc.rig.kit import CableSheet, Spec
from calc.rig.wiring import Lead, Run, Wired, leads

COPPER_OHM_MM2_PER_M = 0.017241
"""Resistivity at 20 °C. Source: IEC 60028."""
UNNAMED_LEAD = Spec(
    id=0, name="lead", kind="cable", cable=CableSheet(length_m=5.0), provenance={"cable.length_m": "assumed"}
)
"""What a lead that nobody named is taken for; a longer one is worth naming. Common practice."""
LONGEST_M = 100.0
LEAD_WORDS = {"length_m": "length", "awg": "gauge", "category": "category"}


def spec_of(lead: Lead) -> Spec:
    """Return the sheet that a lead is judged by: its own, or what one that nobody named is taken for."""
    return lead.spec if lead.spec is not None else UNNAMED_LEAD


def length_m(lead: Lead) -> Given:
    """Return the length of a lead; one of a named kind without a length may be anything up to the longest run."""
    return stated(spec_of(lead), "cable.length_m") or Given.unknown("cable.length_m", high=LONGEST_M)


def gauge_awg(lead: Lead) -> Given:
    """Return the gauge of a lead: its own, or by its length and kind what is commonly sold. [AWG]"""
    return cord_awg(spec_of(lead))


def pairset_ohm(lead: Lead) -> Given:
    """Return the loop resistance of one pairset at 20 °C: two conductors out in parallel, two back. [Ω]"""
    length, gauge = length_m(lead), gauge_awg(lead)
    thick, thin = (COPPER_OHM_MM2_PER_M / awg_area_mm2(int(end)) for end in (gauge.low, gauge.high))
    known = length.provenance if length.provenance != "data sheet" else gauge.provenance
    return Given(length.low * thick, length.high * thin, known, length.name if not length.settled else gauge.name)


def run_leads(wired: Wired, run: Run) -> tuple[Lead, ...]:
    """Return the cables of a run, in order."""
    return leads(wired, run.start, run.joints, run.passed)


def lead_inputs(wired: Wired, found: tuple[Lead, ...]) -> tuple[Input, ...]:
    """Return the length and gauge of each lead of a run, with where they come from."""
    inputs = []
    for number, lead in enumerate(found, start=1):
        name = f"lead {number}, from {name_of(wired, lead.at)}"
        for what, given in (("length_m", length_m(lead)), ("awg", gauge_awg(lead))):
            inputs.append(
                Input(name=f"{name}: {what}", value=given.high if given.settled else None, provenance=given.provenance)
            )
    return tuple(inputs)


def fewest_pairs(wired: Wired, run: Run, between: tuple[Lead, ...]) -> int:
    """Return how many pairs are connected all the way, 2 or 4; where nobody has said, all four are."""
    written = [lead.sheet.pairs for lead in between]
    written += [wired.ports[node].pairs for into, out in run.passed for node in (into, out)]
    written += [wired.ports[node].pairs for node in (run.start, run.end)]
    return 4 if min((pairs for pairs in written if pairs is not None), default=4) >= 4 else 2


def ask_length(
    wired: Wired, between: Sequence[Lead], decides: str, inputs: tuple[Input, ...], compared: Compared | None
) -> Draft | None:
    """Return the finding that asks for the length of a lead or, where all are known, for the gauge of one.

    ``decides`` is the rest of the sentence after "only then is it known whether".
    """
    for field, given in (("length_m", length_m), ("awg", gauge_awg)):
        for lead in between:
            if not given(lead).settled:
                return ask_of_lead(wired, lead, field, decides, inputs, compared)
    return None


def ask_of_lead(
    wired: Wired, lead: Lead, field: str, decides: str, inputs: tuple[Input, ...], compared: Compared | None = None
) -> Draft:
    """Return the finding that asks for one number of a lead."""
    held = wired.places.get(lead.position) if lead.position is not None else None
    name = f"the {lead.spec.name}" if lead.spec is not None else "the lead"
    return undecided(
        about(held) if held is not None else about_port(wired, lead.at),
        f"Enter the {LEAD_WORDS[field]} of {name} at {name_of(wired, lead.at)}: "
        f"only then is it known whether {decides}.",
        unlocks=f"cable.{field}",
        compared=compared,
        inputs=inputs,
        of_spec=lead.spec.id if lead.spec is not None else None,
    )
