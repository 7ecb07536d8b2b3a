"""Where a connection could go instead: the free ports of a kit that are of the same kind as one that broke."""

from typing import Any, TypedDict

from django.db.models import Exists, F, OuterRef, Q, QuerySet, Subquery, Value
from django.db.models.functions import Concat

from inventory.models import Fault, LinkEnd, Position
from inventory.rows import open_faults

ALIKE = (
    "connector",
    "side",
    "carries",
    "face",
    "poe_role",
    "poe_class",
    "power_role",
    "power_volts_max",
    "power_breaker_a",
)
"""What two ports have in common that take the same plug and do the same for it."""
MOST_MOVES = 3


class MoveShape(TypedDict):
    """A connection, and a free port that could take it."""

    kit: int
    kit_name: str
    link: int
    end: str
    """a or b: the end that sits in the port that broke."""
    far: str
    """The other end: place and port."""
    position: int
    label: str
    port: str
    same_unit: bool


def moves_from(unit_id: int, port: str) -> list[MoveShape]:
    """Return where what is connected to a port could go, in the same unit first; one statement.

    Nothing, where the unit is in no kit, nothing is connected there, or nothing of the kind is free.
    """
    rows = list(_ports_around(unit_id))
    found = []
    for broken in rows:
        if broken["unit"] != unit_id or broken["port"] != port or broken["link"] is None:
            continue
        free = [row for row in rows if row["kit"] == broken["kit"] and _could_take(row, broken)]
        free.sort(key=lambda row: row["position"] != broken["position"])
        found += [_move(broken, row) for row in free[:MOST_MOVES]]
    return found


def _could_take(row: dict[str, Any], broken: dict[str, Any]) -> bool:
    return row["link"] is None and not row["is_broken"] and all(row[name] == broken[name] for name in ALIKE)


def _move(broken: dict[str, Any], row: dict[str, Any]) -> MoveShape:
    return {
        "kit": broken["kit"],
        "kit_name": broken["kit_name"],
        "link": broken["link"],
        "end": broken["end"],
        "far": broken["far"],
        "position": row["position"],
        "label": row["label"],
        "port": row["port"],
        "same_unit": row["position"] == broken["position"],
    }


def _ports_around(unit_id: int) -> QuerySet[Position, dict[str, Any]]:
    """Return the ports, as planned, of every place of the kits that a unit is in."""
    here = LinkEnd.objects.filter(position=OuterRef("pk"), port_name=OuterRef("spec__ports__name"))
    other = LinkEnd.objects.filter(
        ~Q(position=OuterRef("pk"), port_name=OuterRef("spec__ports__name")),
        link__ends__position=OuterRef("pk"),
        link__ends__port_name=OuterRef("spec__ports__name"),
    ).annotate(name=Concat("position__label", Value(" "), "port_name"))
    broken = Fault.objects.filter(
        open_faults(), usable=False, unit=OuterRef("unit"), port_name=OuterRef("spec__ports__name")
    )
    rows: QuerySet[Position, Any] = (
        Position.objects.filter(kit__in=Position.objects.filter(unit=unit_id).values("kit"))
        .filter(spec__ports__isnull=False)
        .annotate(
            position=F("pk"),
            kit_name=F("kit__name"),
            port=F("spec__ports__name"),
            **{name: F(f"spec__ports__{name}") for name in ALIKE},
            link=Subquery(here.values("link")[:1]),
            end=Subquery(here.values("end")[:1]),
            far=Subquery(other.values("name")[:1]),
            is_broken=Exists(broken),
        )
        .order_by("sort", "pk", "spec__ports__sort")
        .values(
            "kit", "kit_name", "position", "label", "unit", "port", "link", "end", "far", "is_broken",
            *ALIKE,
        )
    )  # fmt: skip
    return rows
