"""Conditions on rows of the inventory that several queries share, each stated once.

``inventory.base.predicates.sql_of`` turns each of them into a fragment of written SQL. ``path`` is the lookup from the
queried model to the row that the condition is about; "" is the queried model itself.
"""

from datetime import datetime

from django.db.models import Case, OuterRef, Q, QuerySet, Value, When

from inventory.base.predicates import Instant
from inventory.models import Position
from inventory.models.unit import OUT_OF_POOL, UnitState

IN_POOL = tuple(state.value for state in UnitState if state not in OUT_OF_POOL)


def in_pool(path: str = "") -> Q:
    """Units that the company can count on: neither lost nor retired."""
    return _of(path, state__in=IN_POOL)


def packed_in(unit: str = "pk") -> QuerySet[Position]:
    """Return, for a subquery, the positions of a unit of the outer query, the one that says where it is first.

    A case has a position in its own kit, and perhaps one in another kit around it: that one comes first.
    """
    case_last = Case(When(role="case", then=Value(1)), default=Value(0))
    return Position.objects.filter(unit=OuterRef(unit)).order_by(case_last, "pk")


def case_of(kit: str = "pk") -> QuerySet[Position]:
    """Return, for a subquery, the position of the case of a kit of the outer query; it may be without a unit."""
    return Position.objects.filter(kit=OuterRef(kit), role="case")


def has_case(path: str = "") -> Q:
    """Kits whose case is a real unit: only they can be booked. A join over positions, of which one a kit answers."""
    return _of(path, positions__role="case", positions__unit__isnull=False)


def open_faults(path: str = "") -> Q:
    """Faults that no repair has closed."""
    return _of(path, closed_at__isnull=True)


def acceptance_holds(now: datetime, path: str = "") -> Q:
    """Acceptances without an end, or whose end is still to come."""
    return _of(path, until__isnull=True) | _of(path, until__gt=now)


def not_over(now: datetime, path: str = "") -> Q:
    """Downtimes that have no recorded end, or one that is still to come; they may not have begun."""
    return _of(path, ends_at__isnull=True) | _of(path, ends_at__gt=now)


def down_at(now: datetime, path: str = "") -> Q:
    """Downtimes that have begun and are not over: their units may not go out now."""
    return _of(path, starts_at__lte=now) & not_over(now, path)


def end_expected(now: datetime, path: str = "") -> Q:
    """Downtimes without a recorded end whose expected end is still to come, and therefore believed."""
    return _of(path, ends_at__isnull=True, expected_until__gt=now)


def down_in(starts_at: Instant, ends_at: Instant, now: datetime, path: str = "") -> Q:
    """Downtimes that keep a unit from going out at some time in [starts_at, ends_at).

    An expected end is believed while it is still to come; once it has passed, the end is unknown and the downtime
    covers everything after its start. A recorded end always counts.
    """
    open_ended = _of(path, ends_at__isnull=True) & (
        _of(path, expected_until__isnull=True)
        | _of(path, expected_until__lte=now)
        | _of(path, expected_until__gt=starts_at)
    )
    return _of(path, starts_at__lt=ends_at) & (_of(path, ends_at__gt=starts_at) | open_ended)


def believed_end(ends_at: datetime | None, expected_until: datetime | None, now: datetime) -> datetime | None:
    """Return when a downtime ends as far as ``down_in`` believes it; None: not known."""
    if ends_at is not None:
        return ends_at
    return expected_until if expected_until is not None and expected_until > now else None


def _of(path: str, **conditions: object) -> Q:
    return Q(**{f"{path}__{name}" if path else name: value for name, value in conditions.items()})
