"""The answer to "what is free?", consistent although it is read in several statements."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NotRequired, TypedDict

from django.db import transaction
from django.db.models import Min, Q, QuerySet, Subquery

from inventory.base.changes import ledger_version
from inventory.base.models import Ledger
from inventory.models import Downtime, Kit, Spec
from inventory.rows import end_expected
from scheduling.models import Booking, Claim, Event, Phase, PhaseKind
from scheduling.promises.decide import Occupancy, Period, Snapshot, SpecQuantity, most_bookable
from scheduling.promises.snapshot import read_pool
from scheduling.rows import allocated_freely, firm, pencilled
from scheduling.selectors.availability.counts import NOTHING, Counts, counts
from scheduling.selectors.availability.kits import KitsSeen, KitWindowShape, kit_answers, read_kits

ROWS = 200
"""Specs, and kits, on one page. [-]"""
TRIES = 3


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
    seen = _at_one_version(lambda: _read(question))
    answer: AvailabilityShape = {"ledger": seen.version, "windows": seen.windows, "next": None}
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
        Booking.objects.filter(pencilled(now)).aggregate(at=Min("expires_at"))["at"],
        Downtime.objects.filter(end_expected(now)).aggregate(at=Min("expected_until"))["at"],
        Phase.objects.filter(kind=PhaseKind.PREP, starts_at__gt=now).aggregate(at=Min("starts_at"))["at"],
        Claim.objects.filter(firm(), allocated_freely(), starts_at__gt=now).aggregate(at=Min("starts_at"))["at"],
    ]
    return min((moment for moment in moments if moment is not None), default=None)


def _at_one_version(read: Callable[[], "_Seen"]) -> "_Seen":
    """Read until no change was committed in between; after three tries, hold up writers for one reading."""
    for _ in range(TRIES):
        seen = read()
        if ledger_version() == seen.version:
            return seen
    with transaction.atomic():
        Ledger.objects.select_for_update().get(pk=1)
        return read()


@dataclass(frozen=True, slots=True, kw_only=True)
class _SpecsSeen:
    names: dict[int, str]
    table: dict[tuple[int, int], Counts]
    pool: Snapshot | None
    """Where some of it could be dealt again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    """The rows that are answered for."""

    names: dict[int, str]
    more: bool
    version: int | None
    """Of the ledger, in the same statement; None where no row came to carry it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _KitsPage:
    names: dict[int, str]
    seen: KitsSeen


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """Everything that was read for one answer."""

    version: int
    """Of the ledger, when the reading began."""
    windows: list[WindowShape]
    periods: list[Period]
    specs: _SpecsSeen | None
    kits: _KitsPage | None
    more: bool


def _read(question: Question) -> _Seen:
    version, (specs, kits) = _pages(question)
    windows = _windows(question.windows)
    periods = [Period(window["starts_at"], window["ends_at"]) for window in windows]
    return _Seen(
        version=version,
        windows=windows,
        periods=periods,
        specs=_read_specs(specs.names, periods, question.now) if specs is not None else None,
        kits=_KitsPage(names=kits.names, seen=read_kits(list(kits.names), periods, question.now))
        if kits is not None
        else None,
        more=any(page.more for page in (specs, kits) if page is not None),
    )


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


def _pages(question: Question) -> tuple[int, list[_Page | None]]:
    """Return the pages of specs and of kits, and the version of the ledger when their reading began.

    It comes with the first rows, which saves a statement. Where there are none, it is read, and then the rows again.
    """
    asked = (question.specs, question.kits)
    pages = [_page(rows, question.page) if rows is not None else None for rows in asked]
    first = next((page for page in pages if page is not None), None)
    if first is not None and first.version is not None:
        return first.version, pages
    return ledger_version(), [_page(rows, question.page) if rows is not None else None for rows in asked]


def _page(rows: QuerySet[Spec] | QuerySet[Kit], page: int) -> _Page:
    first = (page - 1) * ROWS
    version = Subquery(Ledger.objects.values("version")[:1])
    found = list(rows.order_by("name", "pk").values_list("pk", "name", version)[first : first + ROWS + 1])
    return _Page(
        names={pk: name for pk, name, _ in found[:ROWS]},
        more=len(found) > ROWS,
        version=found[0][2] if found else None,
    )


def _spec_rows(seen: _SpecsSeen, periods: Sequence[Period]) -> list[AvailableSpecShape]:
    occupancy = Occupancy(seen.pool) if seen.pool is not None else None
    rows: list[AvailableSpecShape] = []
    for spec, name in seen.names.items():
        cells: list[SpecWindowShape] = []
        for index, period in enumerate(periods):
            cell = seen.table.get((spec, index), NOTHING)
            bookable = cell.free
            if occupancy is not None and cell.movable:
                bookable = most_bookable(occupancy, SpecQuantity(spec=spec, quantity=1), period)
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
