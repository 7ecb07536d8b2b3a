"""One door for every write.

Every service takes a ``Change`` first, and only edges open one (a view, a page, a task, the demo script); so no service
can run without the lock, and composing services is a plain call. The ledger row is raised first of all: one writer at a
time, on SQLite and PostgreSQL alike, which rules out deadlocks and write skew. Inside: no solver above two seconds, no
file, no broker, no HTTP. Services take ids, never instances that were loaded before the lock.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Set
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime

from django.core.exceptions import ImproperlyConfigured
from django.db import OperationalError, connection, transaction
from django.db.models import F
from django.utils import timezone

from inventory.base.constraints import explained
from inventory.base.errors import BusyError
from inventory.base.models import HistoryEntry, Ledger, Notice
from inventory.base.models.notice import MOST_WORDS

Follower = Callable[["Change", Mapping[str, Set[int]]], None]

FOLLOWER_ORDER = ("promises", "checks", "events")
"""Claims are decided first, for the checks of kits and then of events see what was decided."""
FOLLOWERS: dict[str, Follower] = {}
"""What happens once, at the end of a change, to everything that it touched; rooms above add theirs when they load."""

SECONDS_TO_WAIT = 5


def add_follower(name: str, follower: Follower) -> None:
    """Add a follower; its name must have a place in ``FOLLOWER_ORDER``."""
    if name not in FOLLOWER_ORDER:
        raise ImproperlyConfigured(f"Give the follower {name} a place in inventory.base.changes.FOLLOWER_ORDER.")
    FOLLOWERS[name] = follower


class DryRun(Exception):  # noqa: N818 - not an error: it only takes the transaction back
    """Raised inside a change to take everything back after the answer has been rendered."""


@dataclass(slots=True)
class Change:
    """What one transaction does: who, when, and which rows it touched (so that ten edits count as one)."""

    actor_id: int | None
    request_id: str
    now: datetime
    version: int
    touched: defaultdict[str, set[int]] = field(default_factory=lambda: defaultdict(set))
    """Noun → ids that the followers look at."""
    consequences: list[dict[str, object]] = field(default_factory=list)
    """What followers changed elsewhere, for the answer to tell."""
    reason: str = ""
    """Why it is done at the cost of others, in the words of whoever does it; those who lose by it are told."""
    _entries: list[HistoryEntry] = field(default_factory=list)
    _notices: list[Notice] = field(default_factory=list)

    def touch(self, noun: str, *ids: int) -> None:
        """Say that followers have to look at these rows."""
        self.touched[noun].update(ids)

    def record(self, noun: str, object_id: int, verb: str, label: str = "", **details: object) -> None:
        """Add one line of history."""
        self._entries.append(
            HistoryEntry(
                version=self.version,
                at=self.now,
                actor_id=self.actor_id,
                request_id=self.request_id,
                noun=noun,
                object_id=object_id,
                verb=verb,
                label=label[:200],
                details=details,
            )
        )

    def notify(
        self, person_id: int | None, noun: str, object_id: int, words: str, *, due_at: datetime | None = None
    ) -> None:
        """Tell a person about something of theirs that somebody else has changed. Nobody is told of their own doing."""
        if person_id is None or person_id == self.actor_id:
            return
        notice = Notice(
            person_id=person_id, noun=noun, object_id=object_id, words=words[:MOST_WORDS], at=self.now, due_at=due_at
        )
        self._notices.append(notice)

    def run_followers(self) -> None:
        """Run the followers over what was touched since they last ran; then ``consequences`` is complete."""
        while any(self.touched.values()):
            batch, self.touched = self.touched, defaultdict(set)
            for name in FOLLOWER_ORDER:
                if name in FOLLOWERS:
                    FOLLOWERS[name](self, batch)

    def write_history(self) -> None:
        """Write what was recorded, and the notices. Two statements at most."""
        HistoryEntry.objects.bulk_create(self._entries)
        Notice.objects.bulk_create(self._notices)
        self._entries.clear()
        self._notices.clear()


@contextmanager
def change(*, actor_id: int | None, request_id: str) -> Iterator[Change]:
    """Open the door: take the ledger, hand out a ``Change``, run the followers and write history on the way out.

    Raises:
        BusyError: another writer held the ledger for longer than ``SECONDS_TO_WAIT``.
        DomainError: a constraint refused, told by its own problem.
    """
    try:
        with explained(), transaction.atomic(durable=True):
            c = Change(actor_id, request_id, timezone.now(), _take_ledger())
            yield c
            c.run_followers()
            c.write_history()
    except OperationalError as error:
        if not _is_lock_timeout(error):
            raise
        raise BusyError("Another change is being written. Nothing of yours was changed; try again shortly.") from error


def ledger_version() -> int:
    """Return the number of changes so far: it moves whenever anything was written."""
    return Ledger.objects.values_list("version", flat=True).get(pk=1)


def _take_ledger() -> int:
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute(f"SET LOCAL lock_timeout = '{SECONDS_TO_WAIT}s'")
    Ledger.objects.filter(pk=1).update(version=F("version") + 1)
    return ledger_version()


def _is_lock_timeout(error: OperationalError) -> bool:
    return getattr(error.__cause__, "sqlstate", None) == "55P03" or "database is locked" in str(error)
