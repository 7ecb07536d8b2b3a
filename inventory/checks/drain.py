"""The worker's round: take a due row of any queue, check it, settle it."""

import logging
import time
from collections.abc import Callable
from datetime import timedelta

from django.utils import timezone

from inventory.base import pulse
from inventory.base.queues import Taken, next_due, settle, settle_failed, take

log = logging.getLogger(__name__)

WAIT_AT_MOST = timedelta(seconds=3)
"""The bell rings before the short delay of an edit is over, and nothing else rings before the beat."""
MOST_ROWS = 50
MOST_SECONDS = 20.0

Pause = Callable[[float], None]


def drain(*, pause: Pause = time.sleep) -> int:
    """Check due rows until none falls due within ``WAIT_AT_MOST``, and return how many were checked.

    Stops after ``MOST_ROWS`` or ``MOST_SECONDS``; ``more_is_due`` then says that the bell has to ring again.
    """
    pulse.beat()
    started = time.monotonic()
    count = 0
    while count < MOST_ROWS and time.monotonic() - started < MOST_SECONDS:
        taken = take()
        if taken is not None:
            check_one(taken)
            count += 1
            continue
        now = timezone.now()
        due = next_due(now + WAIT_AT_MOST)
        if due is None:
            break
        pause(max((due - now).total_seconds(), 0.001))
    return count


def check_one(taken: Taken) -> None:
    """Check a row that was taken, and settle it: with its outcome, or with the error that broke the check off."""
    queue, row_id, revision = taken
    try:
        outcome = queue.check(row_id, revision)
    except Exception as error:
        log.exception("check of %s %s at revision %s failed", queue.name, row_id, revision)
        settle_failed(taken, f"{type(error).__name__}: {error}")
    else:
        settle(taken, outcome)
