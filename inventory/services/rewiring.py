"""Move what is connected: off a port that broke, or all of a kit's wiring at once."""

from collections.abc import Sequence

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Fault, Kit, Link
from inventory.selectors.rewiring import moves_from
from inventory.services.contents import edit_link
from inventory.services.fetching import row_at
from inventory.services.kits import count_edit
from inventory.services.links import EndDraft, LinkDraft, lay_links, relay_link

Between = frozenset[tuple[int, str]]
"""The two ports that a connection joins, whichever is named first."""


def move_off_fault(c: Change, fault_id: int, *, position_id: int, port: str) -> int:
    """Plug what is connected to a broken port into a free one of the same kind, and return the connection's id.

    Raises:
        NotFoundError: there is no such fault.
        InvalidError: nothing is connected there any more, or that port cannot take it.
    """
    fault = row_at(Fault, fault_id)
    moves = moves_from(fault.unit_id, fault.port_name) if fault.port_name and fault.closed_at is None else []
    move = next((each for each in moves if (each["position"], each["port"]) == (position_id, port)), None)
    if move is None:
        raise InvalidError.of_field(
            "to", "It cannot go there any more: look at the fault again for what is free.", code="taken"
        )
    return edit_link(c, move["kit"], move["link"], fields={move["end"]: EndDraft(position=position_id, port=port)})


def rewire(c: Change, kit_id: int, *, drafts: Sequence[LinkDraft]) -> int:
    """Make the connections of a kit those of ``drafts``, as one edit, and return how many were changed.

    A connection between the same two ports keeps its id. Places are named by id.

    Raises:
        NotFoundError: there is no such kit.
        InvalidError, PortTakenError: a connection cannot be made so; all are listed.
    """
    kit = row_at(Kit, kit_id)
    standing = {_between_rows(link): link for link in kit.links.prefetch_related("ends")}
    wanted = {_between(draft): draft for draft in drafts}
    gone = [link.pk for between, link in standing.items() if between not in wanted]
    new = [draft for draft in drafts if _between(draft) not in standing or wanted[_between(draft)] is not draft]
    changed = [
        (link, wanted[between])
        for between, link in standing.items()
        if between in wanted and not _is_as(link, wanted[between])
    ]
    if not gone and not new and not changed:
        return 0
    Link.objects.filter(pk__in=gone).delete()
    Link.objects.filter(pk__in=[link.pk for link, _ in changed]).update(cable_position=None)
    for link, draft in changed:
        relay_link(kit, link, draft)
    lay_links(kit, new)
    kit.wired_at = c.now
    count_edit(c, kit, "rewire", added=len(new), changed=len(changed), removed=len(gone))
    return len(gone) + len(new) + len(changed)


def _between(draft: LinkDraft) -> Between:
    return frozenset((int(end.position), end.port) for end in (draft.a, draft.b))


def _between_rows(link: Link) -> Between:
    return frozenset((end.position_id, end.port_name) for end in link.ends.all())


def _is_as(link: Link, draft: LinkDraft) -> bool:
    standing = (link.cable_position_id, link.cable_spec_id, link.label, link.colour)
    return standing == (draft.cable, draft.cable_spec, draft.label, draft.colour)
