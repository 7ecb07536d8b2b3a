"""Background checks that are queued in the rows they are about: take, settle, retry.

A message is only the doorbell. Lost messages, dead workers and an absent broker lose nothing: the next worker that
looks finds the row still due.

Each table of such rows has its ``Queue`` here. Locks are taken in one order everywhere, which rules out deadlocks: the
ledger first, then rows queue by queue in ``LOCK_ORDER``, in each queue by id.
"""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from django.core.exceptions import ImproperlyConfigured
from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.db.models.functions import Coalesce, Least
from django.utils import timezone

from inventory.base.models.checked import CheckedRow

LEASE = timedelta(seconds=60)
LONGEST_PAUSE = timedelta(hours=1)
MOST_ATTEMPTS = 3
"""A check whose lease ran out at this attempt or later is taken to end its worker, and is not started again."""
GIVEN_UP = datetime(9999, 1, 1, tzinfo=UTC)
"""When a check is due that is not tried again by itself: an edit, a request or new rules bring it forward."""
ENDS_WORKERS = (
    f"The worker ended while it ran this check, after {MOST_ATTEMPTS} attempts, so it is not started again by itself. "
    "Change what is checked, or ask for a check, to try once more."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a check that came to its end says about its row."""

    verdict: str
    verdict_design: str | None
    verdict_packed: str | None
    recheck_at: datetime | None
    """When the answer changes without an edit."""
    keep: Callable[[], None]
    """Writes the check with its findings; runs in the transaction that settles the row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """How the rows of one table are checked."""

    name: str
    model: type[CheckedRow]
    rules: int
    """Version of the rules; a row that was checked by another version is due again."""
    check: Callable[[int, int], Outcome]
    """Reads and judges a row at a revision, outside any transaction."""
    keep_failure: Callable[[int, int, str], None]
    """Keeps the reason why the check of a row at a revision did not come to its end."""


class Taken(NamedTuple):
    """A row that this worker holds until its lease ends."""

    queue: Queue
    row_id: int
    revision: int


BOOKKEEPING = ("pk", "revision", "check_due_at", "check_lease_until", "check_attempts")
LOCK_ORDER = ("kit", "event")
QUEUES: dict[str, Queue] = {}
"""Filled by the rooms that own the tables, when they load."""


def register(queue: Queue) -> None:
    """Add a queue; its name must have a place in ``LOCK_ORDER``."""
    if queue.name not in LOCK_ORDER:
        raise ImproperlyConfigured(f"Give the queue {queue.name} a place in inventory.base.queues.LOCK_ORDER.")
    QUEUES[queue.name] = queue


def queues() -> Iterator[Queue]:
    """Return the registered queues in the order in which their rows are locked."""
    return (QUEUES[name] for name in LOCK_ORDER if name in QUEUES)


def take() -> Taken | None:
    """Lease the row that has been due longest, of any queue; None when none is due.

    A row whose workers ended too often is settled as failed instead, and the next one is taken.
    """
    now = timezone.now()
    for _, queue in sorted(_due(now), key=lambda due: due[0]):
        taken = _take_of(queue, now)
        if taken is not None:
            return taken
    return None


def settle(taken: Taken, outcome: Outcome) -> None:
    """Keep the outcome of a check, unless the row changed meanwhile: then it is due again and nothing is kept."""
    with transaction.atomic():
        if _still_at_revision(taken) is None:
            return
        outcome.keep()
        _row(taken).update(
            checked_revision=taken.revision,
            checked_rules=taken.queue.rules,
            check_due_at=None,
            check_lease_until=None,
            check_attempts=0,
            recheck_at=outcome.recheck_at,
            verdict=outcome.verdict,
            verdict_design=outcome.verdict_design,
            verdict_packed=outcome.verdict_packed,
        )


def settle_failed(taken: Taken, reason: str) -> None:
    """Keep why a check broke off, unless the row changed meanwhile; it is tried again later, at growing intervals."""
    with transaction.atomic():
        row = _still_at_revision(taken)
        if row is None:
            return
        taken.queue.keep_failure(taken.row_id, taken.revision, reason)
        due = timezone.now() + _pause(row.check_attempts)
        _row(taken).update(check_lease_until=None, check_due_at=due)


def _still_at_revision(taken: Taken) -> CheckedRow | None:
    """Lock a row and return it, or None when a result is not to be kept.

    A row at another revision is made due at once. A row that is no longer due was settled by another worker, after the
    lease of this one had ended.
    """
    row = _row(taken).select_for_update(no_key=True).only(*BOOKKEEPING).first()
    if row is None or row.check_due_at is None:
        return None
    if row.revision != taken.revision:
        _row(taken).update(check_lease_until=None, check_due_at=timezone.now())
        return None
    return row


def bump(queue: Queue, row_ids: Collection[int], *, due: datetime) -> None:
    """Raise revisions; the rows are locked in the order of their ids first, for a bulk update alone can deadlock."""
    rows = _of(queue).filter(pk__in=row_ids).order_by("pk").select_for_update(no_key=True)
    locked = list(rows.values_list("pk", flat=True))
    if locked:
        _of(queue).filter(pk__in=locked).update(
            revision=F("revision") + 1,
            check_due_at=Least(Coalesce(F("check_due_at"), due), due),
            check_attempts=0,
        )


def request(queue: Queue, row_id: int, *, due: datetime) -> None:
    """Make the check of a row due although nothing changed, a failed one too."""
    _of(queue).filter(pk=row_id).update(check_due_at=due, check_attempts=0)


def make_due() -> None:
    """Queue what the calendar or a new version of the rules made stale, queue by queue."""
    now = timezone.now()
    for queue in queues():
        other_rules = ~Q(checked_rules=queue.rules)
        idle = Q(check_due_at__isnull=True) & (Q(recheck_at__lte=now) | other_rules)
        stale = idle | Q(check_due_at=GIVEN_UP) & other_rules
        with transaction.atomic():
            rows = _of(queue).filter(stale).order_by("pk").select_for_update(no_key=True)
            ids = list(rows.values_list("pk", flat=True))
            _of(queue).filter(pk__in=ids).update(check_due_at=now, check_attempts=0)


def more_is_due() -> bool:
    """Say whether a row is due that no worker holds."""
    now = timezone.now()
    return any(_open(queue, now).exists() for queue in queues())


def next_due(until: datetime) -> datetime | None:
    """Return when the next row falls due that no worker holds, if that is before ``until``."""
    return min((due for due, _ in _due(until)), default=None)


def _due(until: datetime) -> Iterator[tuple[datetime, Queue]]:
    """Return each queue that has an open row due by then, with when its first one is due."""
    for queue in queues():
        first = _open(queue, until).order_by("check_due_at").values_list("check_due_at", flat=True).first()
        if first is not None:
            yield first, queue


def _take_of(queue: Queue, now: datetime) -> Taken | None:
    while True:
        with transaction.atomic():
            rows = _open(queue, now).order_by("check_due_at", "pk").select_for_update(skip_locked=True, no_key=True)
            row = rows.only(*BOOKKEEPING).first()
            if row is None:
                return None
            if row.check_lease_until is None or row.check_attempts < MOST_ATTEMPTS:
                return _leased(queue, row, now)
            _give_up(queue, row)


def _leased(queue: Queue, row: CheckedRow, now: datetime) -> Taken:
    # The lease counts as an attempt: a worker that dies with it says nothing afterwards.
    _of(queue).filter(pk=row.pk).update(check_lease_until=now + LEASE, check_attempts=F("check_attempts") + 1)
    return Taken(queue, row.pk, row.revision)


def _give_up(queue: Queue, row: CheckedRow) -> None:
    """Settle as failed a row whose lease ran out at its last attempt."""
    queue.keep_failure(row.pk, row.revision, ENDS_WORKERS)
    _of(queue).filter(pk=row.pk).update(check_lease_until=None, check_due_at=GIVEN_UP, checked_rules=queue.rules)


def _pause(attempts: int) -> timedelta:
    return min(timedelta(seconds=2 ** min(max(attempts - 1, 0), 12)), LONGEST_PAUSE)


def _open(queue: Queue, until: datetime) -> QuerySet[CheckedRow]:
    """Return the rows that are due by then and that no worker holds."""
    free = Q(check_lease_until__isnull=True) | Q(check_lease_until__lt=timezone.now())
    return _of(queue).filter(free, check_due_at__lte=until)


def _row(taken: Taken) -> QuerySet[CheckedRow]:
    return _of(taken.queue).filter(pk=taken.row_id)


def _of(queue: Queue) -> QuerySet[CheckedRow]:
    return queue.model._default_manager.all()
