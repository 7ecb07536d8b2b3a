"""The worker's round: lease a due kit, read it, calculate, settle only if nobody changed it meanwhile."""

import logging
import time
from collections.abc import Callable
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

from calc.checks import RULES_VERSION, run
from inventory.assembly import fingerprint, read_kits
from inventory.base.models import Pulse
from inventory.checks.results import keep_failure, keep_result
from inventory.models import Kit

log = logging.getLogger(__name__)

LEASE = timedelta(seconds=60)
WAIT_AT_MOST = timedelta(seconds=3)
"""The bell rings before the short delay of an edit is over, and nothing else rings before the beat."""
MOST_KITS = 50
MOST_SECONDS = 20.0
LONGEST_PAUSE = timedelta(hours=1)

Pause = Callable[[float], None]


def drain(*, pause: Pause = time.sleep) -> int:
    """Check due kits until none falls due within three seconds, and return how many were looked at.

    Stops after ``MOST_KITS`` or ``MOST_SECONDS``; ``more_is_due`` then says that the bell has to ring again.
    """
    beat_pulse()
    started = time.monotonic()
    count = 0
    while count < MOST_KITS and time.monotonic() - started < MOST_SECONDS:
        taken = take()
        if taken is not None:
            check_one(*taken)
            count += 1
            continue
        wait = _seconds_until_next()
        if wait is None:
            break
        pause(wait)
    return count


def more_is_due() -> bool:
    """Say whether a kit is due that nobody holds."""
    return _open(timezone.now()).exists()


def make_due() -> None:
    """Queue what the calendar or a new version of the rules made stale; the beat calls it."""
    now = timezone.now()
    stale = Q(recheck_at__lte=now) | ~Q(checked_rules=RULES_VERSION)
    with transaction.atomic():
        ids = list(
            Kit.objects.filter(stale, check_due_at__isnull=True)
            .order_by("pk")
            .select_for_update(no_key=True)
            .values_list("pk", flat=True)
        )
        Kit.objects.filter(pk__in=ids).update(check_due_at=now)


def take() -> tuple[int, int] | None:
    """Lease the kit that has been due longest, and return its id and revision; None when none is due."""
    now = timezone.now()
    if not _open(now).exists():
        return None  # most rounds end here, and on SQLite a transaction would queue behind every writer
    with transaction.atomic():
        row = (
            _open(now)
            .order_by("check_due_at", "pk")
            .select_for_update(skip_locked=True, no_key=True)
            .values_list("pk", "revision")
            .first()
        )
        if row is not None:
            Kit.objects.filter(pk=row[0]).update(check_lease_until=now + LEASE)
    return row


def check_one(kit_id: int, revision: int) -> None:
    """Run all checks on a kit as it stands and settle, if the revision has not moved since it was taken.

    The revision was read first: every later commit raises it, so a reading that mixes two states is never kept.
    """
    as_of = timezone.now()
    try:
        kit = read_kits([kit_id])[kit_id]
        result = run(kit, as_of)
    except Exception as error:
        log.exception("check of kit %s at revision %s failed", kit_id, revision)
        reason = f"{type(error).__name__}: {error}"
        settle(kit_id, revision, lambda: keep_failure(kit_id, revision, reason, as_of=as_of), failed=True)
    else:
        seen = fingerprint(kit)
        settle(kit_id, revision, lambda: keep_result(kit_id, revision, result, seen=seen, as_of=as_of))


def settle(kit_id: int, revision: int, keep: Callable[[], None], *, failed: bool = False) -> None:
    """Keep what was found, unless the kit changed meanwhile: then it is due again and nothing is kept.

    A kit that is due no more has been settled by another worker, after the lease of this one ran out.
    """
    with transaction.atomic():
        kit = Kit.objects.select_for_update(no_key=True).filter(pk=kit_id).first()
        if kit is None or kit.check_due_at is None:
            return
        now = timezone.now()
        here = Kit.objects.filter(pk=kit_id)
        if kit.revision != revision:
            here.update(check_lease_until=None, check_due_at=now)
            return
        keep()
        if failed:
            wait = min(timedelta(seconds=2 ** min(kit.check_attempts, 12)), LONGEST_PAUSE)
            here.update(check_lease_until=None, check_due_at=now + wait, check_attempts=F("check_attempts") + 1)


def beat_pulse() -> None:
    """Say that a worker is alive."""
    Pulse.objects.update_or_create(name="worker", defaults={"at": timezone.now()})


def _open(now: datetime, *, until: datetime | None = None) -> QuerySet[Kit]:
    """Return the kits that are due (or fall due by ``until``) and that nobody holds."""
    free = Q(check_lease_until__isnull=True) | Q(check_lease_until__lt=now)
    return Kit.objects.filter(free, check_due_at__lte=until or now)


def _seconds_until_next() -> float | None:
    """Return how long until the next kit falls due, if that is soon enough to wait for."""
    now = timezone.now()
    due = _open(now, until=now + WAIT_AT_MOST).order_by("check_due_at").values_list("check_due_at", flat=True)
    first = due.first()
    return None if first is None else max((first - now).total_seconds(), 0.001)
