"""The answer to "what is free?", consistent although it is read in several statements."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NotRequired, TypedDict, TypeVar

from django.db import transaction
from django.db.models import Min, Q, QuerySet

from inventory.base.changes import ledger_version
from inventory.base.models import Ledger
from inventory.models import Downtime, Kit, Spec
from scheduling.models import Booking, Claim, Event, Phase
from scheduling.promises.decide import Board, Deal, Period, Snapshot, most_bookable
from scheduling.promises.snapshot import read_pool
from scheduling.selectors.availability.counts import NOTHING, Counts, counts
from scheduling.selectors.availability.kits import KitsSeen, KitWindowShape, kit_answers, read_kits

ROWS = 200
"""Specs, and kits, on one page. [-]"""
TRIES = 3

Answer = TypeVar("Answer")


class WindowShape(TypedDict):
    """A half-open period that was asked for, by itself or as an event's."""

    starts_at: datetime
    ends_at: datetime
    event: int | None


class SpecWindowShape(TypedDict):
    """Units of one spec in one window. ``free``: loose, usable and unclaimed for the whole of it as things stand;
    ``packed``: the same, in a kit; ``bookable``: the most that a booking would be granted now, others dealt again."""

    owned: int
    held_back: int
    claimed: int
    pencilled: int
    packed: int
    free: int
    bookable: int


class AvailableSpecShape(TypedDict):
    spec: int
    name: str
    windows: list[SpecWindowShape]


class AvailableKitShape(TypedDict):
    """A kit; ``free``: a booking of it would be granted now. A draft cannot be booked."""

    kit: int
    name: str
    draft: bool
    windows: list[KitWindowShape]


class AvailabilityShape(TypedDict):
    """What can be had, as of one version of the ledger."""

    ledger: int
    windows: list[WindowShape]
    specs: NotRequired[list[AvailableSpecShape]]
    kits: NotRequired[list[AvailableKitShape]]
    next: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    windows: Sequence[Period | int]
    """Periods, and ids of events that exist, in the order asked."""
    specs: QuerySet[Spec] | None
    """Rows to answer for, or None when specs are not asked for."""
    kits: QuerySet[Kit] | None
    page: int = 1
    now: datetime


def available(question: Question) -> tuple[AvailabilityShape, bool]:
    """Return the answer, and whether a further page has more rows. A fixed number of statements, whatever is asked.

    What could be dealt again is worked out after the reading: nobody waits for it.
    """
    version, seen = _at_one_version(lambda: _read(question))
    answer: AvailabilityShape = {"ledger": version, "windows": seen.windows, "next": None}
    if seen.specs is not None:
        answer["specs"] = _spec_rows(seen.specs, seen.periods)
    if seen.kits is not None:
        answer["kits"] = _kit_rows(seen.kits)
    return answer, seen.more


def changes_by_itself_at(now: datetime) -> datetime | None:
    """Return when the next answer may differ although nobody writes anything; None: never.

    A pencil expires, a downtime's expected end passes, a preparation or a period begins and pins what was dealt.
    """
    moments = [
        Booking.objects.filter(state="pencil", expires_at__gt=now).aggregate(at=Min("expires_at"))["at"],
        Downtime.objects.filter(ends_at__isnull=True, expected_until__gt=now).aggregate(at=Min("expected_until"))["at"],
        Phase.objects.filter(kind="prep", starts_at__gt=now).aggregate(at=Min("starts_at"))["at"],
        Claim.objects.filter(standing="firm", dealt=True, starts_at__gt=now).aggregate(at=Min("starts_at"))["at"],
    ]
    return min((moment for moment in moments if moment is not None), default=None)


def _at_one_version(read: Callable[[], Answer]) -> tuple[int, Answer]:
    """Read until no change was committed in between; after three tries, hold up writers for one reading."""
    for _ in range(TRIES):
        before = ledger_version()
        answer = read()
        if ledger_version() == before:
            return before, answer
    with transaction.atomic():
        version = Ledger.objects.select_for_update().get(pk=1).version
        return version, read()


@dataclass(frozen=True, slots=True, kw_only=True)
class _SpecsSeen:
    names: dict[int, str]
    table: dict[tuple[int, int], Counts]
    pool: Snapshot | None
    """Where some of it could be dealt again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _KitsPage:
    names: dict[int, str]
    seen: KitsSeen


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """Everything that was read for one answer."""

    windows: list[WindowShape]
    periods: list[Period]
    specs: _SpecsSeen | None
    kits: _KitsPage | None
    more: bool


def _read(question: Question) -> _Seen:
    windows = _windows(question.windows)
    periods = [Period(window["starts_at"], window["ends_at"]) for window in windows]
    specs, kits, more = None, None, False
    if question.specs is not None:
        names, more = _page(question.specs, question.page)
        specs = _read_specs(names, periods, question.now)
    if question.kits is not None:
        names, further = _page(question.kits, question.page)
        kits = _KitsPage(names=names, seen=read_kits(list(names), periods, question.now))
        more |= further
    return _Seen(windows=windows, periods=periods, specs=specs, kits=kits, more=more)


def _read_specs(names: dict[int, str], periods: Sequence[Period], now: datetime) -> _SpecsSeen:
    table = counts(list(names), periods, now)
    dealt = {spec for (spec, _), cell in table.items() if cell.movable}
    pool = read_pool(Q(spec__in=dealt), periods, now) if dealt else None
    return _SpecsSeen(names=names, table=table, pool=pool)


def _windows(asked: Sequence[Period | int]) -> list[WindowShape]:
    event_ids = [window for window in asked if isinstance(window, int)]
    times = {
        pk: Period(out, back)
        for pk, out, back in Event.objects.filter(pk__in=event_ids).values_list("pk", "gear_out_at", "gear_back_at")
    }
    found: list[WindowShape] = []
    for window in asked:
        period = times[window] if isinstance(window, int) else window
        event = window if isinstance(window, int) else None
        found.append({"starts_at": period.starts_at, "ends_at": period.ends_at, "event": event})
    return found


def _page(rows: QuerySet[Spec] | QuerySet[Kit], page: int) -> tuple[dict[int, str], bool]:
    first = (page - 1) * ROWS
    found = list(rows.order_by("name", "pk").values_list("pk", "name")[first : first + ROWS + 1])
    return dict(found[:ROWS]), len(found) > ROWS


def _spec_rows(seen: _SpecsSeen, periods: Sequence[Period]) -> list[AvailableSpecShape]:
    board = Board(seen.pool) if seen.pool is not None else None
    rows: list[AvailableSpecShape] = []
    for spec, name in seen.names.items():
        cells: list[SpecWindowShape] = []
        for index, period in enumerate(periods):
            cell = seen.table.get((spec, index), NOTHING)
            bookable = cell.free
            if board is not None and cell.movable:
                bookable = most_bookable(board, Deal(spec=spec, quantity=1), period)
            cells.append(
                {
                    "owned": cell.owned,
                    "held_back": cell.held_back,
                    "claimed": cell.claimed,
                    "pencilled": cell.pencilled,
                    "packed": cell.packed,
                    "free": cell.free,
                    "bookable": bookable,
                }
            )
        rows.append({"spec": spec, "name": name, "windows": cells})
    return rows


def _kit_rows(page: _KitsPage) -> list[AvailableKitShape]:
    answers = kit_answers(page.seen)
    return [
        {"kit": kit, "name": name, "draft": answers[kit].draft, "windows": answers[kit].windows}
        for kit, name in page.names.items()
    ]
