"""Fetch a booking for somebody who wants to change it."""

from inventory.base.changes import Change
from inventory.services.fetching import row_at
from scheduling.models import Booking
from scheduling.services.powers import Powers, require_may_change


def own_booking(c: Change, booking_id: int, powers: Powers) -> Booking:
    """Return the booking at an address.

    Raises:
        NotFoundError: there is no such booking.
        NotYoursError: it is somebody else's, and the role does not reach that far.
    """
    booking = row_at(Booking, booking_id)
    require_may_change(c, booking, powers)
    return booking
