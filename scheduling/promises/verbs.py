"""The four lines behind every verb: what is wanted, what stands, what is decided, and then refuse or apply."""

from collections.abc import Container, Iterable, Sequence

from inventory.base.changes import Change
from scheduling.models import Booking
from scheduling.promises.apply import apply, note_proofs
from scheduling.promises.decide import Decision, give_up, settle
from scheduling.promises.demand import wants_of
from scheduling.promises.refuse import refusal
from scheduling.promises.snapshot import read, read_own


def give(
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
    snapshot = read(wants, c.now)
    decision = settle(snapshot, wants, together=together, pushing=pushing)
    refused = [
        row
        for row in bookings
        if decision.verdicts[row.pk].short
        and row.pk not in accepting
        and not (as_before and row.pk not in decision.worse_off)
    ]
    if refused:
        raise refusal(decision, snapshot, refused)
    apply(c, decision)
    note_proofs(bookings, decision)
    return decision


def take_back(c: Change, booking_ids: Iterable[int]) -> None:
    """Release everything that bookings have, and close what they lack."""
    ids = list(booking_ids)
    apply(c, give_up(read_own(ids, c.now), ids))
    c.touch("booking", *ids)
