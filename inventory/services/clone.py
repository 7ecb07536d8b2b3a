"""A draft of a kit: the same plan without units, to change and compare before anything is bought or moved."""

from inventory.base.changes import Change
from inventory.brief_document import with_positions
from inventory.models import Kit, Link, LinkEnd, Position
from inventory.services.fetching import row_at

PLANNED = ("label", "sort", "spec_id", "role")


def clone_kit(c: Change, kit_id: int, *, name: str | None) -> int:
    """Copy positions, accepted alternatives, links and the brief of a kit into a new draft and return its id.

    Raises:
        NotFoundError: there is no such kit.
    """
    kit = row_at(Kit, kit_id)
    draft = Kit.objects.create(
        name=name or f"{kit.name[:190]} (draft)",
        purpose=kit.purpose,
        build=kit.build,
        ambient_celsius=kit.ambient_celsius,
        exposed_retention=kit.exposed_retention,
        colour=kit.colour,
        drafted_from=kit,
        check_due_at=c.now,
    )
    copies = _copy_positions(kit, draft)
    _copy_links(kit, draft, copies)
    draft.brief = with_positions(kit.brief, {original: copy.pk for original, copy in copies.items()})
    draft.save(update_fields=["brief"])
    c.touch("kit", draft.pk)
    c.record("kit", draft.pk, "clone", draft.name, of=kit.pk)
    return draft.pk


def _copy_positions(kit: Kit, draft: Kit) -> dict[int, Position]:
    """Return the copies by the id of what they copy."""
    originals = list(kit.positions.order_by("sort", "pk"))
    copies = Position.objects.bulk_create(
        Position(kit=draft, **{column: getattr(original, column) for column in PLANNED}) for original in originals
    )
    by_original = {original.pk: copy for original, copy in zip(originals, copies, strict=True)}
    through = Position.accepts.through
    through.objects.bulk_create(
        through(position_id=by_original[position_id].pk, spec_id=spec_id)
        for position_id, spec_id in through.objects.filter(position__kit=kit).values_list("position_id", "spec_id")
    )
    return by_original


def _copy_links(kit: Kit, draft: Kit, copies: dict[int, Position]) -> None:
    originals = list(kit.links.order_by("pk").prefetch_related("ends"))
    links = Link.objects.bulk_create(
        Link(
            kit=draft,
            cable_position=copies[original.cable_position_id] if original.cable_position_id else None,
            cable_spec_id=original.cable_spec_id,
            label=original.label,
            colour=original.colour,
        )
        for original in originals
    )
    LinkEnd.objects.bulk_create(
        LinkEnd(link=link, end=end.end, position=copies[end.position_id], port_name=end.port_name)
        for original, link in zip(originals, links, strict=True)
        for end in original.ends.all()
    )
