"""One position or one link of a kit at a time; each counts as one edit of the kit."""

from collections.abc import Mapping
from typing import Any

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Kit, Link, Position
from inventory.services.briefs import refuse_named
from inventory.services.fetching import row_at
from inventory.services.kits import count_edit
from inventory.services.links import EndDraft, LinkDraft, lay_links, relay_link
from inventory.services.positions import PositionDraft, place_positions, remove_position


def add_position(c: Change, kit_id: int, *, draft: PositionDraft) -> int:
    """Add a position to a kit and return its id.

    Raises:
        NotFoundError: there is no such kit.
        InvalidError: the label is taken, or a reference does not exist.
        UnitTakenError, CaseTakenError, UnitNotUsableError, KitInItselfError: the unit cannot be packed there.
    """
    kit = row_at(Kit, kit_id)
    if kit.positions.filter(label=draft.label).exists():
        raise InvalidError.of_field("label", f"{kit.name} has a place {draft.label} already.", code="taken")
    position = place_positions(kit, [draft])[0]
    count_edit(c, kit, "add-position", position=position.label)
    return position.pk


def edit_position(c: Change, kit_id: int, position_id: int, *, fields: Mapping[str, Any]) -> int:
    """Change what ``fields`` names of a position: label, spec, role, unit (None takes it out), accepts.

    Raises:
        NotFoundError: the kit has no such position.
        InvalidError, UnitTakenError, CaseTakenError, UnitNotUsableError, KitInItselfError: as for a new one.
    """
    kit = row_at(Kit, kit_id)
    position = row_at(Position, position_id, kit_id=kit_id)
    label = fields.get("label", position.label)
    if label != position.label:
        if kit.positions.filter(label=label).exists():
            raise InvalidError.of_field("label", f"{kit.name} has a place {label} already.", code="taken")
        position.label = label
        position.save(update_fields=["label"])
    place_positions(
        kit,
        [
            PositionDraft(
                label=label,
                role=fields.get("role", position.role),
                spec=fields.get("spec", position.spec_id),
                unit=fields.get("unit", position.unit_id),
                accepts=fields.get("accepts"),
            )
        ],
    )
    count_edit(c, kit, "edit-position", position=label, fields=sorted(fields))
    return position.pk


def delete_position(c: Change, kit_id: int, position_id: int) -> None:
    """Remove a position; its unit becomes loose.

    Raises:
        NotFoundError: the kit has no such position.
        HeldByHistoryError: links use it, or the brief names it.
    """
    kit = row_at(Kit, kit_id)
    position = row_at(Position, position_id, kit_id=kit_id)
    refuse_named(kit, [position.pk])
    label = position.label
    remove_position(position)
    count_edit(c, kit, "delete-position", position=label)


def add_link(c: Change, kit_id: int, *, draft: LinkDraft) -> int:
    """Create a link in a kit and return its id.

    Raises:
        NotFoundError: there is no such kit.
        InvalidError, PortTakenError: the link cannot be laid so.
    """
    kit = row_at(Kit, kit_id)
    link = lay_links(kit, [draft])[0]
    kit.wired_at = c.now
    count_edit(c, kit, "add-link", link=link.pk)
    return link.pk


def edit_link(c: Change, kit_id: int, link_id: int, *, fields: Mapping[str, Any]) -> int:
    """Change what ``fields`` names of a link: a, b, cable, cable_spec, label, colour.

    Raises:
        NotFoundError: the kit has no such link.
        InvalidError, PortTakenError: the link cannot be laid so.
    """
    kit = row_at(Kit, kit_id)
    link = row_at(Link, link_id, kit_id=kit_id)
    ends = {end.end: EndDraft(position=end.position_id, port=end.port_name) for end in link.ends.all()}
    standing = {
        "a": ends["a"],
        "b": ends["b"],
        "cable": link.cable_position_id,
        "cable_spec": link.cable_spec_id,
        "label": link.label,
        "colour": link.colour,
    }
    if fields.get("cable") is not None and "cable_spec" not in fields:
        standing["cable_spec"] = None
    if fields.get("cable_spec") is not None and "cable" not in fields:
        standing["cable"] = None
    relay_link(kit, link, LinkDraft(**standing | dict(fields)))
    kit.wired_at = c.now
    count_edit(c, kit, "edit-link", link=link.pk)
    return link.pk


def delete_link(c: Change, kit_id: int, link_id: int) -> None:
    """Take a link away.

    Raises:
        NotFoundError: the kit has no such link.
    """
    kit = row_at(Kit, kit_id)
    row_at(Link, link_id, kit_id=kit_id).delete()
    kit.wired_at = c.now
    count_edit(c, kit, "delete-link", link=link_id)
