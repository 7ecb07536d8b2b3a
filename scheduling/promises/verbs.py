"""The four lines behind every verb: what is wanted, what stands, what is decided, and then refuse or apply."""

from collections.abc import Container, Iterable, Sequence

from inventory.base.changes import Change
from scheduling.models import Booking
from scheduling.promises.apply import write_decision, write_proofs
from scheduling.promises.decide import Decision, decide_bookings, decide_release
from scheduling.promises.demand import wants_of
from scheduling.promises.refuse import refusal
from scheduling.promises.snapshot import read_own, read_snapshot


def allocate_bookings(
    c: Change,
    bookings: Sequence[Booking],
    *,
    accepting: Container[int] = (),
    together: bool = False,
    pushing: bool = False,
    waits: bool = False,
    as_before: bool = False,
) -> Decision:
    """Give bookings what they want as their rows stand now, or refuse all of it.

    Args:
        c: The open change.
        bookings: Rows as they are to be; their claims and shortfalls may still be as they were.
        accepting: Those that take what can be had, and let the rest stand as shortfalls.
        together: They move at once, as the bookings of one event do.
        pushing: They keep what they have at the cost of whoever else is promised it.
        waits: Pencils keep what they have although others have it firmly.
        as_before: What they lacked already is no reason to refuse, as when their period changes.

    Raises:
        ClaimConflictError, NotEnoughError, ClaimUndecidedError: something needed cannot be had.
    """
    wants = wants_of(bookings, waits=waits)
    snapshot = read_snapshot(wants, c.now)
    decision = decide_bookings(snapshot, wants, together=together, pushing=pushing)
    refused = [
        row
        for row in bookings
        if decision.results[row.pk].short
        and row.pk not in accepting
        and not (as_before and row.pk not in decision.worse_off)
    ]
    if refused:
        raise refusal(decision, snapshot, refused)
    write_decision(c, decision)
    write_proofs(bookings, decision)
    return decision


def release_bookings(c: Change, booking_ids: Iterable[int]) -> None:
    """Release everything that bookings have, and close what they lack."""
    ids = list(booking_ids)
    write_decision(c, decide_release(read_own(ids, c.now), ids))
    c.touch("booking", *ids)
