"""Positions of a kit: plan them, pack units into them, take them out."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from django.db.models import Q

from inventory.base.errors import FieldProblem, HeldByHistoryError, InvalidError
from inventory.errors import CaseTakenError, KitInItselfError, UnitNotUsableError, UnitTakenError
from inventory.models import Kit, Position, Spec, Unit
from inventory.models.unit import OUT_OF_POOL
from inventory.selectors.nesting import kits_inside
from inventory.services.fetching import rows_named

CASE_LABEL = "case"


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionDraft:
    """A position to be written. Without ``spec``, the unit's own is planned."""

    label: str
    role: str = "required"
    spec: int | None = None
    unit: int | None = None
    accepts: tuple[int, ...] | None = ()
    """Ids of specs accepted as alternatives; None leaves the list as it is."""
    field: str = ""
    """Path of its entry in the request body, for errors."""

    def with_unit(self, unit: int | None) -> "PositionDraft":
        return replace(self, unit=unit)

    def path(self, name: str) -> str:
        """Return the dotted path of one of its fields in the body."""
        if self.field == "case":
            return "case"
        return f"{self.field}.{name}" if self.field else name


def place_positions(kit: Kit, drafts: Sequence[PositionDraft]) -> list[Position]:
    """Create positions, or replace those of the same label, and return them in the order given.

    Raises:
        InvalidError: a label is used twice, or a spec or unit does not exist.
        UnitTakenError, CaseTakenError, UnitNotUsableError, KitInItselfError: a unit cannot be packed there.
    """
    if not drafts:
        return []
    _refuse_bad_labels(drafts)
    if kit.retired_at is not None and any(draft.unit is not None for draft in drafts):
        raise InvalidError.of_field(drafts[0].path("unit"), f"{kit.name} is out of use. Take it back into use first.")
    units = _units_of(drafts)
    specs = rows_named(Spec, _spec_ids(drafts, units), "spec")
    _refuse_unusable(drafts, units)
    standing = {position.label: position for position in kit.positions.all()}
    _refuse_taken(kit, drafts, units)
    rows = [_row(kit, standing, draft, _spec_of(draft, units, specs), sort) for sort, draft in enumerate(drafts)]
    _vacate(rows)
    Position.objects.bulk_create([row for row in rows if row.pk is None])
    Position.objects.bulk_update([row for row in rows if row.pk], ["spec", "role", "unit", "sort"])
    _write_accepts(rows, drafts)
    refuse_ring(kit)
    return rows


def remove_position(position: Position) -> None:
    """Remove a position that no link uses.

    Raises:
        HeldByHistoryError: links use it; they are named.
    """
    links = sorted(
        set(position.link_ends.values_list("link_id", flat=True)) | set(position.cable_of.values_list("pk", flat=True))
    )
    if links:
        raise HeldByHistoryError(f"Connections use place {position.label}. Unplug them first.", links=links)
    position.delete()


def refuse_ring(kit: Kit) -> None:
    """Refuse a kit that is packed in itself, at any depth.

    Raises:
        KitInItselfError: it does.
    """
    packed = kit.positions.filter(unit__isnull=False).exclude(role="case").values_list("unit_id", flat=True)
    inner = list(Position.objects.filter(role="case", unit_id__in=list(packed)).values_list("kit_id", flat=True))
    if any(kit.pk in closure for closure in kits_inside(inner).values()):
        raise KitInItselfError(f"{kit.name} would lie in itself.")


def _refuse_bad_labels(drafts: Sequence[PositionDraft]) -> None:
    counts = Counter(draft.label for draft in drafts)
    problems = [
        FieldProblem(field=draft.path("label"), code="invalid", message=f"The label {draft.label} is used twice.")
        for draft in drafts
        if counts[draft.label] > 1
    ]
    problems += [
        FieldProblem(field=draft.path("spec"), code="required", message="Name a type, or a unit of it.")
        for draft in drafts
        if draft.spec is None and draft.unit is None
    ]
    cases = [draft for draft in drafts if draft.role == "case"]
    problems += [
        FieldProblem(field=draft.path("role"), code="invalid", message="A kit has one case.") for draft in cases[1:]
    ]
    if problems:
        raise InvalidError("Some places cannot be used; each is listed.", errors=problems)


def _units_of(drafts: Sequence[PositionDraft]) -> dict[int, Unit]:
    ids = {draft.unit for draft in drafts if draft.unit is not None}
    found = Unit.objects.in_bulk(ids)
    problems = [
        FieldProblem(field=draft.path("unit"), code="does-not-exist", message=f"There is no unit {draft.unit}.")
        for draft in drafts
        if draft.unit is not None and draft.unit not in found
    ]
    if problems:
        raise InvalidError("Some units do not exist; each is listed.", errors=problems)
    return found


def _spec_ids(drafts: Sequence[PositionDraft], units: Mapping[int, Unit]) -> set[int]:
    ids = {draft.spec for draft in drafts if draft.spec is not None} | {unit.spec_id for unit in units.values()}
    return ids.union(*(draft.accepts or () for draft in drafts))


def _spec_of(draft: PositionDraft, units: Mapping[int, Unit], specs: Mapping[int, Spec]) -> Spec:
    if draft.spec is not None:
        return specs[draft.spec]
    assert draft.unit is not None  # _refuse_bad_labels asks for one of the two
    return specs[units[draft.unit].spec_id]


def _refuse_unusable(drafts: Sequence[PositionDraft], units: Mapping[int, Unit]) -> None:
    for draft in drafts:
        if draft.unit is not None and units[draft.unit].state in OUT_OF_POOL:
            unit = units[draft.unit]
            raise UnitNotUsableError(f"{unit.tag} is {unit.state} and cannot be packed.", unit=unit.pk, tag=unit.tag)


def _refuse_taken(kit: Kit, drafts: Sequence[PositionDraft], units: Mapping[int, Unit]) -> None:
    """Raise when a unit is packed in a position that these drafts leave as it is, or twice in the drafts."""
    written = Q(kit=kit, label__in=[draft.label for draft in drafts])
    holders = Position.objects.filter(unit_id__in=units).exclude(written)
    places = {
        (row["unit_id"], row["role"] == "case"): row
        for row in holders.values("unit_id", "role", "label", "kit_id", "kit__name")
    }
    seen: set[tuple[int, bool]] = set()
    for draft in drafts:
        if draft.unit is None:
            continue
        key = (draft.unit, draft.role == "case")
        problem = CaseTakenError if draft.role == "case" else UnitTakenError
        tag = units[draft.unit].tag
        if (place := places.get(key)) is not None:
            where = f"{place['kit__name']}, place {place['label']}"
            raise problem(
                f"{tag} is packed in {where}.", unit=draft.unit, tag=tag, kit=place["kit_id"], position=place["label"]
            )
        if key in seen:
            raise problem(f"{tag} is packed twice in this body.", unit=draft.unit, tag=tag)
        seen.add(key)


def _row(kit: Kit, standing: Mapping[str, Position], draft: PositionDraft, spec: Spec, sort: int) -> Position:
    row = standing.get(draft.label) or Position(kit=kit, label=draft.label, sort=len(standing) + sort)
    row.spec, row.role, row.unit_id = spec, draft.role, draft.unit
    return row


def _vacate(rows: Sequence[Position]) -> None:
    """Empty the standing positions first, so that two of them can swap their units under the unique constraint."""
    Position.objects.filter(pk__in=[row.pk for row in rows if row.pk]).update(unit=None)


def _write_accepts(rows: Sequence[Position], drafts: Sequence[PositionDraft]) -> None:
    through = Position.accepts.through
    given = [(row, draft) for row, draft in zip(rows, drafts, strict=True) if draft.accepts is not None]
    through.objects.filter(position__in=[row.pk for row, _ in given]).delete()
    through.objects.bulk_create(
        through(position_id=row.pk, spec_id=spec_id)
        for row, draft in given
        for spec_id in sorted(set(draft.accepts or ()))
    )
