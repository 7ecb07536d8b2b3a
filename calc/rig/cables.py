"""Length, conductors and resistance of leads, at both ends of what is not known."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from math import inf

from calc.assumptions import cord_awg, mains_area_mm2, stated
from calc.conductors import awg_area_mm2, awg_ohm_per_km, flexible_ohm_per_km
from calc.given import Given
from calc.rig.inputs import Input
from calc.rig.kit import Spec
from calc.rig.sheets import CableSheet
from calc.rig.subjects import name_of
from calc.rig.wiring import Lead, Run, Wired
from calc.rules import cord_rated_a, rule_set

COPPER_OHM_MM2_PER_M = 0.017241
"""Resistivity at 20 °C. Source: IEC 60028."""
DROP_C = 60.0
"""Rubber at work. [°C]"""
FAULT_C = 70.0
"""PVC at work. [°C]"""
LONGEST_M = 100.0
"""Taken for a lead that may have any length: the longest data run, and the longest mains drum. Common practice. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadKind:
    """What leads of one kind are taken for where their sheets say nothing."""

    unnamed_m: float
    """Length of a lead that a link does not name; a longer one is worth naming. Common practice. [m]"""
    unmeasured_m: float | None
    """Length of a named lead without one on its sheet; None, and for any drum: unknown, up to ``LONGEST_M``. [m]"""
    field: str
    """The number of the cable's sheet that says how thick the conductors are: ``awg`` or ``area_mm2``."""
    thickness: Callable[[Spec], Given]
    """That number: from the sheet, else what is commonly sold."""
    named: str
    """What an input of a finding calls a lead, by its number on the way and the port that it goes into."""

    @property
    def unnamed(self) -> Spec:
        """Return what a lead that no link names is taken for."""
        return _unnamed_lead(self.unnamed_m)

    def spec_of(self, lead: Lead) -> Spec:
        """Return the sheet that a lead is judged by: its own, or the one of an unnamed lead."""
        return lead.spec if lead.spec is not None else self.unnamed

    def length_m(self, lead: Lead) -> Given:
        """Return the length of a lead. [m]"""
        spec, name = self.spec_of(lead), "cable.length_m"
        written = stated(spec, name)
        if written is not None:
            return written
        if self.unmeasured_m is None or spec.kind == "drum":
            return Given.unknown(name, high=LONGEST_M)
        return Given.assumed(self.unmeasured_m, name)

    def thickness_of(self, lead: Lead) -> Given:
        """Return the gauge [AWG] or the conductor area [mm²] of a lead."""
        return self.thickness(self.spec_of(lead))

    def inputs(self, wired: Wired, leads: Iterable[Lead]) -> tuple[Input, ...]:
        """Return length and thickness of each lead, with where they come from."""
        return tuple(
            Input(
                name=f"{self.named.format(number=number, port=name_of(wired, lead.at))}: {field}",
                value=given.high if given.settled else None,
                provenance=given.provenance,
            )
            for number, lead in enumerate(leads, start=1)
            for field, given in (("length_m", self.length_m(lead)), (self.field, self.thickness_of(lead)))
        )


DATA = LeadKind(unnamed_m=5.0, unmeasured_m=None, field="awg", thickness=cord_awg, named="lead {number}, from {port}")
MAINS = LeadKind(unnamed_m=2.0, unmeasured_m=5.0, field="area_mm2", thickness=mains_area_mm2, named="lead at {port}")


@cache
def _unnamed_lead(length_m: float) -> Spec:
    sheet = CableSheet(length_m=length_m)
    return Spec(id=0, name="lead", kind="cable", cable=sheet, provenance={"cable.length_m": "assumed"})


def pairset_ohm(lead: Lead) -> Given:
    """Return the loop resistance of one pairset at 20 °C: two conductors out in parallel, two back. [Ω]"""
    length, gauge = DATA.length_m(lead), DATA.thickness_of(lead)
    thick, thin = (COPPER_OHM_MM2_PER_M / awg_area_mm2(int(end)) for end in (gauge.low, gauge.high))
    known = length.provenance if length.provenance != "data sheet" else gauge.provenance
    return Given(length.low * thick, length.high * thin, known, length.name if not length.settled else gauge.name)


def fewest_pairs(wired: Wired, run: Run, between: tuple[Lead, ...]) -> int:
    """Return how many pairs are connected all the way, 2 or 4; all four, where no part of it states them."""
    written = [lead.sheet.pairs for lead in between]
    written += [wired.ports[node].pairs for into, out in run.passed for node in (into, out)]
    written += [wired.ports[node].pairs for node in (run.start, run.end)]
    return 4 if min((pairs for pairs in written if pairs is not None), default=4) >= 4 else 2


def conductor_ohm(lead: Lead, temperature_c: float) -> Given:
    """Return the resistance of one conductor of a lead. [Ω]"""
    length = MAINS.length_m(lead)
    area = MAINS.thickness_of(lead)
    if lead.sheet.area_mm2 is None and lead.sheet.awg is not None:
        thick = thin = _ohm_per_km_of_gauge(lead.sheet.awg, temperature_c)
    else:
        thick, thin = (_ohm_per_km(end, temperature_c) for end in (area.high, area.low))
    open_part = length if not length.settled else area
    settled = length.settled and area.settled
    known = "assumed" if "assumed" in (length.provenance, area.provenance) else area.provenance
    return Given(length.low / 1000 * thick, length.high / 1000 * thin, known if settled else "unknown", open_part.name)


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


def cord_a(sheet: CableSheet, rules: str, lines: int) -> Given | None:
    """Return what a mains cable carries: as its own sheet rates it, else by its size, and no more than its fuse. [A]

    Where the region's table has no cord of that size, it lies between the next thinner and the next thicker one.
    None: nothing is known of the cable.
    """
    loaded = 3 if lines == 3 else 2  # of split phase the neutral carries only what the lines do not cancel
    known = "data sheet"
    if sheet.rated_a is not None:
        own: Given | None = Given.known(sheet.rated_a, known, "cable.rated_a")
    else:
        own = _by_size_a(sheet, rules, loaded)
    if sheet.fuse_a is None or (own is not None and own.high <= sheet.fuse_a):
        return own
    if own is not None and own.low < sheet.fuse_a:
        return Given.unknown("cable.rated_a", low=own.low, high=sheet.fuse_a)
    return Given.known(sheet.fuse_a, known, "cable.fuse_a")


def _by_size_a(sheet: CableSheet, rules: str, loaded: int) -> Given | None:
    if sheet.area_mm2 is not None:
        rated, area_mm2 = cord_rated_a(rules, area_mm2=sheet.area_mm2, loaded_conductors=loaded), sheet.area_mm2
    elif sheet.awg is not None:
        rated, area_mm2 = cord_rated_a(rules, awg=sheet.awg, loaded_conductors=loaded), awg_area_mm2(sheet.awg)
    else:
        return None
    if rated is not None:
        return Given.known(rated, "data sheet", "cable.rated_a")
    table = _cords_by_area(rules, loaded)
    thinner = [rated_a for size, rated_a in table if size <= area_mm2 * SAME_SIZE]
    thicker = [rated_a for size, rated_a in table if size >= area_mm2 / SAME_SIZE]
    return Given.unknown("cable.rated_a", low=max(thinner, default=0.0), high=min(thicker, default=inf))


SAME_SIZE = 1.01
"""Areas that differ by less are one size: 0.82 mm² is 18 AWG, 0.823 mm² (ASTM B258). [-]"""


def _cords_by_area(rules: str, loaded: int) -> list[tuple[float, float]]:
    """Return the cords that a region's tables have, by area [mm²], with what each carries [A]."""
    chosen = rule_set(rules)
    by_area, by_awg = (
        (chosen.cord_two_loaded_by_area_a, chosen.cord_two_loaded_by_awg_a)
        if loaded == 2
        else (chosen.cord_three_loaded_by_area_a, chosen.cord_three_loaded_by_awg_a)
    )
    return [*by_area.items(), *((awg_area_mm2(awg), rated) for awg, rated in by_awg.items())]
