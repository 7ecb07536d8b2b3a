"""Periods as text: intervals of ISO 8601."""

import re
from datetime import datetime, timedelta

from django.utils.dateparse import parse_duration

from inventory.base.bounds import EARLIEST, LATEST
from scheduling.promises.decide import Period

SPACE_FOR_PLUS = re.compile(r" (?=\d{2}:?\d{2}(/|$))")
"""A ``+`` that was not percent-encoded arrives as a space; nothing else is guessed."""


def read_period(text: str) -> Period | str:
    """Return an ISO 8601 interval (start/end, start/duration, duration/end), or a sentence that says what is wrong."""
    parts = SPACE_FOR_PLUS.sub("+", text).split("/")
    outside = f"'{text[:80]}' has to end after it starts, between 1970 and 2200."
    ends = [_instant(part) or _duration(part) for part in parts]
    try:
        match ends:
            case [datetime() as starts_at, datetime() as ends_at]:
                pass
            case [datetime() as starts_at, timedelta() as length]:
                ends_at = starts_at + length
            case [timedelta() as length, datetime() as ends_at]:
                starts_at = ends_at - length
            case _:
                return (
                    f"'{text[:80]}' is not an interval with offsets: write 2027-05-01T06:00:00Z/2027-05-03T22:00:00Z"
                    " (a + as %2B)."
                )
    except OverflowError:
        return outside
    if not EARLIEST <= starts_at < ends_at <= LATEST:
        return outside
    return Period(starts_at, ends_at)


def _instant(text: str) -> datetime | None:
    try:
        instant = datetime.fromisoformat(text)
    except ValueError:
        return None
    return instant if instant.tzinfo is not None else None


def _duration(text: str) -> timedelta | None:
    if not text.startswith("P"):
        return None
    try:
        return parse_duration(text)
    except OverflowError:
        return None
