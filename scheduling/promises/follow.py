"""Repair promises at the end of a change, after faults, repairs, other contents or freed units."""

from collections.abc import Mapping, Set

from django.db.models import Q

from inventory.base.changes import Change
from inventory.selectors.nesting import kits_around
from scheduling.models import Booking, Claim, Shortfall
from scheduling.promises.apply import DISPLACED, FREED, write_decision
from scheduling.promises.decide import FOLLOW, decide_bookings
from scheduling.promises.demand import wants_of
from scheduling.promises.snapshot import read_snapshot
from scheduling.promises.telling import tell_losers
from scheduling.rows import live, open_shortfall, unreleased

NONE: frozenset[int] = frozenset()


def reallocate_touched(c: Change, batch: Mapping[str, Set[int]]) -> None:
    """Allocate again to the live bookings of touched units and kits; what is over is never rewritten.

    A unit that went down is taken from its bookings, and replaced where the service had chosen it. A unit that came
    back or was given up fills the shortfalls that name it. Bookings of a kit follow its contents. Bookings that lost
    something are added to the change's consequences.
    """
    concerned = _concerned(batch)
    if concerned is None:
        return
    rows = Booking.objects.filter(concerned, live(c.now)).select_related("event", "kit", "unit", "spec")
    bookings = list(rows.order_by("starts_at", "pk"))
    if not bookings:
        return
    wants = wants_of(bookings)
    snapshot = read_snapshot(wants, c.now)
    decision = decide_bookings(snapshot, wants, FOLLOW)
    write_decision(c, decision)
    tell_losers(c, [booking for booking in bookings if booking.pk in decision.worse_off], decision)


def _concerned(batch: Mapping[str, Set[int]]) -> Q | None:
    """Return which bookings have to be looked at, or None when nothing that was touched concerns any."""
    kits, units = batch.get("kit", NONE), batch.get("unit", NONE)
    missed, displaced = units | batch.get(FREED, NONE), batch.get(DISPLACED, NONE)
    if not (kits or missed or displaced):
        return None
    concerned = Q(pk__in=displaced)
    if kits:
        concerned |= Q(kit__in=set().union(*kits_around(kits).values()))
    if units:
        claims = Claim.objects.filter(unreleased(), unit__in=units)
        concerned |= Q(pk__in=claims.values("booking_id"))
    if missed:
        misses = Shortfall.objects.filter(open_shortfall(), unit__in=missed)
        concerned |= Q(pk__in=misses.values("booking_id"))
    return concerned
