"""Kits as wholes: design, change, replace the contents, remove."""

from collections.abc import Mapping, Sequence
from typing import Any, TypedDict

from inventory.base.changes import Change
from inventory.base.errors import HeldByHistoryError, InvalidError
from inventory.models import Kit, Unit
from inventory.services.briefs import brief_for, refuse_named
from inventory.services.fetching import row_at, row_named
from inventory.services.links import LinkDraft, lay_links
from inventory.services.positions import CASE_LABEL, PositionDraft, place_positions

OWN_COLUMNS = (
    "name", "purpose", "build", "ambient_celsius", "exposed_retention", "colour", "wired_at", "brief", "retired_at",
)  # fmt: skip


class KitFields(TypedDict, total=False):
    """What a kit can be told; a field that is absent stays as it is."""

    name: str
    purpose: str
    build: str | None
    ambient_celsius: float | None
    exposed_retention: str | None
    colour: str
    brief: Mapping[str, Any] | None
    """What is asked of it, positions by id or by label; replaced as a whole."""
    case: int | None


def create_kit(
    c: Change, *, fields: KitFields, positions: Sequence[PositionDraft] = (), links: Sequence[LinkDraft] = ()
) -> int:
    """Design a kit, whole or empty, and return its id; everything of it is written, or nothing.

    Raises:
        InvalidError: a reference, label or port does not exist; the field says which.
        UnitTakenError, CaseTakenError, UnitNotUsableError, KitInItselfError: a unit cannot be packed there.
        PortTakenError: two links want one port.
    """
    kit = Kit.objects.create(check_due_at=c.now, **_columns(fields))
    place_positions(kit, _with_case(fields, positions))
    lay_links(kit, links)
    kit.wired_at, kit.brief = c.now if links else None, brief_for(kit, fields.get("brief"))
    kit.save(update_fields=OWN_COLUMNS)
    c.touch("kit", kit.pk)
    c.record("kit", kit.pk, "create", kit.name)
    return kit.pk


def edit_kit(c: Change, kit_id: int, *, fields: KitFields) -> int:
    """Change what ``fields`` names; ``case`` packs another case, or none.

    Raises:
        NotFoundError: there is no such kit.
        CaseTakenError, UnitNotUsableError, KitInItselfError: the unit cannot be its case.
        InvalidError: the brief asks what this kit cannot be asked.
    """
    kit = row_at(Kit, kit_id)
    for name, value in _columns(fields).items():
        setattr(kit, name, value)
    if "case" in fields:
        place_positions(kit, [_case_draft(kit, fields["case"])])
    if "brief" in fields:
        kit.brief = brief_for(kit, fields["brief"])
    count_edit(c, kit, "edit", fields=sorted(fields))
    return kit.pk


def replace_contents(c: Change, kit_id: int, *, positions: Sequence[PositionDraft], links: Sequence[LinkDraft]) -> int:
    """Replace positions and links. A position whose label stays keeps its id; the case stays unless one is given.

    Raises:
        NotFoundError: there is no such kit.
        InvalidError, UnitTakenError, CaseTakenError, KitInItselfError, PortTakenError: as for a new kit.
        HeldByHistoryError: the brief names a position that would go.
    """
    kit = row_at(Kit, kit_id)
    put_contents(c, kit, positions=positions, links=links)
    count_edit(c, kit, "replace-contents")
    return kit.pk


def put_contents(c: Change, kit: Kit, *, positions: Sequence[PositionDraft], links: Sequence[LinkDraft]) -> None:
    """Replace positions and links of a kit, as a part of an edit that the caller counts.

    Raises:
        InvalidError, UnitTakenError, CaseTakenError, KitInItselfError, PortTakenError, HeldByHistoryError: as above.
    """
    kit.links.all().delete()
    kept = {draft.label for draft in positions}
    if not any(draft.role == "case" for draft in positions):
        kept |= set(kit.positions.filter(role="case").values_list("label", flat=True))
    leaving = kit.positions.exclude(label__in=kept)
    refuse_named(kit, leaving.values_list("pk", flat=True))
    leaving.delete()
    place_positions(kit, positions)
    lay_links(kit, links)
    kit.wired_at = c.now


def delete_kit(c: Change, kit_id: int) -> None:
    """Remove a kit that no promise refers to; its units stay, and so do drafts that began with its plan.

    Raises:
        HeldByHistoryError: bookings refer to it.
    """
    kit = row_at(Kit, kit_id)
    own = {"positions", "links", "checks", "acceptances", "drafts"}
    held = [
        str(relation.related_model._meta.verbose_name_plural)
        for relation in Kit._meta.related_objects
        if relation.get_accessor_name() not in own
        and relation.related_model._default_manager.filter(**{relation.field.name: kit}).exists()
    ]
    if held:
        raise HeldByHistoryError(f"{kit.name} has a history and cannot be deleted.", held_by=held)
    c.touch("kit", *kits_that_hold(kit))
    for draft in kit.drafts.order_by("pk"):
        count_edit(c, draft, "edit", fields=["drafted_from"])
    c.record("kit", kit.pk, "delete", kit.name)
    kit.links.all().delete()
    kit.delete()


def kits_that_hold(kit: Kit) -> list[int]:
    """Return the kits that a kit is packed in, by its case."""
    cases = Unit.objects.filter(positions__kit=kit, positions__role="case")
    return list(
        Kit.objects.filter(positions__unit__in=cases).exclude(pk=kit.pk).values_list("pk", flat=True).distinct()
    )


def count_edit(c: Change, kit: Kit, verb: str, **details: Any) -> None:
    """Write one edit of a kit or its contents: its version rises, and the followers look at it.

    Only a kit's own columns are written: the check workers keep theirs up to date outside the ledger.
    """
    kit.version += 1
    kit.save(update_fields=[*OWN_COLUMNS, "version"])
    c.touch("kit", kit.pk)
    c.record("kit", kit.pk, verb, kit.name, **details)


def _columns(fields: KitFields) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if name not in {"case", "brief"}}


def _with_case(fields: KitFields, positions: Sequence[PositionDraft]) -> list[PositionDraft]:
    """Return the positions with the case's own, made from ``case`` when the body does not spell it out."""
    case = fields.get("case")
    if case is None:
        return list(positions)
    if any(draft.role == "case" and draft.unit not in {None, case} for draft in positions):
        raise InvalidError.of_field("case", "The place of the case names another unit.")
    spelled = [draft for draft in positions if draft.role == "case"]
    first = spelled[0] if spelled else PositionDraft(label=CASE_LABEL, role="case", field="case")
    rest = [draft for draft in positions if draft.role != "case"]
    return [first.with_unit(case), *rest]


def _case_draft(kit: Kit, unit_id: int | None) -> PositionDraft:
    standing = kit.positions.filter(role="case").first()
    if standing is not None:
        return PositionDraft(
            label=standing.label, role="case", spec=standing.spec_id, unit=unit_id, field="case", accepts=None
        )
    if unit_id is None:
        raise InvalidError.of_field("case", "The kit has no case to take away.")
    row_named(Unit, unit_id, "case")
    return PositionDraft(label=CASE_LABEL, role="case", unit=unit_id, field="case")
