"""Decide what bookings are allocated: the one walk behind every verb.

A booking's claims are removed, what it wants is allocated as far as possible, and the rest becomes shortfalls. So for
every live booking: what it wants = its claims that are not strays + its open shortfalls that are not beside a claim.
Which verbs are refused then is for the caller.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from scheduling.promises.decide.claimant import Claimant
from scheduling.promises.decide.decision import Closing, Decision, difference, openings_and_closings, worse_off
from scheduling.promises.decide.named_units import allocate_named_units
from scheduling.promises.decide.occupancy import Occupancy
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.pencils import allocate_pencil
from scheduling.promises.decide.policy import Policy
from scheduling.promises.decide.pushing import take_from
from scheduling.promises.decide.quantities import allocate_quantity
from scheduling.promises.decide.terms import ShortfallDraft, Snapshot
from scheduling.promises.decide.units_out import keep_units_out
from scheduling.promises.decide.wants import Want


def decide_bookings(
    snapshot: Snapshot, wants: Sequence[Want], policy: Policy, *, pushes: Collection[int] = ()
) -> Decision:
    """Decide what each booking is allocated.

    Args:
        snapshot: The rows that matter, with the bookings' own claims and open shortfalls.
        wants: What the bookings want now; an earlier one is served first.
        policy: How the verb allocates.
        pushes: Bookings of others from which gear may be taken that is not out.
    """
    occupancy = Occupancy(snapshot)
    outcome = Outcome()
    for group in [list(wants)] if policy.together else [[want] for want in wants]:
        claimants = _claimants(occupancy, group, policy)
        if pushes:
            _push(occupancy, claimants, pushes, outcome)
        _allocate_group(occupancy, claimants, outcome)
    return _decision(snapshot, occupancy, wants, outcome)


def decide_release(snapshot: Snapshot, bookings: Iterable[int]) -> Decision:
    """Decide what is released and closed when bookings are cancelled."""
    gone = set(bookings)
    released = tuple(claim for claim in snapshot.claims if claim.booking in gone)
    return Decision(
        release=released,
        freed=frozenset(claim.unit for claim in released if claim.firm),
        close=tuple(Closing(row.id, "cancelled") for row in snapshot.shortfalls if row.booking in gone),
    )


def _claimants(occupancy: Occupancy, wants: Sequence[Want], policy: Policy) -> list[Claimant]:
    """Remove the claims of the bookings from the occupancy, and return the bookings with them."""
    return [
        Claimant(
            want=want,
            claims=tuple(occupancy.remove_claims_of(want.booking)),
            shortfalls=tuple(occupancy.shortfalls_of(want.booking)),
            policy=policy,
        )
        for want in wants
    ]


def _push(occupancy: Occupancy, claimants: Sequence[Claimant], pushes: Collection[int], outcome: Outcome) -> None:
    """Take from the named bookings what the others lack when they are tried without that."""
    trial, tried = occupancy.copy(), Outcome()
    _allocate_group(trial, claimants, tried)
    for claimant in claimants:
        result = tried.results[claimant.want.booking]
        if result.short:
            outcome.displaced += take_from(occupancy, claimant.want, result, pushes)


def _allocate_group(occupancy: Occupancy, claimants: Sequence[Claimant], outcome: Outcome) -> None:
    firm = [claimant for claimant in claimants if claimant.want.firm]
    keep_units_out(occupancy, firm, outcome)
    allocate_named_units(occupancy, firm, outcome)
    for claimant in firm:
        if claimant.want.of_spec is not None:
            allocate_quantity(occupancy, claimant, claimant.want.of_spec, outcome)
    for claimant in claimants:
        outcome.shortfalls += _empty_positions(claimant.want)
        if not claimant.want.firm:
            allocate_pencil(occupancy, claimant, outcome)


def _empty_positions(want: Want) -> list[ShortfallDraft]:
    return [
        ShortfallDraft(booking=want.booking, spec=item.spec, position=item.position, reason="empty-position")
        for item in want.items
        if item.unit is None
    ]


def _decision(snapshot: Snapshot, occupancy: Occupancy, wants: Sequence[Want], outcome: Outcome) -> Decision:
    decided = {want.booking for want in wants}
    before = [row for row in snapshot.shortfalls if row.booking in decided]
    opening, closing = openings_and_closings(before, outcome.shortfalls, list(occupancy.claims.values()))
    return replace(
        difference(snapshot, occupancy),
        open=tuple(opening),
        close=tuple(closing),
        results={want.booking: outcome.results[want.booking].result() for want in wants},
        worse_off=worse_off(before, outcome.shortfalls, opening),
        displaced=frozenset(claim.booking for claim in outcome.displaced),
    )
