"""What the page of a kit asks beside its check: where it is, and what could be packed into a position."""

from collections.abc import Collection
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import Exists, F, Q, Subquery
from django.db.models.functions import Lower

from inventory.base.rows import rows_as
from inventory.models import Company, Kit, Spec, Tag, Unit
from inventory.models.unit import UnitState
from inventory.rows import case_of


class RelatedKitShape(TypedDict):
    id: int
    name: str


class HeadingShape(TypedDict):
    """Heading of a kit's page."""

    id: int
    version: int
    revision: int
    name: str
    purpose: str
    colour: str
    retired_at: datetime | None
    tag: str | None
    location: str | None
    signed_to: str | None
    timezone: str
    drafted_from: RelatedKitShape | None
    """The kit whose plan it began with."""
    drafts: list[RelatedKitShape]
    """Kits that began with its plan and have no case yet, by name."""


class LooseShape(TypedDict):
    """A unit that is in no kit and could be packed."""

    id: int
    tag: str
    state: str
    condition: str


class SpecChoiceShape(TypedDict):
    id: int
    name: str
    kind: str


def kit_heading(kit_id: int) -> HeadingShape | None:
    """Return the heading of a kit's page, or None when there is no such kit; one statement."""
    case = case_of()
    open_plan = ~Exists(case.filter(unit__isnull=False)) & Q(retired_at__isnull=True)
    rows = Kit.objects.filter(Q(pk=kit_id) | Q(drafted_from=kit_id) & open_plan).values(
        "id",
        "version",
        "name",
        "purpose",
        "revision",
        "colour",
        "retired_at",
        tag=Subquery(case.values("unit__tag")[:1]),
        location=Subquery(case.values("unit__location__name")[:1]),
        signed_to=Subquery(case.values("unit__signed_to__username")[:1]),
        timezone=Subquery(Company.objects.values("timezone")[:1]),
        origin=F("drafted_from"),
        origin_name=F("drafted_from__name"),
    )
    found: dict[int, Any] = {row["id"]: row for row in rows.order_by("name", "id")}
    own = found.pop(kit_id, None)
    if own is None:
        return None
    origin, name = own.pop("origin"), own.pop("origin_name")
    own["drafted_from"] = None if origin is None else {"id": origin, "name": name}
    own["drafts"] = [{"id": row["id"], "name": row["name"]} for row in found.values()]
    heading: HeadingShape = own
    return heading


def loose_units(spec_ids: Collection[int], *, most: int) -> list[LooseShape]:
    """Return units of these specs that are in service and packed nowhere, by tag; one statement."""
    loose = Unit.objects.filter(spec_id__in=spec_ids, state=UnitState.IN_SERVICE, positions__isnull=True).order_by(
        "tag"
    )
    return list(rows_as(LooseShape, loose)[:most])


def unit_with_tag(tag: str) -> int | None:
    """Return the unit that has, or ever had, this tag; upper and lower case are one; one statement."""
    found: int | None = Tag.objects.filter(tag__iexact=tag.strip()).values_list("unit_id", flat=True).first()
    return found


def units_with_tags(tags: Collection[str]) -> dict[str, int]:
    """Return the units that have, or ever had, these tags, by the tag in lower case; one statement."""
    wanted = {tag.lower() for tag in tags}
    rows = Tag.objects.annotate(lower=Lower("tag")).filter(lower__in=wanted)
    return dict(rows.values_list("lower", "unit_id"))


def tags_of(unit_ids: Collection[int]) -> dict[int, str]:
    """Return the tags of units by their id; one statement."""
    return dict(Unit.objects.filter(pk__in=unit_ids).values_list("pk", "tag"))


def spec_choices(kinds: Collection[str] | None = None) -> list[SpecChoiceShape]:
    """Return specs by kind and name, for a list to choose from; one statement."""
    wanted = Q() if kinds is None else Q(kind__in=kinds)
    return list(rows_as(SpecChoiceShape, Spec.objects.filter(wanted).order_by("kind", "name", "id")))
