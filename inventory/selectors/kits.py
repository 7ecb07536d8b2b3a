"""Kits and their contents as people and programs see them."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import QuerySet, Subquery

from inventory.models import Kit, Link, LinkEnd, Position
from inventory.rows import case_of
from inventory.selectors.briefs import BriefShape, EndShape, show_brief


class VerdictsShape(TypedDict):
    """Of the last finished check; null before the first."""

    design: str | None
    packed: str | None


class PositionShape(TypedDict):
    """One place in a kit. ``version`` is the kit's: the kit is edited as one."""

    id: int
    version: int
    kit: int
    label: str
    role: str
    spec: int
    spec_name: str
    unit: int | None
    tag: str | None
    accepts: list[int]


LinkShape = TypedDict(
    "LinkShape",
    {
        "id": int,
        "version": int,
        "kit": int,
        "from": EndShape,
        "to": EndShape,
        "cable": int | None,
        "cable_spec": int | None,
        "label": str,
        "colour": str,
    },
)


class KitSummaryShape(TypedDict):
    """A kit in a list."""

    id: int
    version: int
    name: str
    purpose: str
    case: int | None
    build: str | None
    ambient_celsius: float | None
    exposed_retention: str | None
    colour: str
    drafted_from: int | None
    """The kit whose plan it began with, as a clone."""
    retired_at: datetime | None
    """Since when it is out of use, its units loose and its plan kept; null: it is not."""
    revision: int
    verdict: str | None
    verdicts: VerdictsShape


class KitShape(KitSummaryShape):
    """A kit with its contents and what it is for."""

    brief: BriefShape | None
    positions: list[PositionShape]
    links: list[LinkShape]


SHOWN = (
    "id", "version", "name", "purpose", "case", "build", "ambient_celsius", "exposed_retention", "colour",
    "drafted_from_id", "retired_at", "revision", "verdict", "verdict_design", "verdict_packed",
)  # fmt: skip


def kit_rows() -> QuerySet[Any, Any]:
    """Rows of the list of kits, for filtering and paging."""
    case = case_of().values("unit_id")[:1]
    rows: QuerySet[Any, Any] = Kit.objects.annotate(case=Subquery(case)).values(*SHOWN)
    return rows


def show_kits(rows: Sequence[dict[str, Any]]) -> list[KitSummaryShape]:
    """Return the kits of these rows; no further statement."""
    return [_show(row) for row in rows]


def show_kit(kit_id: int) -> KitShape | None:
    """Return one kit with its contents, or None; five statements."""
    row = kit_rows().filter(pk=kit_id).values(*SHOWN, "brief").first()
    if row is None:
        return None
    positions = show_positions([kit_id])[kit_id]
    labels = {position["id"]: position["label"] for position in positions}
    return {
        **_show(row),
        "brief": None if row["brief"] is None else show_brief(row["brief"], labels),
        "positions": positions,
        "links": show_links([kit_id])[kit_id],
    }


def show_positions(kit_ids: Sequence[int]) -> dict[int, list[PositionShape]]:
    """Return the positions of each kit in their order; two statements."""
    accepts: dict[int, list[int]] = defaultdict(list)
    through = Position.accepts.through.objects.filter(position__kit_id__in=kit_ids).order_by("spec_id")
    for position_id, spec_id in through.values_list("position_id", "spec_id"):
        accepts[position_id].append(spec_id)
    found: dict[int, list[PositionShape]] = {kit_id: [] for kit_id in kit_ids}
    rows = (
        Position.objects.filter(kit_id__in=kit_ids)
        .order_by("sort", "id")
        .values("id", "kit_id", "kit__version", "label", "role", "spec_id", "spec__name", "unit_id", "unit__tag")
    )
    for row in rows:
        found[row["kit_id"]].append(
            {
                "id": row["id"],
                "version": row["kit__version"],
                "kit": row["kit_id"],
                "label": row["label"],
                "role": row["role"],
                "spec": row["spec_id"],
                "spec_name": row["spec__name"],
                "unit": row["unit_id"],
                "tag": row["unit__tag"],
                "accepts": accepts[row["id"]],
            }
        )
    return found


def show_links(kit_ids: Sequence[int]) -> dict[int, list[LinkShape]]:
    """Return the links of each kit in their order; two statements."""
    ends: dict[tuple[int, str], EndShape] = {}
    rows = LinkEnd.objects.filter(link__kit_id__in=kit_ids).values_list(
        "link_id", "end", "position_id", "position__label", "port_name"
    )
    for link_id, end, position_id, label, port in rows:
        ends[link_id, end] = {"position": position_id, "label": label, "port": port}
    found: dict[int, list[LinkShape]] = {kit_id: [] for kit_id in kit_ids}
    for link in (
        Link.objects.filter(kit_id__in=kit_ids)
        .order_by("id")
        .values("id", "kit_id", "kit__version", "cable_position_id", "cable_spec_id", "label", "colour")
    ):
        found[link["kit_id"]].append(
            {
                "id": link["id"],
                "version": link["kit__version"],
                "kit": link["kit_id"],
                "from": ends[link["id"], "a"],
                "to": ends[link["id"], "b"],
                "cable": link["cable_position_id"],
                "cable_spec": link["cable_spec_id"],
                "label": link["label"],
                "colour": link["colour"],
            }
        )
    return found


def _show(row: dict[str, Any]) -> KitSummaryShape:
    return {
        "id": row["id"],
        "version": row["version"],
        "name": row["name"],
        "purpose": row["purpose"],
        "case": row["case"],
        "build": row["build"],
        "ambient_celsius": row["ambient_celsius"],
        "exposed_retention": row["exposed_retention"],
        "colour": row["colour"],
        "drafted_from": row["drafted_from_id"],
        "retired_at": row["retired_at"],
        "revision": row["revision"],
        "verdict": row["verdict"],
        "verdicts": {"design": row["verdict_design"], "packed": row["verdict_packed"]},
    }
