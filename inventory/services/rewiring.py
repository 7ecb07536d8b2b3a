"""Move what is connected: from a port that broke to one that is free."""

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Fault
from inventory.selectors.rewiring import moves_from
from inventory.services.contents import edit_link
from inventory.services.fetching import row_at
from inventory.services.links import EndDraft


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
