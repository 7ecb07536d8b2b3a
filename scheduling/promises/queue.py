"""Where a pencil stands: who is ahead of it on what it claims, and whether it could be confirmed now."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from inventory.models import Kit
from inventory.rows import has_case
from scheduling.models import Booking, Claim, ClaimStanding
from scheduling.promises.decide import CONFIRM, BookingResult, decide_bookings
from scheduling.promises.demand import wants_of
from scheduling.promises.snapshot import read_snapshot
from scheduling.rows import firm, holding, pencilled, takes_bookings


class AheadShape(TypedDict):
    """A booking that is ahead on a unit that the pencil claims: it has it firmly, or is an earlier pencil."""

    booking: int
    event: int
    event_name: str
    firm: bool
    rank: int | None
    """Its place among the pencils on that unit, 1 first; null for one that has the unit firmly."""
    starts_at: datetime
    ends_at: datetime


@dataclass(frozen=True, slots=True)
class Place:
    """Where a pencil stands among all that claim the same units for the same time."""

    rank: int
    """1: no other pencil is ahead on any of its units. The worst over its units."""
    before: list[AheadShape]
    """Firm ones first, then pencils in their order; each booking once."""


@dataclass(frozen=True, slots=True)
class _Rival:
    unit: int
    firm: bool
    ranked_at: datetime
    booking: int
    event: int
    event_name: str
    starts_at: datetime
    ends_at: datetime


def places_of(pencils: Collection[int], now: datetime) -> dict[int, Place]:
    """Return the place of each of these pencils that has not expired; one statement, or none."""
    if not pencils:
        return {}
    rivals: defaultdict[int, list[_Rival]] = defaultdict(list)
    for mine, *rival in _rivals(pencils, now):
        rivals[mine].append(_Rival(*rival))
    return {pencil: _place(rivals[pencil]) for pencil in pencils}


def _rivals(pencils: Collection[int], now: datetime) -> Iterable[tuple[Any, ...]]:
    """Return the claims ahead of each soft claim of the pencils: its booking, then the fields of a rival."""
    mine = "unit__claims__booking"
    earlier = Q(booking__ranked_at__lt=F(f"{mine}__ranked_at")) | Q(
        booking__ranked_at=F(f"{mine}__ranked_at"), booking__lt=F(mine)
    )
    rows = Claim.objects.filter(
        Q(unit__claims__booking__in=pencils, unit__claims__standing=ClaimStanding.SOFT)
        & Q(starts_at__lt=F("unit__claims__ends_at"), ends_at__gt=F("unit__claims__starts_at"))
        & ~Q(booking=F(mine))
        & (firm() | holding(now) & pencilled(now, "booking") & earlier)
    )
    return rows.annotate(is_firm=firm()).values_list(
        mine,
        "unit_id",
        "is_firm",
        "booking__ranked_at",
        "booking_id",
        "booking__event_id",
        "booking__event__name",
        "starts_at",
        "ends_at",
    )


def _place(rivals: Collection[_Rival]) -> Place:
    by_unit: defaultdict[int, list[_Rival]] = defaultdict(list)
    for rival in rivals:
        if not rival.firm:
            by_unit[rival.unit].append(rival)
    ranks: dict[int, int] = {}
    for on_unit in by_unit.values():
        in_order = dict.fromkeys(
            rival.booking for rival in sorted(on_unit, key=lambda rival: (rival.ranked_at, rival.booking))
        )
        for number, booking in enumerate(in_order, start=1):
            ranks[booking] = max(number, ranks.get(booking, 1))
    longest = max((len({rival.booking for rival in on_unit}) for on_unit in by_unit.values()), default=0)
    return Place(rank=longest + 1, before=_before(rivals, ranks))


def _before(rivals: Iterable[_Rival], ranks: dict[int, int]) -> list[AheadShape]:
    ahead: dict[int, AheadShape] = {}
    for rival in sorted(rivals, key=lambda rival: (not rival.firm, rival.ranked_at, rival.booking, rival.starts_at)):
        known = ahead.get(rival.booking)
        if known is None:
            ahead[rival.booking] = {
                "booking": rival.booking,
                "event": rival.event,
                "event_name": rival.event_name,
                "firm": rival.firm,
                "rank": None if rival.firm else ranks[rival.booking],
                "starts_at": rival.starts_at,
                "ends_at": rival.ends_at,
            }
        else:
            known["starts_at"] = min(known["starts_at"], rival.starts_at)
            known["ends_at"] = max(known["ends_at"], rival.ends_at)
    return list(ahead.values())


def confirmable(pencils: Collection[int], now: datetime) -> dict[int, bool | None]:
    """Return for each pencil whether confirming it would succeed now; None where the search did not decide it.

    Each is decided as confirming it would be, by itself. At most eight statements for any number of them, or none.
    """
    if not pencils:
        return {}
    rows = Booking.objects.filter(takes_bookings("event"), pk__in=pencils)
    bookings = list(rows.annotate(is_draft=Q(kit__isnull=False) & ~Exists(_case_of_its_kit())))
    answers: dict[int, bool | None] = {row.pk: False for row in bookings if row.is_draft}
    wants = [replace(want, firm=True) for want in wants_of(row for row in bookings if not row.is_draft)]
    if not wants:
        return answers
    snapshot = read_snapshot(wants, now)
    for want in wants:
        result = decide_bookings(snapshot.about(want.named_units(), want.pooled_specs()), [want], CONFIRM).results
        answers[want.booking] = _answer(result[want.booking])
    return answers


def _case_of_its_kit() -> QuerySet[Kit]:
    return Kit.objects.filter(has_case(), pk=OuterRef("kit"))


def _answer(result: BookingResult) -> bool | None:
    if not result.short:
        return True
    return None if result.proof == "undecided" else False
