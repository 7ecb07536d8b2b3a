"""Bookings as people and programs see them: what they have, what they lack, what could stand in."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Any, NotRequired, TypedDict

from django.db.models import OuterRef, QuerySet, Subquery

from inventory.base.models.checked import CheckState
from inventory.models import Check, Finding, Kit
from scheduling.models import Booking, BookingState, Claim, Shortfall
from scheduling.promises.alternatives import Gap, UnitAlternative, stand_ins
from scheduling.promises.decide import Period
from scheduling.promises.queue import AheadShape, Place, confirmable, places_of
from scheduling.rows import expired, firm, in_force, open_shortfall, unreleased

GRAVE = ("stop", "caution")


class ClaimShape(TypedDict):
    """One unit promised to the booking."""

    id: int
    unit: int
    tag: str
    position: int | None
    starts_at: datetime
    ends_at: datetime
    firm: bool
    dealt: bool
    stray: bool
    """The unit is out with the booking although the booked kit no longer contains it."""


class ShortfallShape(TypedDict):
    """What the booking lacks, why, and which units that are free then could stand in."""

    id: int
    position: int | None
    spec: int
    unit: int | None
    quantity: int
    reason: str
    rival: int | None
    claim: int | None
    """The claim of a unit that is on site and cannot be used; it is no place that lacks a unit."""
    alternatives: list[UnitAlternative]


class KitFindingShape(TypedDict):
    """A stop or caution of the newest check of the booked kit. It refuses nothing."""

    code: str
    severity: str
    message: str


class PencilShape(TypedDict):
    """Where a pencil stands; nothing of it is said of other bookings, or of a pencil that has expired."""

    rank: int | None
    """Its place among the pencils on its units, 1 first."""
    before: list[AheadShape]
    """Who is ahead of it, those who have a unit firmly first."""
    confirmable: bool | None
    """Whether confirming it would succeed now. Null: the search did not decide it."""


class PlainBookingShape(TypedDict):
    """A kit, a unit or a number of a spec wanted for an event."""

    id: int
    version: int
    event: int
    kit: int | None
    unit: int | None
    spec: int | None
    quantity: int
    state: str
    expired: bool
    starts_at: datetime
    ends_at: datetime
    follows_event: bool
    expires_at: datetime | None
    from_kits: bool
    booked_by: int | None
    booked_at: datetime
    claims: list[ClaimShape]
    shortfalls: list[ShortfallShape]
    findings: list[KitFindingShape]
    proof: str


class BookingShape(PlainBookingShape, PencilShape):
    """A kit, a unit or a number of a spec wanted for an event; of a pencil, where it stands."""


class NewBookingShape(BookingShape):
    """A booking just made. Where somebody lost something by it, they are named."""

    affected_bookings: NotRequired[list[dict[str, Any]]]


class ExtendedBookingShape(BookingShape):
    """A booking just changed, with the bookings of others that lost something by it."""

    affected_bookings: list[dict[str, Any]]


def booking_rows(now: datetime) -> QuerySet[Booking, Any]:
    """Rows of the list of bookings, for filtering and paging."""
    return Booking.objects.values(
        "id", "version", "event_id", "kit_id", "unit_id", "spec_id", "quantity", "state", "starts_at", "ends_at",
        "follows_event", "expires_at", "from_kits", "booked_by_id", "booked_at", "proof",
        expired=expired(now), in_force=in_force(now),
    )  # fmt: skip


def show_bookings(rows: Sequence[dict[str, Any]], now: datetime) -> list[BookingShape]:
    """Return the bookings of these rows; at most fifteen statements for any number of them."""
    wanting = [row for row in rows if row["in_force"]]
    ids = [row["id"] for row in wanting]
    claims = _claims(ids)
    shortfalls = _shortfalls({row["id"]: Period(row["starts_at"], row["ends_at"]) for row in wanting}, now)
    findings = grave_findings({row["kit_id"] for row in rows if row["kit_id"] is not None})
    pencils = [row["id"] for row in wanting if row["state"] == BookingState.PENCIL]
    places, can_be_confirmed = places_of(pencils, now), confirmable(pencils, now)
    return [
        {
            **_show(row, claims[row["id"]], shortfalls[row["id"]], findings[row["kit_id"] or 0]),
            **_standing(places.get(row["id"]), can_be_confirmed.get(row["id"])),
        }
        for row in rows
    ]


def _standing(place: Place | None, is_confirmable: bool | None) -> PencilShape:
    if place is None:
        return {"rank": None, "before": [], "confirmable": None}
    return {"rank": place.rank, "before": place.before, "confirmable": is_confirmable}


def _claims(booking_ids: Collection[int]) -> defaultdict[int, list[ClaimShape]]:
    claims: defaultdict[int, list[ClaimShape]] = defaultdict(list)
    rows = Claim.objects.annotate(is_firm=firm()).filter(unreleased(), booking__in=booking_ids).order_by("id")
    for pk, booking, unit, tag, position, starts_at, ends_at, is_firm, dealt, stray in rows.values_list(
        "id", "booking_id", "unit_id", "unit__tag", "position_id", "starts_at", "ends_at", "is_firm", "dealt", "stray"
    ):
        claims[booking].append(
            {
                "id": pk,
                "unit": unit,
                "tag": tag,
                "position": position,
                "starts_at": starts_at,
                "ends_at": ends_at,
                "firm": is_firm,
                "dealt": dealt,
                "stray": stray,
            }
        )
    return claims


def _shortfalls(periods: Mapping[int, Period], now: datetime) -> defaultdict[int, list[ShortfallShape]]:
    shortfalls: defaultdict[int, list[ShortfallShape]] = defaultdict(list)
    rows = list(
        Shortfall.objects.filter(open_shortfall(), booking__in=periods)
        .order_by("id")
        .values("id", "booking_id", "position_id", "spec_id", "unit_id", "quantity", "reason", "rival_id", "claim_id")
    )
    gaps = [Gap(row["spec_id"], row["position_id"], periods[row["booking_id"]]) for row in rows]
    for row, units in zip(rows, stand_ins(gaps, now), strict=True):
        shortfalls[row["booking_id"]].append(
            {
                "id": row["id"],
                "position": row["position_id"],
                "spec": row["spec_id"],
                "unit": row["unit_id"],
                "quantity": row["quantity"],
                "reason": row["reason"],
                "rival": row["rival_id"],
                "claim": row["claim_id"],
                "alternatives": units,
            }
        )
    return shortfalls


def grave_findings(
    kit_ids: Collection[int], severities: Collection[str] = GRAVE
) -> defaultdict[int, list[KitFindingShape]]:
    """Return the stops and cautions of each kit's newest check, worst first; one statement, or none."""
    findings: defaultdict[int, list[KitFindingShape]] = defaultdict(list)
    if not kit_ids:
        return findings
    newest = Check.objects.filter(kit=OuterRef("pk"), state=CheckState.DONE).order_by("-id").values("id")[:1]
    checks = Kit.objects.filter(pk__in=kit_ids).values_list(Subquery(newest), flat=True)
    rows = Finding.objects.filter(check_run__in=checks, severity__in=severities).order_by("check_run_id", "sort")
    for kit, code, severity, message in rows.values_list("check_run__kit_id", "code", "severity", "message"):
        findings[kit].append({"code": code, "severity": severity, "message": message})
    return findings


def _show(
    row: Mapping[str, Any],
    claims: list[ClaimShape],
    shortfalls: list[ShortfallShape],
    findings: list[KitFindingShape],
) -> PlainBookingShape:
    return {
        "id": row["id"],
        "version": row["version"],
        "event": row["event_id"],
        "kit": row["kit_id"],
        "unit": row["unit_id"],
        "spec": row["spec_id"],
        "quantity": row["quantity"],
        "state": row["state"],
        "expired": row["expired"],
        "starts_at": row["starts_at"],
        "ends_at": row["ends_at"],
        "follows_event": row["follows_event"],
        "expires_at": row["expires_at"],
        "from_kits": row["from_kits"],
        "booked_by": row["booked_by_id"],
        "booked_at": row["booked_at"],
        "claims": claims,
        "shortfalls": shortfalls,
        "findings": findings,
        "proof": row["proof"],
    }
