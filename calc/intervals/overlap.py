"""How many are wanted at once."""

from collections.abc import Iterable, Sequence
from itertools import accumulate

from calc.intervals.moments import Moment, require_periods


def peak_overlap(intervals: Iterable[Sequence[Moment]]) -> int:
    """Return the largest number of intervals that hold one instant: so many alike units serve them all, and no fewer.

    Args:
        intervals: (start, end), half-open: one that ends when another starts does not meet it. Numbers or
            datetimes. [-]

    Raises:
        BadInput: an end that is not after its start, or moments that cannot be compared.

    Source: RFC 5545 3.6.1 (the end does not belong to it); Kleinberg and Tardos, Algorithm Design, interval
    partitioning.
    """
    periods = require_periods("intervals", intervals)
    # At one instant the ends (-1) are counted before the starts (+1).
    steps = sorted([(start, 1) for start, _ in periods] + [(end, -1) for _, end in periods], key=lambda step: step)
    return max(accumulate(step for _, step in steps), default=0)
