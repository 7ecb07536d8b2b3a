"""Read the rows that one decision needs, in a fixed number of statements."""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime
from typing import Any

from django.db.models import Case, CharField, FilteredRelation, Q, QuerySet, Subquery, Value, When

from inventory.models import Downtime, Unit
from inventory.models.unit import OUT_OF_POOL
from inventory.rows import believed_end, not_over, packed_in
from scheduling.models import Claim, ClaimStanding, Shortfall
from scheduling.promises.decide import (
    ClaimRow,
    DowntimeRow,
    FixedReason,
    Period,
    ShortfallRow,
    Snapshot,
    UnitRow,
    Want,
)
from scheduling.rows import firm, holding, in_preparation, open_shortfall, overlapping, reallocatable, unreleased

UNIT_COLUMNS = ("pk", "tag", "spec_id", "state", "available_from", "available_until")
DOWN_COLUMNS = ("pk", "cause", "starts_at", "ends_at", "expected_until")


def read_snapshot(wants: Sequence[Want], now: datetime) -> Snapshot:
    """Return the bookings' claims and shortfalls, and the claims and downtimes in their periods on all that they want.

    Units that are only named are read alone. Where a claim on one of them could be moved to another unit, and where a
    number of a spec is wanted, the whole spec is read.
    """
    bookings = [want.booking for want in wants]
    hull = _hull(want.period for want in wants)
    shortfalls = tuple(_shortfalls(bookings))
    named = {unit for want in wants for unit in want.named_units()}
    named |= {row.unit for row in shortfalls if row.unit is not None}
    specs = {spec for want in wants for spec in want.pooled_specs()}
    # A verb may have changed the state of its bookings by now, so "holding" cannot be asked of their own claims.
    own = Q(booking__in=bookings) & unreleased()
    wanted = Q(unit__in=named) | Q(unit__in=Claim.objects.filter(own).order_by().values("unit"))
    own_or_rival = own | wanted & overlapping(hull) & holding(now)
    claims = list(_claims(own_or_rival, now)) if named or bookings else []
    rivals = [claim for claim in claims if not claim.fixed and claim.firm and claim.booking not in bookings]
    units = {unit.id: unit for unit in _units(Q(pk__in=named | {claim.unit for claim in claims}))}
    specs |= {units[claim.unit].spec for claim in rivals}
    if specs:
        units |= {unit.id: unit for unit in _units(Q(spec__in=specs))}
        known = {claim.id for claim in claims}
        ahead = Q(unit__spec__in=specs, ends_at__gt=min(now, hull.starts_at))
        claims += [claim for claim in _claims(ahead & holding(now), now) if claim.id not in known]
    downtimes = tuple(_downtimes(units, hull.starts_at, now))
    return Snapshot(now=now, units=units, claims=tuple(claims), downtimes=downtimes, shortfalls=shortfalls)


def read_pool(units: Q, periods: Collection[Period], now: datetime) -> Snapshot:
    """Return the claims and downtimes of some units from the first of the periods on. Two statements.

    For questions that change nothing.
    """
    since = _since(periods, now)
    down = not_over(since, "downtimes")
    rows = Unit.objects.filter(units).annotate(down=FilteredRelation("downtimes", condition=down))
    found: dict[int, UnitRow] = {}
    downtimes: list[DowntimeRow] = []
    down_columns = [f"down__{name}" for name in DOWN_COLUMNS]
    rows = rows.order_by("pk", "down__starts_at", "down__pk")
    for row in rows.values_list(*UNIT_COLUMNS, Subquery(packed_in().values("kit_id")[:1]), *down_columns):
        *unit, down_id, cause, starts_at, ends_at, expected = row
        found[row[0]] = _unit(unit)
        if down_id is not None:
            downtimes.append(_downtime(row[0], (down_id, cause, starts_at, ends_at, expected), now))
    on_units = Q(unit__in=Unit.objects.filter(units).order_by().values("pk"))
    claims = tuple(_claims(on_units & Q(ends_at__gt=since) & holding(now), now))
    return Snapshot(now=now, units=found, claims=claims, downtimes=tuple(downtimes))


def specs_reallocatable_on(
    units: Collection[int | None], periods: Collection[Period], now: datetime
) -> QuerySet[Claim, Any]:
    """Return, for a query, the specs of those of the units whose firm claims could be moved to another unit."""
    claims = Claim.objects.filter(firm(), reallocatable(now), unit__in=units, ends_at__gt=_since(periods, now))
    return claims.order_by().values("unit__spec")


def read_own(bookings: Collection[int], now: datetime) -> Snapshot:
    """Return only the bookings' own claims, of expired pencils too, and shortfalls: enough to release them."""
    return Snapshot(
        now=now,
        units={},
        claims=tuple(_claims(Q(booking__in=bookings) & unreleased(), now)),
        downtimes=(),
        shortfalls=tuple(_shortfalls(bookings)),
    )


def _hull(periods: Iterable[Period]) -> Period:
    found = list(periods)
    return Period(min(period.starts_at for period in found), max(period.ends_at for period in found))


def _since(periods: Collection[Period], now: datetime) -> datetime:
    return min([now, *(period.starts_at for period in periods)])


def _units(which: Q) -> Iterable[UnitRow]:
    rows = Unit.objects.filter(which).order_by("pk")
    return (_unit(row) for row in rows.values_list(*UNIT_COLUMNS, Subquery(packed_in().values("kit_id")[:1])))


def _unit(row: Sequence[Any]) -> UnitRow:
    pk, tag, spec, state, since, until, kit = row
    return UnitRow(
        id=pk,
        tag=tag,
        spec=spec,
        in_pool=state not in OUT_OF_POOL,
        available_from=since,
        available_until=until,
        packed_in=kit,
    )


def _claims(which: Q, now: datetime) -> Iterable[ClaimRow]:
    rows = (
        Claim.objects.filter(which)
        .order_by("pk")
        .values_list(
            "pk",
            "booking_id",
            "booking__event_id",
            "unit_id",
            "starts_at",
            "ends_at",
            "standing",
            "dealt",
            "position_id",
            "booking__from_kits",
            "stray",
            _fixed_reason(now),
        )
    )
    for pk, booking, event, unit, starts_at, ends_at, standing, allocated, position, from_kits, stray, reason in rows:
        yield ClaimRow(
            id=pk,
            booking=booking,
            event=event,
            unit=unit,
            period=Period(starts_at, ends_at),
            firm=standing == ClaimStanding.FIRM,
            allocated=allocated,
            fixed=None if reason is None else FixedReason(reason),
            from_kits=from_kits,
            position=position,
            stray=stray,
        )


def _fixed_reason(now: datetime) -> Case:
    """Return an expression for claims: why each keeps its unit, or null where it may be given another."""
    return Case(
        When(reallocatable(now), then=Value(None)),
        When(starts_at__lte=now, then=Value(FixedReason.OUT.value)),
        When(in_preparation(now), then=Value(FixedReason.IN_PREPARATION.value)),
        When(pinned_at__isnull=False, then=Value(FixedReason.PINNED.value)),
        default=Value(FixedReason.NAMED.value),
        output_field=CharField(),
    )


def _downtimes(units: Collection[int], since: datetime, now: datetime) -> Iterable[DowntimeRow]:
    rows = Downtime.objects.filter(not_over(min(since, now)), unit__in=list(units))
    for unit, *row in rows.order_by("starts_at", "pk").values_list("unit_id", *DOWN_COLUMNS):
        yield _downtime(unit, row, now)


def _downtime(unit: int, row: Sequence[Any], now: datetime) -> DowntimeRow:
    pk, cause, starts_at, ends_at, expected = row
    end = believed_end(ends_at, expected, now)
    return DowntimeRow(id=pk, unit=unit, late=cause == "late", starts_at=starts_at, ends_at=end)


def _shortfalls(bookings: Collection[int]) -> Iterable[ShortfallRow]:
    rows = Shortfall.objects.filter(open_shortfall(), booking__in=bookings).order_by("pk")
    for pk, booking, spec, position, unit, quantity, reason, rival, claim in rows.values_list(
        "pk", "booking_id", "spec_id", "position_id", "unit_id", "quantity", "reason", "rival_id", "claim_id"
    ):
        yield ShortfallRow(
            id=pk,
            booking=booking,
            spec=spec,
            position=position,
            unit=unit,
            quantity=quantity,
            reason=reason,
            rival=rival,
            claim=claim,
        )
