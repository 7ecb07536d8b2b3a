"""The verbs of one booking: confirm, loosen, extend, swap, cancel, and edits that stand for them."""

from datetime import datetime

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Kit
from inventory.services.fetching import row_named
from scheduling.models import BookingState
from scheduling.promises.decide import BOOK, CONFIRM, EXTEND
from scheduling.promises.verbs import allocate_bookings, release_bookings
from scheduling.services.bumping import Bump, bump_of, require_bump, taken_from
from scheduling.services.fetching import own_booking
from scheduling.services.ordering import BookingFields, expiry, period_in_order, require_case, require_date_settled
from scheduling.services.pencils import keep_pencil
from scheduling.services.powers import Powers, require_may_accept_shortfalls
from scheduling.services.stages import require_nothing_out, require_verb


def confirm(
    c: Change, booking_id: int, *, accept_shortfalls: bool = False, bump: Bump | None = None, powers: Powers
) -> int:
    """Make a pencil firm; its units are chosen anew where somebody else has taken them firmly in the meantime.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, PencilExpiredError: it is not a pencil, or not any more.
        DateOpenError: its event is one of several dates, of which none is confirmed yet.
        DraftKitError: the kit has lost its case.
        ClaimConflictError, NotEnoughError, ClaimUndecidedError: something needed cannot be had.
    """
    booking = own_booking(c, booking_id, powers)
    require_may_accept_shortfalls(accept_shortfalls, powers)
    require_verb(c, booking, "confirm")
    require_date_settled(booking.event)
    if booking.kit is not None:
        require_case(booking.kit.pk, booking.kit.name)
    require_bump(bump, powers, own=booking.pk)
    booking.state = BookingState.CONFIRMED
    booking.version += 1
    booking.save()
    accepting = [booking.pk] if accept_shortfalls else ()
    allocate_bookings(c, [booking], CONFIRM, accepting=accepting, pushes=taken_from(c, bump))
    c.record("booking", booking.pk, "confirm", booking.event.name, **_reason(bump))
    return booking.pk


def loosen(c: Change, booking_id: int, *, expires_at: datetime | None = None, powers: Powers) -> int:
    """Make a confirmed booking a pencil again, at the end of the queue for its units.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, StillOutError: it is not confirmed, or its gear is out.
        InvalidError: the date has passed.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "loosen")
    booking.state = BookingState.PENCIL
    booking.expires_at = expiry(c, expires_at, booking.starts_at, "")
    booking.ranked_at = c.now
    booking.version += 1
    booking.save()
    allocate_bookings(c, [booking], BOOK)
    c.record("booking", booking.pk, "loosen", booking.event.name)
    return booking.pk


def cancel(c: Change, booking_id: int, *, never_left: bool = False, powers: Powers) -> int:
    """Give a booking up: its claims are released, its shortfalls closed; it stays as history.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError: it is cancelled already.
        StillOutError: its gear is out, unless somebody says that it never left.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "cancel")
    if not never_left:
        require_nothing_out(c, [booking.pk])
    booking.state = BookingState.CANCELLED
    booking.version += 1
    booking.save()
    release_bookings(c, [booking.pk])
    c.record("booking", booking.pk, "cancel", booking.event.name)
    return booking.pk


def extend(
    c: Change,
    booking_id: int,
    *,
    ends_at: datetime | None,
    starts_at: datetime | None = None,
    accept_shortfalls: bool = False,
    bump: Bump | None = None,
    powers: Powers,
) -> int:
    """Give a booking another period of its own. Units that are out with it stay with it: whoever else is promised them
    in the added time is given other ones, and the fewest lose them. What is not out yet is booked like any other gear.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, PencilExpiredError: it is cancelled or expired.
        InvalidError: it would end before it starts.
        ClaimConflictError, NotEnoughError, ClaimUndecidedError: something needed that is not out cannot be had then.
    """
    booking = own_booking(c, booking_id, powers)
    require_may_accept_shortfalls(accept_shortfalls, powers)
    require_verb(c, booking, "extend")
    require_bump(bump, powers, own=booking.pk)
    booking.starts_at, booking.ends_at = period_in_order(starts_at or booking.starts_at, ends_at or booking.ends_at, "")
    booking.follows_event = False
    booking.version += 1
    booking.save()
    accepting = [booking.pk] if accept_shortfalls else ()
    allocate_bookings(c, [booking], EXTEND, accepting=accepting, pushes=taken_from(c, bump))
    c.record("booking", booking.pk, "extend", booking.event.name, **_reason(bump))
    return booking.pk


def follow(c: Change, booking_id: int, *, accept_shortfalls: bool = False, powers: Powers) -> int:
    """Give a booking the times of its event again, and let it move with them.

    Raises:
        DomainError: as for ``extend``.
    """
    booking = own_booking(c, booking_id, powers)
    require_may_accept_shortfalls(accept_shortfalls, powers)
    require_verb(c, booking, "follow")
    booking.starts_at, booking.ends_at = booking.event.gear_out_at, booking.event.gear_back_at
    booking.follows_event = True
    booking.version += 1
    booking.save()
    allocate_bookings(c, [booking], EXTEND, accepting=[booking.pk] if accept_shortfalls else ())
    c.record("booking", booking.pk, "follow", booking.event.name)
    return booking.pk


def swap(c: Change, booking_id: int, *, kit_id: int, accept_shortfalls: bool = False, powers: Powers) -> int:
    """Book another kit in place of the one that is booked, for the same time and in the same state.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, StillOutError: it is cancelled or expired, or its gear is out.
        InvalidError: it is not of a kit, or there is no such kit, or it is the one that is booked.
        DraftKitError: the kit has no case.
        ClaimConflictError: something that the other kit needs cannot be had.
    """
    booking = own_booking(c, booking_id, powers)
    require_may_accept_shortfalls(accept_shortfalls and booking.state == BookingState.CONFIRMED, powers)
    require_verb(c, booking, "swap")
    if booking.kit is None:
        raise InvalidError.of_field("kit", "Only a booking of a kit is swapped for another kit.")
    if booking.kit.pk == kit_id:
        raise InvalidError.of_field("kit", f"{booking.kit.name} is booked already.")
    before, kit = booking.kit.name, row_named(Kit, kit_id, "kit")
    require_case(kit.pk, kit.name)
    booking.kit = kit
    booking.version += 1
    booking.save()
    allocate_bookings(c, [booking], BOOK, accepting=[booking.pk] if accept_shortfalls else ())
    c.record("booking", booking.pk, "swap", booking.event.name, was=before, now=kit.name)
    return booking.pk


def edit_booking(c: Change, booking_id: int, *, fields: BookingFields, powers: Powers) -> int:
    """Do what the verbs do, by fields: another expiry, another period, another state, in this order.

    Raises:
        DomainError: as the verbs that it stands for.
    """
    booking = own_booking(c, booking_id, powers)
    accepted, bump = fields.get("accept_shortfalls", False), bump_of(fields.get("bump"), fields.get("reason"))
    if "expires_at" in fields:
        keep_pencil(c, booking_id, expires_at=fields["expires_at"], powers=powers)
    if "starts_at" in fields or "ends_at" in fields:
        extend(
            c,
            booking_id,
            starts_at=fields.get("starts_at"),
            ends_at=fields.get("ends_at"),
            accept_shortfalls=accepted,
            bump=bump,
            powers=powers,
        )
    state = fields.get("state", booking.state)
    if state == booking.state:
        return booking_id
    if state == BookingState.CONFIRMED:
        return confirm(c, booking_id, accept_shortfalls=accepted, bump=bump, powers=powers)
    if state == BookingState.CANCELLED:
        return cancel(c, booking_id, powers=powers)
    return loosen(c, booking_id, powers=powers)


def _reason(bump: Bump | None) -> dict[str, object]:
    return {} if bump is None else {"reason": bump.reason, "bump": sorted(bump.bookings)}
