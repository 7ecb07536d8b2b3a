"""Tell whoever loses by a change: in its answer, and as notices to those who booked."""

from collections.abc import Iterable, Sequence

from inventory.base.changes import Change
from scheduling.models import Booking, Claim
from scheduling.promises.alternatives import Alternative, alternatives
from scheduling.promises.decide import ClaimRow, Decision, Snapshot
from scheduling.promises.queue import confirmable
from scheduling.promises.refuse import missed_by
from scheduling.rows import holding, overlapping, soft

REASONS = {
    "conflict": "promised to somebody else",
    "held-back": "it may not go out",
    "late": "not back yet",
    "empty-position": "nothing is packed there",
    "out-of-pool": "no longer in the pool",
    "not-enough": "there are not enough",
    "taken-on-site": "it is on site and cannot be used",
}
"""Why a booking lacks something, in words."""


def tell_losers(c: Change, losers: Sequence[Booking], decision: Decision) -> None:
    """Tell bookings that lack more than before; ``losers`` come with event, kit, unit and spec."""
    for booking, found in zip(losers, alternatives(missed_by(decision, losers), c.now), strict=True):
        reasons = sorted({draft.reason for draft in decision.open if draft.booking == booking.pk})
        c.record("booking", booking.pk, "lose", reasons=reasons)
        _add(c, booking, "units", found)
        why = "; ".join(REASONS[reason] for reason in reasons)
        words = f"{booking.event.name}: {name_of(booking)} lacks something now ({why})."
        c.notify(booking.booked_by_id, "booking", booking.pk, f"{words} {c.reason}".strip())


def tell_overtaken(c: Change, snapshot: Snapshot, decision: Decision) -> None:
    """Tell pencils that cannot be confirmed any more because what they claim has just been promised firmly."""
    firm_now = _newly_firm(snapshot, decision)
    if not firm_now:
        return
    behind = _pencils_on(c, firm_now)
    lost = [booking for booking, can in confirmable(behind, c.now).items() if can is False]
    for booking in Booking.objects.filter(pk__in=lost).select_related("event", "kit", "unit__spec", "spec"):
        c.record("booking", booking.pk, "overtaken")
        _add(c, booking, "place", [])
        words = f"{booking.event.name}: {name_of(booking)} is promised to somebody else now; your pencil is behind."
        c.notify(booking.booked_by_id, "booking", booking.pk, f"{words} {c.reason}".strip())


def name_of(booking: Booking) -> str:
    """Return what is booked: the kit, the unit's tag, or how many of which spec."""
    if booking.kit is not None:
        return booking.kit.name
    if booking.unit is not None:
        return booking.unit.tag
    return f"{booking.quantity} × {booking.spec.name if booking.spec else ''}"


def _newly_firm(snapshot: Snapshot, decision: Decision) -> list[ClaimRow]:
    """Return the firm claims of the decided bookings that they did not have firmly for that time before."""
    before = {claim.id: claim for claim in snapshot.claims}
    return [
        claim
        for claim in (*decision.add, *decision.change)
        if claim.firm and claim.booking in decision.results and not _was_firm(before.get(claim.id), claim)
    ]


def _was_firm(before: ClaimRow | None, claim: ClaimRow) -> bool:
    return before is not None and before.firm and (before.unit, before.period) == (claim.unit, claim.period)


def _pencils_on(c: Change, claims: Iterable[ClaimRow]) -> set[int]:
    """Return the pencils of others that claim the same units for some of the same time; one statement."""
    periods = {claim.unit: claim.period for claim in claims}
    own = {claim.booking for claim in claims}
    hull_start = min(period.starts_at for period in periods.values())
    hull_end = max(period.ends_at for period in periods.values())
    window = type(next(iter(periods.values())))(hull_start, hull_end)
    rows = Claim.objects.filter(soft(), holding(c.now), overlapping(window), unit__in=periods).exclude(booking__in=own)
    found = rows.values_list("booking_id", "unit_id", "starts_at", "ends_at")
    return {
        booking
        for booking, unit, starts_at, ends_at in found
        if starts_at < periods[unit].ends_at and periods[unit].starts_at < ends_at
    }


def _add(c: Change, booking: Booking, loses: str, found: Sequence[Alternative]) -> None:
    """Add the booking to the consequences of the change, in place of what was told of it before."""
    told: dict[str, object] = {
        "booking": booking.pk,
        "event": booking.event_id,
        "starts_at": booking.starts_at.isoformat().replace("+00:00", "Z"),
        "loses": loses,
        "alternatives": found,
    }
    c.consequences[:] = [entry for entry in c.consequences if entry["booking"] != booking.pk] + [told]
