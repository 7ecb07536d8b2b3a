"""Predicates of the rows of scheduling, each declared once; ``path`` is the lookup from the queried model to the row.

For SQL that is written by hand, ``inventory.base.predicates.sql_of`` turns each of them into a fragment.
"""

from datetime import datetime

from django.db.models import Exists, OuterRef, Q

from inventory.base.predicates import Window, through
from scheduling.models import Booking, BookingState, ClaimStanding, EventState, Phase, PhaseKind


def overlapping(window: Window, path: str = "") -> Q:
    """Rows whose half-open period shares a moment with the window: bookings, claims, phases."""
    return through(path, Q(starts_at__lt=window.ends_at, ends_at__gt=window.starts_at))


# Bookings


def expired(now: datetime, path: str = "") -> Q:
    """Pencils whose date has come. They hold nothing, whether or not anything has tidied them away."""
    return through(path, Q(state=BookingState.PENCIL, expires_at__lte=now))


def has_expired(booking: Booking, now: datetime) -> bool:
    """Return whether ``expired`` holds for a booking in hand."""
    return booking.state == BookingState.PENCIL and booking.expires_at is not None and booking.expires_at <= now


def pencilled(now: datetime, path: str = "") -> Q:
    """Pencils that have not expired."""
    return through(path, Q(state=BookingState.PENCIL, expires_at__gt=now))


def confirmed(path: str = "") -> Q:
    return through(path, Q(state=BookingState.CONFIRMED))


def in_force(now: datetime, path: str = "") -> Q:
    """Bookings that hold what they were given: confirmed, or pencils that have not expired.

    Those that are over are among them: what a past show had and lacked stays true. ``live`` leaves them out.
    """
    return confirmed(path) | pencilled(now, path)


def live(now: datetime, path: str = "") -> Q:
    """Bookings that want something from now on: in force, and not over."""
    return through(path, Q(ends_at__gt=now)) & in_force(now, path)


def not_cancelled(path: str = "") -> Q:
    """Bookings, or events, that nobody has cancelled. An expired pencil is among them."""
    return through(path, ~Q(state="cancelled"))


# Claims


def unreleased(path: str = "") -> Q:
    """Claims that nobody has released; the claims of an expired pencil are among them."""
    return through(path, ~Q(standing=ClaimStanding.RELEASED))


def firm(path: str = "") -> Q:
    """Claims of confirmed bookings: no two of one unit overlap."""
    return through(path, Q(standing=ClaimStanding.FIRM))


def soft(path: str = "") -> Q:
    """Claims of pencils, expired ones too."""
    return through(path, Q(standing=ClaimStanding.SOFT))


def holding(now: datetime, path: str = "") -> Q:
    """Claims that hold their unit: firm, or of a pencil that has not expired."""
    return firm(path) | soft(path) & through(path, pencilled(now, "booking"))


def out(now: datetime, path: str = "") -> Q:
    """Claims whose units are out with a confirmed booking: their time has begun and is not over."""
    return firm(path) & through(path, Q(starts_at__lte=now, ends_at__gt=now))


def allocated_freely(path: str = "") -> Q:
    """Claims whose unit the service chose and nobody has pinned."""
    return through(path, Q(dealt=True, pinned_at__isnull=True))


def in_preparation(now: datetime) -> Q:
    """Claims of events whose preparation phase has begun."""
    begun = Phase.objects.filter(event=OuterRef("booking__event"), kind=PhaseKind.PREP, starts_at__lte=now)
    return Q(Exists(begun))


def reallocatable(now: datetime) -> Q:
    """Claims that may still be given another unit: chosen freely, not begun, nor their event's preparation."""
    return allocated_freely() & Q(starts_at__gt=now) & ~in_preparation(now)


# Shortfalls and events


def open_shortfall(path: str = "") -> Q:
    """Shortfalls that are neither filled nor given up."""
    return through(path, Q(closed_at__isnull=True))


def takes_bookings(path: str = "") -> Q:
    """Events that gear can be booked for: neither closed nor cancelled."""
    return through(path, Q(state__in=EventState.open()))
