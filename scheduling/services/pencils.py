"""The verbs of the queue of pencils: keep one longer, challenge the one that is ahead, rank one ahead of another."""

from datetime import datetime, timedelta

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.services.fetching import row_named
from scheduling.errors import NotBehindError, NotYoursError
from scheduling.models import Booking
from scheduling.promises.apply import release_expired_claims
from scheduling.promises.decide import BOOK
from scheduling.promises.queue import places_of
from scheduling.promises.telling import name_of
from scheduling.promises.verbs import allocate_bookings
from scheduling.rows import has_expired
from scheduling.services.fetching import own_booking
from scheduling.services.ordering import require_to_come
from scheduling.services.powers import Powers
from scheduling.services.stages import require_verb


def keep_pencil(c: Change, booking_id: int, *, expires_at: datetime, powers: Powers) -> int:
    """Give a pencil another date on which it expires; one that had expired takes its place anew.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError: it is not a pencil.
        InvalidError: the date has passed.
    """
    booking = own_booking(c, booking_id, powers)
    require_verb(c, booking, "keep")
    require_to_come(c, expires_at, "expires_at")
    had_expired = has_expired(booking, c.now)
    if had_expired:
        release_expired_claims(c)
        booking.ranked_at = c.now
    booking.expires_at = expires_at
    booking.version += 1
    booking.save()
    if had_expired:
        allocate_bookings(c, [booking], BOOK)
    c.record("booking", booking.pk, "keep", booking.event.name)
    return booking.pk


def challenge(c: Change, booking_id: int, *, answer_by: datetime, powers: Powers) -> int:
    """Bring the expiry of a pencil forward to a date by which its holder has to confirm it; the holder is told.

    Whoever holds a pencil behind it may do that, and a planner.

    Raises:
        NotFoundError: there is no such booking.
        WrongStateError, PencilExpiredError: it is not a pencil, or not any more.
        NotBehindError: it is one's own, or nobody with a pencil behind it asks.
        InvalidError: the date has passed, or the pencil expires before it anyway.
    """
    booking = own_booking(c, booking_id, Powers(others=True))
    require_verb(c, booking, "challenge")
    require_to_come(c, answer_by, "answer_by")
    behind = _pencils_behind(c, booking)
    if booking.booked_by_id == c.actor_id or not (behind or powers.others):
        raise NotBehindError(
            "Only who holds a pencil behind this one challenges it, and nobody challenges their own.",
            booking=booking.pk,
        )
    if has_expired(booking, answer_by):
        raise InvalidError.of_field("answer_by", "The pencil expires before that anyway.")
    booking.expires_at = answer_by
    booking.version += 1
    booking.save()
    c.notify(
        booking.booked_by_id,
        "booking",
        booking.pk,
        f"{booking.event.name}: somebody waits for {name_of(booking)}, which you have pencilled. Confirm it in time, "
        "or the pencil expires.",
        due_at=answer_by,
    )
    c.record("booking", booking.pk, "challenge", booking.event.name, answer_by=answer_by.isoformat())
    return booking.pk


def rank(c: Change, booking_id: int, *, before: int, reason: str, powers: Powers) -> int:
    """Put a pencil directly ahead of another one that wants the same gear.

    Raises:
        NotFoundError: there is no such booking.
        NotYoursError: it is for a planner.
        WrongStateError, PencilExpiredError: one of the two is not a pencil, or not any more.
        InvalidError: no reason, no such pencil, itself, or one that is not ahead of it.
    """
    if not powers.others:
        raise NotYoursError("Ranking pencils is for a planner to do.")
    booking, other = own_booking(c, booking_id, powers), row_named(Booking, before, "before")
    for pencil in (booking, other):
        require_verb(c, pencil, "rank")
    if not reason.strip():
        raise InvalidError.of_field("reason", "Say why: whoever loses the place will ask.")
    if other.pk not in {ahead["booking"] for ahead in places_of([booking.pk], c.now)[booking.pk].before}:
        raise InvalidError.of_field("before", "That pencil is not ahead of this one.")
    booking.ranked_at = other.ranked_at - timedelta(microseconds=1)
    booking.version += 1
    booking.save()
    c.notify(
        other.booked_by_id,
        "booking",
        other.pk,
        f"{other.event.name}: your pencil is now behind the one of {booking.event.name}. {reason.strip()}",
    )
    c.record("booking", booking.pk, "rank", booking.event.name, before=other.pk, reason=reason.strip())
    return booking.pk


def _pencils_behind(c: Change, booking: Booking) -> bool:
    """Say whether who asks holds a pencil that waits behind this one."""
    own = Booking.objects.filter(booked_by=c.actor_id, claims__unit__claims__booking=booking.pk).exclude(pk=booking.pk)
    places = places_of(set(own.values_list("pk", flat=True)), c.now)
    return any(booking.pk in {ahead["booking"] for ahead in place.before} for place in places.values())
