"""Units as people and programs see them."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import QuerySet

from inventory.models import Position, Tag, Unit, UnitPort


class PortConditionShape(TypedDict):
    """Damage at one port; a port that is not listed is sound."""

    port: str
    what: str
    fault: int


class UnitShape(TypedDict):
    """One physical thing."""

    id: int
    version: int
    tag: str
    aliases: list[str]
    serial: str | None
    spec: int
    spec_name: str
    condition: str
    state: str
    location: int | None
    signed_to: int | None
    owner: str
    available_from: datetime | None
    available_until: datetime | None
    firmware: str | None
    measured_w: float | None
    port_conditions: list[PortConditionShape]
    kit: int | None


def unit_rows() -> QuerySet[Unit, Any]:
    """Rows of the list of units, for filtering and paging."""
    return Unit.objects.values(
        "id", "version", "tag", "serial", "spec_id", "spec__name", "condition", "state", "location_id", "signed_to_id",
        "owner", "available_from", "available_until", "firmware", "measured_w",
    )  # fmt: skip


def show_units(rows: Sequence[dict[str, Any]]) -> list[UnitShape]:
    """Return the units of these rows; three statements for any number of them."""
    ids = [row["id"] for row in rows]
    aliases: dict[int, list[str]] = defaultdict(list)
    for unit_id, tag in Tag.objects.filter(unit_id__in=ids).order_by("tag").values_list("unit_id", "tag"):
        aliases[unit_id].append(tag)
    damage: dict[int, list[PortConditionShape]] = defaultdict(list)
    conditions = UnitPort.objects.filter(unit_id__in=ids).order_by("port__sort", "id")
    for unit_id, port, what, fault in conditions.values_list("unit_id", "port__name", "what", "fault_id"):
        damage[unit_id].append({"port": port, "what": what, "fault": fault})
    kits = _kits_of(ids)
    return [_show(row, aliases[row["id"]], damage[row["id"]], kits.get(row["id"])) for row in rows]


def _kits_of(unit_ids: Sequence[int]) -> dict[int, int]:
    """Return the kit that each unit is packed in; for a case that is in no other kit, its own."""
    kits: dict[int, int] = {}
    places = Position.objects.filter(unit_id__in=unit_ids).values_list("unit_id", "role", "kit_id")
    for unit_id, role, kit_id in places:
        if role != "case" or unit_id not in kits:
            kits[unit_id] = kit_id
    return kits


def _show(row: dict[str, Any], tags: Sequence[str], damage: list[PortConditionShape], kit: int | None) -> UnitShape:
    return {
        "id": row["id"],
        "version": row["version"],
        "tag": row["tag"],
        "aliases": [tag for tag in tags if tag != row["tag"]],
        "serial": row["serial"],
        "spec": row["spec_id"],
        "spec_name": row["spec__name"],
        "condition": row["condition"],
        "state": row["state"],
        "location": row["location_id"],
        "signed_to": row["signed_to_id"],
        "owner": row["owner"],
        "available_from": row["available_from"],
        "available_until": row["available_until"],
        "firmware": row["firmware"],
        "measured_w": row["measured_w"],
        "port_conditions": damage,
        "kit": kit,
    }
