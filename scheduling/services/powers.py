"""What a person may do to promises, by role: to their own, and to those of others."""

from dataclasses import dataclass

from inventory.base.changes import Change
from inventory.base.models import User
from scheduling.errors import NotYoursError
from scheduling.models import Booking


@dataclass(frozen=True, slots=True, kw_only=True)
class Powers:
    """What the asker's role lets them do to promises, beyond making and changing their own."""

    others: bool = False
    """Change what somebody else has booked."""
    shortfalls: bool = False
    """Accept shortfalls, one's own or those that fall on a rival."""

    @classmethod
    def of(cls, user: User) -> "Powers":
        """Return what the user's role allows."""
        return cls(others=user.may("booking.change-others"), shortfalls=user.may("booking.accept-shortfalls"))


def require_may_change(c: Change, booking: Booking, powers: Powers) -> None:
    """Refuse who neither made the booking nor may change the bookings of others.

    Raises:
        NotYoursError: it is somebody else's.
    """
    if booking.booked_by_id != c.actor_id and not powers.others:
        raise NotYoursError("Somebody else has booked this.", booking=booking.pk)


def require_may_accept_shortfalls(accept_shortfalls: bool, powers: Powers) -> None:
    if accept_shortfalls and not powers.shortfalls:
        raise NotYoursError("Accepting shortfalls is for a planner to do.")
