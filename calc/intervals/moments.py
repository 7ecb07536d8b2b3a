"""Instants that can be put in order: finite numbers, or datetimes."""

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime

from calc.errors import BadInput, is_finite_number, require_list

Moment = float | datetime
"""A finite number of any unit, or a datetime; within one call all of one sort."""

_ACCEPTED = "finite numbers throughout, or datetimes throughout, with a time zone on all or on none"


def require_periods(
    argument: str, periods: Iterable[Sequence[Moment]], end_argument: str | None = None
) -> list[tuple[Moment, Moment]]:
    """Return half-open periods that can be compared with each other; datetimes with a zone are put to UTC.

    An end that is no moment is told of ``end_argument``, where it has a name of its own.

    Two datetimes of one zone compare by their wall clocks, which go wrong in the hour that a clock change repeats.

    Raises:
        BadInput: not a pair, not a moment, moments of several sorts, or an end that is not after its start.
    """
    pairs = []
    sorts = set()
    for period in require_list(argument, periods):
        if not isinstance(period, (tuple, list)) or len(period) != 2:
            raise BadInput(argument, period, "pairs of a start and an end")
        starts_at = _comparable(argument, period[0])
        ends_at = _comparable(end_argument or argument, period[1])
        sorts |= {_sort(starts_at), _sort(ends_at)}
        if len(sorts) > 1:
            raise BadInput(argument, period, _ACCEPTED)
        if not starts_at < ends_at:  # type: ignore[operator]
            raise BadInput(argument, period, "an end after its start")
        pairs.append((starts_at, ends_at))
    return pairs


def _comparable(argument: str, moment: object) -> Moment:
    if isinstance(moment, datetime):
        try:
            return moment if moment.utcoffset() is None else moment.astimezone(UTC)
        except OverflowError as error:
            raise BadInput(argument, moment, "a moment that the calendar still holds in UTC") from error
    if not is_finite_number(moment):
        raise BadInput(argument, moment, _ACCEPTED)
    return moment


def _sort(moment: Moment) -> str:
    if not isinstance(moment, datetime):
        return "number"
    return "without zone" if moment.tzinfo is None else "with zone"
