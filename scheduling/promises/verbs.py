"""What every verb on promises does: read, decide, then refuse or write."""

from collections.abc import Collection, Container, Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from inventory.base.changes import Change
from scheduling.models import Booking
from scheduling.promises.apply import write_decision, write_proofs
from scheduling.promises.decide import Decision, Policy, Refusal, decide_bookings, decide_release
from scheduling.promises.demand import wants_of
from scheduling.promises.refuse import refusal
from scheduling.promises.snapshot import read_own, read_snapshot
from scheduling.promises.telling import tell_overtaken

NOTHING_CHOSEN: Mapping[int, int] = MappingProxyType({})


def allocate_bookings(
    c: Change,
    bookings: Sequence[Booking],
    policy: Policy,
    *,
    accepting: Container[int] = (),
    pushes: Collection[int] = (),
    chosen: Mapping[int, int] = NOTHING_CHOSEN,
) -> Decision:
    """Allocate to bookings what their rows say now, or refuse all of it.

    Args:
        c: The open change.
        bookings: Rows as they are to be; their claims and shortfalls may still be as they were.
        policy: How the verb allocates.
        accepting: Ids of the bookings that take what can be allocated and keep the rest as shortfalls.
        pushes: Ids of the bookings of others from which gear may be taken that is not out.
        chosen: Claim id → the unit that a person chose for it.

    Raises:
        ClaimConflictError, NotEnoughError, ClaimUndecidedError: something needed cannot be allocated.
    """
    wants = [replace(want, chosen=chosen) for want in wants_of(bookings)]
    snapshot = read_snapshot(wants, c.now)
    decision = decide_bookings(snapshot, wants, policy, pushes=pushes)
    refused = [row for row in bookings if row.pk not in accepting and _is_refused(row.pk, decision, policy)]
    if refused:
        raise refusal(decision, snapshot, refused)
    write_decision(c, decision)
    write_proofs(bookings, decision)
    tell_overtaken(c, snapshot, decision)
    return decision


def release_bookings(c: Change, booking_ids: Iterable[int]) -> None:
    """Release all claims of bookings, and close their shortfalls."""
    ids = list(booking_ids)
    write_decision(c, decide_release(read_own(ids, c.now), ids))
    c.touch("booking", *ids)


def _is_refused(booking: int, decision: Decision, policy: Policy) -> bool:
    if policy.refusal is Refusal.NEVER or not decision.results[booking].short:
        return False
    return policy.refusal is Refusal.SHORT or booking in decision.worse_off
