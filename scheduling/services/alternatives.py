"""Give a booking something else in place of what it lacks, so that its shortfall is closed."""

from inventory.base.changes import Change
from inventory.models import Unit
from inventory.services.contents import edit_position
from inventory.services.fetching import row_at, row_named
from scheduling.errors import WrongStateError
from scheduling.models import Booking, BookingState, Shortfall
from scheduling.promises.decide import ALLOCATE_AGAIN
from scheduling.promises.verbs import allocate_bookings
from scheduling.services.bookings import cancel
from scheduling.services.fetching import own_booking
from scheduling.services.ordering import BookingFields, book
from scheduling.services.powers import Powers, require_may_change
from scheduling.services.stages import require_verb


def use_alternative(c: Change, shortfall_id: int, unit_id: int, *, powers: Powers) -> int:
    """Give a unit to a booking in place of one that it lacks, and return the booking that has it.

    In a kit it takes the place in the case, so every booking of the kit follows. For a unit that was booked by itself
    it is booked in the same state and for the same time, and the other booking is given up.

    Raises:
        NotFoundError, NotYoursError: there is no such shortfall, or it is somebody else's booking.
        InvalidError: there is no such unit.
        WrongStateError: the shortfall is closed, or a number of a spec is short, which is reallocated instead.
        UnitTakenError, UnitNotUsableError, ClaimConflictError: the unit cannot take that place, or not then.
    """
    shortfall, booking = _open(c, shortfall_id, powers)
    row_named(Unit, unit_id, "unit")
    if shortfall.position is not None:
        edit_position(c, shortfall.position.kit_id, shortfall.position.pk, fields={"unit": unit_id})
        return booking.pk
    if booking.unit_id is None:
        raise WrongStateError(
            "A number of a spec is short. Deal it again, or book a unit beside it.", state=booking.state
        )
    fields = BookingFields(unit=unit_id, state=booking.state)
    if not booking.follows_event:
        fields |= BookingFields(starts_at=booking.starts_at, ends_at=booking.ends_at)
    if booking.state == BookingState.PENCIL and booking.expires_at is not None:
        fields["expires_at"] = booking.expires_at
    cancel(c, booking.pk, powers=powers)
    return book(c, event_id=booking.event_id, fields=fields, powers=powers)


def reallocate(c: Change, booking_id: int, *, powers: Powers) -> int:
    """Allocate what a booking wants as far as it is available now; what it still lacks stays as its shortfalls.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError: it is cancelled.
        PencilExpiredError: it has expired. Its claims would hold nothing; give it a later date first.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "deal-again")
    booking.version += 1
    booking.save()
    allocate_bookings(c, [booking], ALLOCATE_AGAIN)
    c.record("booking", booking.pk, "deal-again", booking.event.name)
    return booking.pk


def _open(c: Change, shortfall_id: int, powers: Powers) -> tuple[Shortfall, Booking]:
    shortfall = row_at(Shortfall, shortfall_id)
    booking = shortfall.booking
    require_may_change(c, booking, powers)
    require_verb(c, booking, "stand-in")
    if shortfall.closed_at is not None:
        raise WrongStateError("That is not lacking any more.", state=booking.state)
    return shortfall, booking
