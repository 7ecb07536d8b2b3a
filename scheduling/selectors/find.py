"""Search of shows by words."""

from datetime import datetime

from django.db.models import Case, Q, Value, When

from scheduling.selectors.programme import ShowShape, show_rows


def found_shows(words: str, now: datetime, *, clients: bool, most: int) -> list[ShowShape]:
    """Return shows by name, venue or, where the reader may see that, client; those to come first; one statement."""
    rows = show_rows(now)
    for word in words.split():
        matches = Q(name__icontains=word) | Q(venue__name__icontains=word)
        rows = rows.filter(matches | Q(client__icontains=word) if clients else matches)
    over = Case(When(gear_back_at__lte=now, then=Value(1)), default=Value(0))
    return list(rows.order_by(over, "gear_out_at", "id")[:most])
