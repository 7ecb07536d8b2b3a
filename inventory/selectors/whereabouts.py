"""Where a unit is, who has it, and whether it can be trusted: what every list of units shows."""

from collections.abc import Sequence
from typing import Any, TypedDict

from django.db.models import Count, F, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce

from inventory.models import Fault, Unit
from inventory.rows import open_faults, packed_in


class WhereaboutsShape(TypedDict):
    """One unit as a list shows it."""

    id: int
    version: int
    tag: str
    serial: str | None
    spec: int
    spec_name: str
    kind: str
    state: str
    condition: str
    owner: str
    at: str | None
    with_whom: str | None
    kit: int | None
    kit_name: str | None
    position: int | None
    position_label: str | None
    open_faults: int


COLUMNS = ("id", "version", "tag", "serial", "spec_id", "state", "condition", "owner")


def whereabouts() -> QuerySet[Unit, dict[str, Any]]:
    """Rows of a list of units, for filtering and paging."""
    place = packed_in()
    faults = Fault.objects.filter(open_faults(), unit=OuterRef("pk")).order_by().values("unit")
    counted = faults.annotate(number=Count("pk")).values("number")
    rows: QuerySet[Unit, dict[str, Any]] = Unit.objects.values(
        *COLUMNS,
        spec_name=F("spec__name"),
        kind=F("spec__kind"),
        at=F("location__name"),
        with_whom=F("signed_to__username"),
        kit=Subquery(place.values("kit_id")[:1]),
        kit_name=Subquery(place.values("kit__name")[:1]),
        position=Subquery(place.values("pk")[:1]),
        position_label=Subquery(place.values("label")[:1]),
        open_faults=Coalesce(Subquery(counted), 0),
    )
    return rows


def show_whereabouts(rows: Sequence[dict[str, Any]]) -> list[WhereaboutsShape]:
    """Return the units of these rows; no further statement."""
    return [_show(row) for row in rows]


def _show(row: dict[str, Any]) -> WhereaboutsShape:
    shown: Any = {name: row[name] for name in WhereaboutsShape.__annotations__ if name != "spec"}
    shown["spec"] = row["spec_id"]
    unit: WhereaboutsShape = shown
    return unit
