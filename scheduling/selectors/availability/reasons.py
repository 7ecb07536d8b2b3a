"""Claims and downtimes of each unit in one window, and where it is packed."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import F, FilteredRelation, Q, Subquery

from inventory.models import Unit
from inventory.rows import believed_end, down_in, in_pool, packed_in
from scheduling.promises.decide import Period
from scheduling.rows import firm, holding, overlapping, unreleased


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


def units_of_spec_in(spec_id: int, window: Period, now: datetime) -> list[UnitInWindowShape]:
    """Return the units of a spec by tag, with their claims and downtimes in the window; one statement."""
    return _units_in(Q(spec=spec_id), window, now)


def units_of_kit_in(kit_id: int, window: Period, now: datetime) -> list[UnitInWindowShape]:
    """Return the units packed in a kit by tag, with their claims and downtimes in the window; one statement."""
    return _units_in(Q(positions__kit=kit_id), window, now)


def _units_in(which: Q, window: Period, now: datetime) -> list[UnitInWindowShape]:
    """A row comes for each downtime beside each claim; a unit has few of either in one window."""
    units: dict[int, UnitInWindowShape] = {}
    claims: defaultdict[int, dict[int, HeldByShape]] = defaultdict(dict)
    downs: defaultdict[int, dict[int, DownInShape]] = defaultdict(dict)
    for row in _rows(which, window, now):
        unit = row["pk"]
        if unit not in units:
            units[unit] = _unit(row)
        if row["holds"]:
            claims[unit][row["claim__pk"]] = _claim(row)
        if row["down__pk"] is not None:
            downs[unit][row["down__pk"]] = _down(row, now)
    for unit, shape in units.items():
        shape["claims"], shape["downs"] = list(claims[unit].values()), list(downs[unit].values())
    return list(units.values())


def _rows(which: Q, window: Period, now: datetime) -> Any:
    claimed = overlapping(window, "claims") & unreleased("claims")
    down = down_in(window.starts_at, window.ends_at, now, "downtimes")
    rows = Unit.objects.filter(in_pool(), which).annotate(
        claim=FilteredRelation("claims", condition=claimed), down=FilteredRelation("downtimes", condition=down)
    )
    packed = packed_in()
    rows = rows.order_by("tag", "claim__starts_at", "claim__pk", "down__pk")
    return rows.values(
        *("pk", "tag", "state", "claim__pk", "claim__starts_at", "claim__ends_at"),
        *("down__pk", "down__cause", "down__note", "down__ends_at", "down__expected_until"),
        spec_name=F("spec__name"),
        place=F("location__name"),
        kit=Subquery(packed.values("kit_id")[:1]),
        kit_name=Subquery(packed.values("kit__name")[:1]),
        holds=holding(now, "claim"),
        firm=firm("claim"),
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


def _claim(row: Mapping[str, Any]) -> HeldByShape:
    return {
        "event": row["event"],
        "name": row["event_name"],
        "firm": row["firm"],
        "starts_at": row["claim__starts_at"],
        "ends_at": row["claim__ends_at"],
        "until": row["until"],
    }


def _down(row: Mapping[str, Any], now: datetime) -> DownInShape:
    until = believed_end(row["down__ends_at"], row["down__expected_until"], now)
    return {"cause": row["down__cause"], "note": row["down__note"], "until": until}
