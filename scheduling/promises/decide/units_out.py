"""Keep units that are out with a booking: they stay with it until they are brought back, whoever else wants them.

Nothing that happens in the store takes such a unit away. Where one breaks or is lost, a shortfall is opened beside its
claim; where the booked kit no longer contains it, the claim is a stray. Where the booking lasts longer, others who are
promised the unit are given another one, and the fewest of them lose it.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduling.promises.decide.claimant import Claimant
from scheduling.promises.decide.occupancy import Occupancy, as_obstacles
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.reallocation import reallocate_most
from scheduling.promises.decide.terms import ClaimRow, Period, ShortfallDraft
from scheduling.promises.decide.wants import Want


def keep_units_out(occupancy: Occupancy, claimants: Iterable[Claimant], outcome: Outcome) -> None:
    """Add the claims of units that are out for the periods of their bookings, and push others aside."""
    contested: defaultdict[tuple[int, Period], list[ClaimRow]] = defaultdict(list)
    for claimant in claimants:
        for claim in claimant.out(occupancy.now):
            kept = _as_now_wanted(claimant.want, claim)
            if held := [rival for rival in occupancy.firm_on(kept.unit, kept.period) if rival.is_out]:
                _keep_as_it_was(occupancy, claimant.want, kept, claim, held, outcome)
                continue
            _note_outage(occupancy, claimant.want, kept, outcome)
            _push_fixed_rivals(occupancy, kept, outcome)
            if occupancy.movable_on(kept.unit, kept.period):
                contested[occupancy.units[kept.unit].spec, kept.period].append(kept)
            else:
                occupancy.add(kept)
    for (spec, period), claims in contested.items():
        _push_movable_rivals(occupancy, spec, period, claims, outcome)


def _as_now_wanted(want: Want, claim: ClaimRow) -> ClaimRow:
    """Return the claim for the booking's period, in the position that the unit has now; a stray without one."""
    if want.of_spec is not None:
        return replace(claim, period=want.period, firm=True)
    here = next((item for item in want.items if item.unit == claim.unit), None)
    position = None if here is None else here.position
    return replace(claim, period=want.period, firm=True, position=position, stray=here is None)


def _note_outage(occupancy: Occupancy, want: Want, claim: ClaimRow, outcome: Outcome) -> None:
    outages = occupancy.outages(claim.unit, replace(claim.period, starts_at=occupancy.now))
    if outages and not claim.stray:
        reason = outages[0].reason if outages[0].reason == "late" else "taken-on-site"
        outcome.shortfalls.append(_beside(occupancy, want, claim, reason, None))


def _keep_as_it_was(
    occupancy: Occupancy,
    want: Want,
    claim: ClaimRow,
    before: ClaimRow,
    held: Sequence[ClaimRow],
    outcome: Outcome,
) -> None:
    """Leave the claim's period as it was: the unit has gone out with another booking in the meantime."""
    occupancy.add(replace(claim, period=before.period))
    outcome.shortfalls.append(_beside(occupancy, want, claim, "conflict", held[0].booking))
    result = outcome.results[want.booking]
    result.short = True
    result.conflicts += as_obstacles(held)


def _beside(occupancy: Occupancy, want: Want, claim: ClaimRow, reason: str, rival: int | None) -> ShortfallDraft:
    spec = occupancy.units[claim.unit].spec
    return ShortfallDraft(
        booking=want.booking,
        spec=spec,
        position=claim.position,
        unit=claim.unit,
        reason=reason,
        rival=rival,
        claim=claim.id,
    )


def _push_fixed_rivals(occupancy: Occupancy, claim: ClaimRow, outcome: Outcome) -> None:
    rivals = [rival for rival in occupancy.firm_on(claim.unit, claim.period) if rival.fixed]
    outcome.displaced += [occupancy.remove(rival.id) for rival in rivals]


def _push_movable_rivals(
    occupancy: Occupancy, spec: int, period: Period, claims: Sequence[ClaimRow], outcome: Outcome
) -> None:
    """Add the claims, move their rivals to other units, and take the unit from the fewest for whom there is none."""
    for claim in claims:
        occupancy.add(claim)
    moves, losers = reallocate_most(occupancy, spec, period)
    outcome.displaced += [occupancy.remove(claim_id) for claim_id in losers]
    for claim_id, unit in moves.items():
        occupancy.move(claim_id, unit)
