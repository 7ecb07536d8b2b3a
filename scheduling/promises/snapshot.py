"""What stands, read for one decision with a number of statements that does not depend on how much there is."""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime
from typing import Any

from django.db.models import (
    BooleanField,
    Case,
    Exists,
    ExpressionWrapper,
    FilteredRelation,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Value,
    When,
)

from inventory.models import Downtime, Position, Unit
from scheduling.models import Claim, Phase, Shortfall
from scheduling.promises.decide import ClaimRow, DowntimeRow, Period, ShortfallRow, Snapshot, UnitRow, Want

OUT_OF_POOL = ("lost", "retired")
UNIT_COLUMNS = ("pk", "tag", "spec_id", "state", "available_from", "available_until")
DOWN_COLUMNS = ("pk", "cause", "starts_at", "ends_at", "expected_until")


def read_snapshot(wants: Sequence[Want], now: datetime) -> Snapshot:
    """Return what the bookings have, and what stands in their periods on everything that they want.

    Units that are only named are read alone. Where a claim on one of them could be dealt another unit, and where a
    number of a spec is wanted, the whole spec is read.
    """
    bookings = [want.booking for want in wants]
    hull = _hull(want.period for want in wants)
    shortfalls = tuple(_shortfalls(bookings))
    named = {item.unit for want in wants for item in want.items if item.unit is not None}
    named |= {item.unit for item in shortfalls if item.unit is not None}
    specs = {want.of_spec.spec for want in wants if want.of_spec is not None}
    claims = list(_claims(Q(unit__in=named) & _in(hull) | Q(booking__in=bookings), now)) if named or bookings else []
    rivals = [claim for claim in claims if not claim.fixed and claim.firm and claim.booking not in bookings]
    units = {unit.id: unit for unit in _units(Q(pk__in=named | {claim.unit for claim in claims}))}
    specs |= {units[claim.unit].spec for claim in rivals}
    if specs:
        units |= {unit.id: unit for unit in _units(Q(spec__in=specs))}
        known = {claim.id for claim in claims}
        ahead = Q(unit__spec__in=specs, ends_at__gt=min(now, hull.starts_at))
        claims += [claim for claim in _claims(ahead, now) if claim.id not in known]
    downtimes = tuple(_downtimes(units, hull.starts_at, now))
    return Snapshot(now=now, units=units, claims=tuple(claims), downtimes=downtimes, shortfalls=shortfalls)


def read_pool(units: Q, periods: Collection[Period], now: datetime) -> Snapshot:
    """Return what stands on some units from the first of the periods on, for questions that change nothing.

    Two statements.
    """
    since = _since(periods, now)
    down = Q(downtimes__ends_at__isnull=True) | Q(downtimes__ends_at__gt=since)
    rows = Unit.objects.filter(units).annotate(down=FilteredRelation("downtimes", condition=down))
    found: dict[int, UnitRow] = {}
    downtimes: list[DowntimeRow] = []
    down_columns = [f"down__{name}" for name in DOWN_COLUMNS]
    rows = rows.order_by("pk", "down__starts_at", "down__pk")
    for row in rows.values_list(*UNIT_COLUMNS, _packed_in(), *down_columns):
        *unit, down_id, cause, starts_at, ends_at, expected = row
        found[row[0]] = _unit(unit)
        if down_id is not None:
            downtimes.append(_downtime(row[0], (down_id, cause, starts_at, ends_at, expected), now))
    on_units = Q(unit__in=Unit.objects.filter(units).order_by().values("pk"))
    claims = tuple(_claims(on_units & Q(ends_at__gt=since), now))
    return Snapshot(now=now, units=found, claims=claims, downtimes=tuple(downtimes))


def specs_dealt_on(units: Collection[int | None], periods: Collection[Period], now: datetime) -> QuerySet[Claim, Any]:
    """Return, for a query, the specs of those of the units whose firm claims could be dealt another unit."""
    claims = Claim.objects.filter(movable(now), unit__in=units, standing="firm", ends_at__gt=_since(periods, now))
    return claims.order_by().values("unit__spec")


def movable(now: datetime) -> Q:
    """Rows of claims for which another unit could still be dealt: not pinned, not begun, nor their preparation."""
    in_preparation = Phase.objects.filter(event=OuterRef("booking__event"), kind="prep", starts_at__lte=now)
    return Q(dealt=True, pinned_at__isnull=True, starts_at__gt=now) & ~Q(Exists(in_preparation))


def read_own(bookings: Collection[int], now: datetime) -> Snapshot:
    """Return only what the bookings have and lack: enough to give it up."""
    return Snapshot(
        now=now,
        units={},
        claims=tuple(_claims(Q(booking__in=bookings), now, expired_too=True)),
        downtimes=(),
        shortfalls=tuple(_shortfalls(bookings)),
    )


def _hull(periods: Iterable[Period]) -> Period:
    found = list(periods)
    return Period(min(period.starts_at for period in found), max(period.ends_at for period in found))


def _in(period: Period) -> Q:
    return Q(starts_at__lt=period.ends_at, ends_at__gt=period.starts_at)


def _since(periods: Collection[Period], now: datetime) -> datetime:
    return min([now, *(period.starts_at for period in periods)])


def _packed_in() -> Subquery:
    places = Position.objects.filter(unit=OuterRef("pk")).order_by(
        Case(When(role="case", then=Value(1)), default=Value(0)), "pk"
    )
    return Subquery(places.values("kit_id")[:1])


def _units(which: Q) -> Iterable[UnitRow]:
    rows = Unit.objects.filter(which).order_by("pk")
    return (_unit(row) for row in rows.values_list(*UNIT_COLUMNS, _packed_in()))


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


def _claims(which: Q, now: datetime, *, expired_too: bool = False) -> Iterable[ClaimRow]:
    standing = Q(standing="firm") | Q(standing="soft", booking__expires_at__gt=now)
    if expired_too:
        standing = ~Q(standing="released")
    for row in _claim_rows(Claim.objects.filter(which, standing), now):
        pk, booking, event, unit, starts_at, ends_at, standing_now, allocated, position, from_kits, may_move = row
        yield ClaimRow(
            id=pk,
            booking=booking,
            event=event,
            unit=unit,
            period=Period(starts_at, ends_at),
            firm=standing_now == "firm",
            allocated=allocated,
            fixed=not may_move,
            from_kits=from_kits,
            position=position,
        )


def _claim_rows(claims: QuerySet[Claim], now: datetime) -> Iterable[tuple[Any, ...]]:
    return claims.order_by("pk").values_list(
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
        ExpressionWrapper(movable(now), output_field=BooleanField()),
    )


def _downtimes(units: Collection[int], since: datetime, now: datetime) -> Iterable[DowntimeRow]:
    rows = Downtime.objects.filter(Q(ends_at__isnull=True) | Q(ends_at__gt=min(since, now)), unit__in=list(units))
    for unit, *row in rows.order_by("starts_at", "pk").values_list("unit_id", *DOWN_COLUMNS):
        yield _downtime(unit, row, now)


def _downtime(unit: int, row: Sequence[Any], now: datetime) -> DowntimeRow:
    """An end that is expected is believed while it lies ahead."""
    pk, cause, starts_at, ends_at, expected = row
    believed = expected if ends_at is None and expected is not None and expected > now else ends_at
    return DowntimeRow(id=pk, unit=unit, late=cause == "late", starts_at=starts_at, ends_at=believed)


def _shortfalls(bookings: Collection[int]) -> Iterable[ShortfallRow]:
    rows = Shortfall.objects.filter(booking__in=bookings, closed_at__isnull=True).order_by("pk")
    for pk, booking, spec, position, unit, quantity, reason, rival in rows.values_list(
        "pk", "booking_id", "spec_id", "position_id", "unit_id", "quantity", "reason", "rival_id"
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
        )
