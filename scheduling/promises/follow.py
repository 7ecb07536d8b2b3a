"""What faults, repairs, other contents and freed units mean for promises: found once, at the end of a change."""

from collections.abc import Mapping, Sequence, Set

from django.db.models import Q

from inventory.base.changes import Change
from inventory.selectors.nesting import kits_around
from scheduling.models import Booking, Claim, Shortfall
from scheduling.promises.alternatives import alternatives
from scheduling.promises.apply import FREED, OUTDONE, write_decision
from scheduling.promises.decide import Decision, decide_bookings
from scheduling.promises.demand import wants_of
from scheduling.promises.refuse import missed_by
from scheduling.promises.snapshot import read_snapshot

NONE: frozenset[int] = frozenset()


def live(now: object) -> Q:
    """The bookings that want something from now on: confirmed or pencilled, and not over."""
    return Q(ends_at__gt=now) & (Q(state="confirmed") | Q(state="pencil", expires_at__gt=now))


def follow(c: Change, batch: Mapping[str, Set[int]]) -> None:
    """Settle the live bookings that touched units and kits are promised to; what is over is never rewritten.

    Units that went down are taken from them and dealt again where they were dealt; units that came back, or that
    somebody gave up, fill the shortfalls that name them; a kit's bookings follow its contents. Whoever lost something
    is added to the change's consequences.
    """
    concerned = _concerned(batch)
    if concerned is None:
        return
    bookings = list(Booking.objects.filter(concerned, live(c.now)).order_by("starts_at", "pk"))
    if not bookings:
        return
    wants = wants_of(bookings, waits=True, stays=True)
    snapshot = read_snapshot(wants, c.now)
    decision = decide_bookings(snapshot, wants)
    write_decision(c, decision)
    _tell(c, [booking for booking in bookings if booking.pk in decision.worse_off], decision)


def _concerned(batch: Mapping[str, Set[int]]) -> Q | None:
    """Return which bookings have to be looked at, or None when nothing that was touched concerns any."""
    kits, units = batch.get("kit", NONE), batch.get("unit", NONE)
    missed, outdone = units | batch.get(FREED, NONE), batch.get(OUTDONE, NONE)
    if not (kits or missed or outdone):
        return None
    concerned = Q(pk__in=outdone)
    if kits:
        concerned |= Q(kit__in=set().union(*kits_around(kits).values()))
    if units:
        claims = Claim.objects.filter(~Q(standing="released"), unit__in=units)
        concerned |= Q(pk__in=claims.values("booking_id"))
    if missed:
        misses = Shortfall.objects.filter(unit__in=missed, closed_at__isnull=True)
        concerned |= Q(pk__in=misses.values("booking_id"))
    return concerned


def _reasons(decision: Decision, booking: int) -> list[str]:
    return sorted({draft.reason for draft in decision.open if draft.booking == booking})


def _tell(c: Change, losers: Sequence[Booking], decision: Decision) -> None:
    for booking, found in zip(losers, alternatives(missed_by(decision, losers), c.now), strict=True):
        c.record("booking", booking.pk, "lose", reasons=_reasons(decision, booking.pk))
        told = {
            "booking": booking.pk,
            "event": booking.event_id,
            "starts_at": booking.starts_at.isoformat().replace("+00:00", "Z"),
            "alternatives": found,
        }
        c.consequences[:] = [entry for entry in c.consequences if entry["booking"] != booking.pk] + [told]
