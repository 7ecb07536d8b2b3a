"""What stands on each unit in one window: where it lies, who has it, why it is down."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import Case, F, FilteredRelation, OuterRef, Q, Subquery, Value, When

from inventory.models import Position, Unit
from scheduling.promises.decide import Period

OUT_OF_POOL = ("lost", "retired")


class HeldByShape(TypedDict):
    """A claim on the unit in the window."""

    event: int
    name: str
    firm: bool
    starts_at: datetime
    ends_at: datetime
    until: datetime | None
    """When the pencil expires."""


class DownInShape(TypedDict):
    cause: str
    note: str
    until: datetime | None


class UnitInWindowShape(TypedDict):
    unit: int
    tag: str
    spec_name: str
    state: str
    place: str | None
    kit: int | None
    kit_name: str | None
    claims: list[HeldByShape]
    downs: list[DownInShape]


def units_in_window(which: Q, window: Period, now: datetime) -> list[UnitInWindowShape]:
    """Return units by tag with what stands on them in the window; one statement.

    A row comes for each downtime beside each claim; few stand on one unit in one window.
    """
    found: dict[int, UnitInWindowShape] = {}
    claims: defaultdict[int, dict[int, HeldByShape]] = defaultdict(dict)
    downs: defaultdict[int, dict[int, DownInShape]] = defaultdict(dict)
    for row in _rows(which, window, now):
        unit = row["pk"]
        if unit not in found:
            found[unit] = _unit(row)
        if row["claim__pk"] is not None and _stands(row, now):
            claims[unit][row["claim__pk"]] = _claim(row)
        if row["down__pk"] is not None:
            downs[unit][row["down__pk"]] = _down(row, now)
    for unit, shape in found.items():
        shape["claims"], shape["downs"] = list(claims[unit].values()), list(downs[unit].values())
    return list(found.values())


def _rows(which: Q, window: Period, now: datetime) -> Any:
    """An end that is expected is believed while it lies ahead; one that has passed is not."""
    lies_in = Position.objects.filter(unit=OuterRef("pk")).order_by(
        Case(When(role="case", then=Value(1)), default=Value(0)), "pk"
    )
    claimed = Q(claims__starts_at__lt=window.ends_at, claims__ends_at__gt=window.starts_at)
    open_ended = Q(downtimes__ends_at__isnull=True) & (
        Q(downtimes__expected_until__isnull=True)
        | Q(downtimes__expected_until__lte=now)
        | Q(downtimes__expected_until__gt=window.starts_at)
    )
    down = Q(downtimes__starts_at__lt=window.ends_at) & (Q(downtimes__ends_at__gt=window.starts_at) | open_ended)
    rows = Unit.objects.filter(~Q(state__in=OUT_OF_POOL), which).annotate(
        claim=FilteredRelation("claims", condition=claimed & ~Q(claims__standing="released")),
        down=FilteredRelation("downtimes", condition=down),
    )
    rows = rows.order_by("tag", "claim__starts_at", "claim__pk", "down__pk")
    return rows.values(
        *("pk", "tag", "state", "claim__pk", "claim__standing", "claim__starts_at", "claim__ends_at"),
        *("down__pk", "down__cause", "down__note", "down__ends_at", "down__expected_until"),
        spec_name=F("spec__name"),
        place=F("location__name"),
        kit=Subquery(lies_in.values("kit_id")[:1]),
        kit_name=Subquery(lies_in.values("kit__name")[:1]),
        event=F("claim__booking__event"),
        event_name=F("claim__booking__event__name"),
        until=F("claim__booking__expires_at"),
    )


def _unit(row: Mapping[str, Any]) -> UnitInWindowShape:
    return {
        "unit": row["pk"],
        "tag": row["tag"],
        "spec_name": row["spec_name"],
        "state": row["state"],
        "place": row["place"],
        "kit": row["kit"],
        "kit_name": row["kit_name"],
        "claims": [],
        "downs": [],
    }


def _stands(row: Mapping[str, Any], now: datetime) -> bool:
    """Say whether a claim is firm, or of a pencil that has not expired."""
    return row["claim__standing"] == "firm" or (row["until"] is not None and row["until"] > now)


def _claim(row: Mapping[str, Any]) -> HeldByShape:
    return {
        "event": row["event"],
        "name": row["event_name"],
        "firm": row["claim__standing"] == "firm",
        "starts_at": row["claim__starts_at"],
        "ends_at": row["claim__ends_at"],
        "until": row["until"],
    }


def _down(row: Mapping[str, Any], now: datetime) -> DownInShape:
    expected = row["down__expected_until"]
    until = row["down__ends_at"] or (expected if expected is not None and expected > now else None)
    return {"cause": row["down__cause"], "note": row["down__note"], "until": until}
