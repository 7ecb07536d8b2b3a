"""Adopt a planned change: the kit that it began with takes its plan over, and the planned change is gone."""

from dataclasses import dataclass

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.brief_document import with_positions
from inventory.models import Kit, Position
from inventory.services.fetching import row_at
from inventory.services.kits import count_edit, delete_kit, put_contents
from inventory.services.links import EndDraft, LinkDraft
from inventory.services.positions import PositionDraft

TAKEN_OVER = ("purpose", "build", "ambient_celsius", "exposed_retention", "colour")


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A unit that changes its place."""

    unit: int
    tag: str
    out_of: str
    """The place that it leaves."""
    into: str
    """The place that it goes to; empty: it is loose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Adoption:
    """What adopting a planned change did."""

    kit: int
    moved: tuple[Moved, ...]
    empty: tuple[tuple[str, str], ...]
    """Places of the new plan that hold nothing yet, with the type that they are for."""


def adopt_plan(c: Change, draft_id: int) -> Adoption:
    """Give the plan of a draft to the kit that it began with, and delete the draft.

    A unit stays in a place of its label that is for its type, or takes its type in its stead; what was packed into the
    draft moves along; every other unit of the kit is loose. Bookings of the kit stay, and follow.

    Raises:
        NotFoundError: there is no such kit.
        InvalidError: it began with no kit that is in use, or it has a case of its own.
        HeldByHistoryError: it was booked.
    """
    draft = row_at(Kit, draft_id)
    kit = _origin(draft)
    plan = list(draft.positions.order_by("sort", "pk").select_related("unit", "spec").prefetch_related("accepts"))
    links = _links(draft, {place.pk: place.label for place in plan})
    packed = {
        place.label: place for place in kit.positions.filter(unit__isnull=False).select_related("unit").order_by("pk")
    }
    case = next((place for place in packed.values() if place.role == "case"), None)
    places = [_place(place, case if place.role == "case" else packed.get(place.label)) for place in plan]
    moved, empty = _told(plan, places, packed)
    brief, facts = draft.brief, {name: getattr(draft, name) for name in TAKEN_OVER}
    draft.positions.update(unit=None)
    kit.brief = None
    put_contents(c, kit, positions=places, links=links)
    now = dict(kit.positions.values_list("label", "pk"))
    kit.brief = with_positions(brief, {place.pk: now[place.label] for place in plan})
    for name, value in facts.items():
        setattr(kit, name, value)
    count_edit(c, kit, "adopt", plan=draft.name)
    delete_kit(c, draft.pk)
    return Adoption(kit=kit.pk, moved=moved, empty=empty)


def _origin(draft: Kit) -> Kit:
    if draft.drafted_from_id is None:
        raise InvalidError.of_field("", f"{draft.name} is no planned change of another kit.")
    kit = row_at(Kit, draft.drafted_from_id)
    if kit.retired_at is not None:
        raise InvalidError.of_field("", f"{kit.name} is out of use. Take it back into use first.")
    if draft.positions.filter(role="case", unit__isnull=False).exists():
        raise InvalidError.of_field("", f"{draft.name} has a case of its own: it is a kit beside {kit.name}.")
    return kit


def _place(place: Position, standing: Position | None) -> PositionDraft:
    unit = place.unit if place.unit is not None else None if standing is None else standing.unit
    accepts = tuple(spec.pk for spec in place.accepts.all())
    fits = unit is not None and (place.unit is not None or unit.spec_id in {place.spec_id, *accepts})
    return PositionDraft(
        label=place.label,
        role=place.role,
        spec=place.spec_id,
        unit=unit.pk if fits and unit is not None else None,
        accepts=accepts,
    )


def _links(draft: Kit, labels: dict[int, str]) -> list[LinkDraft]:
    found = []
    for link in draft.links.order_by("pk").prefetch_related("ends"):
        ends = {end.end: EndDraft(position=labels[end.position_id], port=end.port_name) for end in link.ends.all()}
        found.append(
            LinkDraft(
                a=ends["a"],
                b=ends["b"],
                cable=labels[link.cable_position_id] if link.cable_position_id is not None else None,
                cable_spec=link.cable_spec_id,
                label=link.label,
                colour=link.colour,
            )
        )
    return found


def _told(
    plan: list[Position], places: list[PositionDraft], packed: dict[str, Position]
) -> tuple[tuple[Moved, ...], tuple[tuple[str, str], ...]]:
    """Return which units move, and which places of the plan hold nothing afterwards."""
    goes_to = {place.unit: place.label for place in places if place.unit is not None}
    own = [place for place in plan if place.unit is not None]
    moved = []
    for place in (*packed.values(), *own):
        unit, into = place.unit, goes_to.get(place.unit_id or 0, "")
        if unit is not None and (place in own or into != place.label):
            moved.append(Moved(unit=unit.pk, tag=unit.tag, out_of=f"{place.kit.name}, {place.label}", into=into))
    empty = [
        (planned.label, planned.spec.name)
        for planned, place in zip(plan, places, strict=True)
        if place.unit is None and place.role in {"case", "required"}
    ]
    return tuple(moved), tuple(empty)
