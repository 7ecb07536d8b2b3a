"""Take gear from named bookings of others, with a reason that they are told."""

from collections.abc import Collection
from dataclasses import dataclass

from inventory.base.changes import Change
from inventory.base.errors import FieldProblem, InvalidError
from scheduling.errors import NotYoursError
from scheduling.models import Booking, BookingState
from scheduling.services.powers import Powers


@dataclass(frozen=True, slots=True, kw_only=True)
class Bump:
    bookings: frozenset[int]
    """Confirmed bookings that may lose gear that is not out."""
    reason: str


def bump_of(bookings: Collection[int] | None, reason: str | None) -> Bump | None:
    """Return what a request's fields ask for: None where it names no booking and gives no reason."""
    if not bookings and not reason:
        return None
    return Bump(bookings=frozenset(bookings or ()), reason=(reason or "").strip())


def require_bump(bump: Bump | None, powers: Powers, *, own: int | None = None) -> Bump | None:
    """Refuse to take gear from others without the role, a reason, or bookings that can lose any.

    Args:
        bump: What is asked.
        powers: Of the asker.
        own: The booking that gains.

    Raises:
        NotYoursError: it is for a planner.
        InvalidError: no reason, no such confirmed booking, or the booking itself.
    """
    if bump is None:
        return None
    if not powers.others:
        raise NotYoursError("Taking gear from others is for a planner to do.")
    problems = []
    if not bump.reason:
        problems.append(("reason", "Say why: whoever loses gear is told."))
    if not bump.bookings:
        problems.append(("bump", "Name the bookings that may lose gear."))
    if own in bump.bookings:
        problems.append(("bump", "A booking cannot take gear from itself."))
    known = Booking.objects.filter(pk__in=bump.bookings, state=BookingState.CONFIRMED).values_list("pk", flat=True)
    if missing := sorted(bump.bookings - set(known) - {own}):
        problems.append(("bump", f"There is no confirmed booking {missing[0]}."))
    if problems:
        raise InvalidError(
            "Gear cannot be taken like that.",
            errors=[FieldProblem(field=field, code="invalid", message=message) for field, message in problems],
        )
    return bump


def taken_from(c: Change, bump: Bump | None) -> frozenset[int]:
    """Return the bookings that may lose gear in this change; they are told the reason."""
    if bump is None:
        return frozenset()
    c.reason = bump.reason
    return bump.bookings
