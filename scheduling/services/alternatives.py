"""Give a booking something else in place of what it lacks, so that its shortfall is closed."""

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Position, Unit
from inventory.services.contents import edit_position
from inventory.services.fetching import row_at, row_named
from scheduling.errors import ClaimConflictError, WrongStateError
from scheduling.models import Booking, BookingState, Claim, Shortfall, StandIn
from scheduling.promises.decide import ALLOCATE_AGAIN
from scheduling.promises.verbs import allocate_bookings
from scheduling.rows import unreleased
from scheduling.services.bookings import cancel
from scheduling.services.fetching import own_booking
from scheduling.services.ordering import BookingFields, book
from scheduling.services.powers import Powers, require_may_change
from scheduling.services.stages import require_verb


def use_alternative(c: Change, shortfall_id: int, unit_id: int, *, for_good: bool = False, powers: Powers) -> int:
    """Give a unit to a booking in place of one that it lacks, and return the booking that has it.

    In a kit it stands in for this booking only, and the kit stays as it is; ``for_good`` packs it in the kit instead,
    so every booking of the kit follows. For a unit that was booked by itself it is booked in the same state and for the
    same time, and the other booking is given up.

    Raises:
        NotFoundError, NotYoursError: there is no such shortfall, or it is somebody else's booking.
        InvalidError: there is no such unit, or it is of a type that the place does not take.
        WrongStateError: the shortfall is closed, or a number of a spec is short, which is reallocated instead.
        UnitTakenError, UnitNotUsableError, ClaimConflictError: the unit cannot take that place, or not then.
    """
    shortfall, booking = _open(c, shortfall_id, powers)
    unit = row_named(Unit, unit_id, "unit")
    if shortfall.position is not None:
        if for_good:
            edit_position(c, shortfall.position.kit_id, shortfall.position.pk, fields={"unit": unit_id})
        else:
            _stand_in(c, booking, shortfall.position, unit)
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


def end_stand_in(c: Change, booking_id: int, *, position_id: int, powers: Powers) -> int:
    """Want the unit that is packed in a place of the kit again, in place of the one that stands in for it.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, StillOutError: it is cancelled or expired, or its gear is out.
        InvalidError: nothing stands in there.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "take-back")
    if not StandIn.objects.filter(booking=booking, position=position_id).exists():
        raise InvalidError.of_field("position", "Nothing stands in there.")
    StandIn.objects.filter(booking=booking, position=position_id).delete()
    return _reallocated(c, booking, "take-back")


def _stand_in(c: Change, booking: Booking, position: Position, unit: Unit) -> None:
    """Let a unit take a place of the booked kit for this booking, or refuse."""
    if unit.spec_id != position.spec_id and not position.accepts.filter(pk=unit.spec_id).exists():
        raise InvalidError.of_field("unit", f"{position.label} does not take a unit of that type.")
    if Claim.objects.filter(unreleased(), booking=booking, unit=unit).exists():
        raise InvalidError.of_field("unit", f"The booking has {unit.tag} already.")
    StandIn.objects.update_or_create(booking=booking, position=position, defaults={"unit": unit})
    _reallocated(c, booking, "stand-in", unit=unit.tag)
    if not Claim.objects.filter(unreleased(), booking=booking, unit=unit).exists():
        raise ClaimConflictError(f"{unit.tag} is promised to somebody else then, or held back.", conflicts=[])


def reallocate(c: Change, booking_id: int, *, powers: Powers) -> int:
    """Allocate what a booking wants as far as it is available now; what it still lacks stays as its shortfalls.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError: it is cancelled.
        PencilExpiredError: it has expired. Its claims would hold nothing; give it a later date first.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "deal-again")
    return _reallocated(c, booking, "deal-again")


def _reallocated(c: Change, booking: Booking, verb: str, **details: object) -> int:
    booking.version += 1
    booking.save()
    allocate_bookings(c, [booking], ALLOCATE_AGAIN)
    c.record("booking", booking.pk, verb, booking.event.name, **details)
    return booking.pk


def _open(c: Change, shortfall_id: int, powers: Powers) -> tuple[Shortfall, Booking]:
    shortfall = row_at(Shortfall, shortfall_id)
    booking = shortfall.booking
    require_may_change(c, booking, powers)
    require_verb(c, booking, "stand-in")
    if shortfall.closed_at is not None:
        raise WrongStateError("That is not lacking any more.", state=booking.state)
    return shortfall, booking
