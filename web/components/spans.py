"""Stretches of time in words, as the clocks of the company show them."""

from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.formats import date_format

DAY_AND_HOUR = "D j M H:i"
NOT_KNOWN = "end not known"
NEAR = timedelta(days=90)


def dated(at: datetime, form: str) -> str:
    """Return an instant in a form of days and hours, with the year where another one would be taken to be meant."""
    here, now = timezone.localtime(at), timezone.localtime()
    if here.year != now.year and abs(here - now) > NEAR:
        form = form.replace("M", "M Y")
    return date_format(here, form)


def moment(at: datetime) -> str:
    """Return ``Fri 27 Nov 10:00``."""
    return dated(at, DAY_AND_HOUR)


def span(starts_at: datetime, ends_at: datetime | None) -> str:
    """Return a half-open stretch; its day is named once where it begins and ends on the same."""
    if ends_at is None:
        return f"{moment(starts_at)}, {NOT_KNOWN}"
    start, end = timezone.localtime(starts_at), timezone.localtime(ends_at)
    last = dated(end, "H:i" if start.date() == end.date() else DAY_AND_HOUR)
    return f"{dated(start, DAY_AND_HOUR)} \N{EN DASH} {last}"
