"""Stretches of time in words, as the clocks of the company show them."""

from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format

DAY_AND_HOUR = "D j M H:i"
NOT_KNOWN = "end not known"


def moment(at: datetime) -> str:
    """Return ``Fri 27 Nov 10:00``."""
    return date_format(timezone.localtime(at), DAY_AND_HOUR)


def span(starts_at: datetime, ends_at: datetime | None) -> str:
    """Return a half-open stretch; its day is named once where it begins and ends on the same."""
    if ends_at is None:
        return f"{moment(starts_at)}, {NOT_KNOWN}"
    start, end = timezone.localtime(starts_at), timezone.localtime(ends_at)
    last = date_format(end, "H:i" if start.date() == end.date() else DAY_AND_HOUR)
    return f"{date_format(start, DAY_AND_HOUR)} \N{EN DASH} {last}"
