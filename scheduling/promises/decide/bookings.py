"""One way to settle what bookings get, behind every verb.

A booking's own claims are lifted, what it wants is given as far as it can be had, and what cannot be had is lacking:
what a live booking wants = its claims + its open shortfalls, whatever the verb. Booking, confirming and extending
refuse where something needed is lacking; a fault or another content of a kit cannot be refused and leaves shortfalls.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from scheduling.promises.decide.decision import Closing, Decision, difference, openings_and_closings, worse_off
from scheduling.promises.decide.named_units import allocate_named_units, requested_units
from scheduling.promises.decide.occupancy import Occupancy
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.quantities import allocate_quantity
from scheduling.promises.decide.terms import ClaimRow, ShortfallDraft, Snapshot, Want, WantedItem


def decide_bookings(
    snapshot: Snapshot, wants: Sequence[Want], *, together: bool = False, pushing: bool = False
) -> Decision:
    """Decide what each booking gets.

    Args:
        snapshot: What stands, with the bookings' own claims and open shortfalls.
        wants: What the bookings want now; one that comes earlier is served earlier.
        together: Lift all of them first, as when an event moves; else one after the other, each keeping clear of what
            the rest has.
        pushing: What a booking has already it keeps, at the cost of whoever else is promised it.
    """
    occupancy = Occupancy(snapshot)
    outcome = Outcome()
    for group in [list(wants)] if together else [[want] for want in wants]:
        _serve(occupancy, snapshot, group, outcome, pushing=pushing)
    return _decision(snapshot, occupancy, wants, outcome)


def decide_release(snapshot: Snapshot, bookings: Iterable[int]) -> Decision:
    """Decide what is released and closed when bookings are cancelled."""
    gone = set(bookings)
    return Decision(
        release=tuple(claim for claim in snapshot.claims if claim.booking in gone),
        close=tuple(Closing(item.id, "cancelled") for item in snapshot.shortfalls if item.booking in gone),
    )


def _serve(occupancy: Occupancy, snapshot: Snapshot, group: Sequence[Want], outcome: Outcome, *, pushing: bool) -> None:
    lifted = {want.booking: occupancy.remove_claims_of(want.booking) for want in group}
    _give(occupancy, snapshot, [want for want in group if want.firm], lifted, outcome, pushing=pushing)
    for want in group:
        if not want.firm:
            _pencil_in(occupancy, snapshot, want, lifted, outcome)


def _pencil_in(
    occupancy: Occupancy, snapshot: Snapshot, want: Want, lifted: Mapping[int, Sequence[ClaimRow]], outcome: Outcome
) -> None:
    """Judge a pencil as if it were firm, on a board of its own: it has to know of a way, but it moves nobody."""
    trial = occupancy.copy()
    _give(trial, snapshot, [replace(want, firm=True)], lifted, outcome, pushing=False)
    for claim in trial.claims.values():
        if claim.booking == want.booking:
            occupancy.add(replace(claim, firm=False))


def _give(
    occupancy: Occupancy,
    snapshot: Snapshot,
    group: Sequence[Want],
    lifted: Mapping[int, Sequence[ClaimRow]],
    outcome: Outcome,
    *,
    pushing: bool,
) -> None:
    missed = {want.booking: [item for item in snapshot.shortfalls if item.booking == want.booking] for want in group}
    requests = [
        request for want in group for request in requested_units(want, lifted[want.booking], missed[want.booking])
    ]
    allocate_named_units(occupancy, requests, outcome, pushing=pushing)
    for want in group:
        outcome.shortfalls += [_empty(want, item) for item in want.items if item.unit is None]
        allocate_quantity(occupancy, want, lifted[want.booking], missed[want.booking], outcome)


def _empty(want: Want, item: WantedItem) -> ShortfallDraft:
    return ShortfallDraft(booking=want.booking, spec=item.spec, position=item.position, reason="empty-position")


def _decision(snapshot: Snapshot, occupancy: Occupancy, wants: Sequence[Want], outcome: Outcome) -> Decision:
    decided = {want.booking for want in wants}
    standing = [item for item in snapshot.shortfalls if item.booking in decided]
    opening, closing = openings_and_closings(standing, outcome.shortfalls, list(occupancy.claims.values()))
    return replace(
        difference(snapshot, occupancy),
        open=tuple(opening),
        close=tuple(closing),
        results={want.booking: outcome.findings[want.booking].result() for want in wants},
        worse_off=worse_off(standing, outcome.shortfalls, opening),
        outdone=frozenset(claim.booking for claim in outcome.pushed),
    )
