"""Take a kit out of use, or back into it: its plan and its history stay."""

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Kit
from inventory.services.fetching import row_at
from inventory.services.kits import count_edit, kits_that_hold


def retire_kit(c: Change, kit_id: int) -> int:
    """Take a kit out of use: its units become loose, so that nothing is promised of it as a kit any more.

    Raises:
        NotFoundError: there is no such kit.
        InvalidError: it is out of use already.
    """
    kit = row_at(Kit, kit_id)
    if kit.retired_at is not None:
        raise InvalidError.of_field("", f"{kit.name} is out of use already.")
    c.touch("kit", *kits_that_hold(kit))
    kit.positions.filter(unit__isnull=False).update(unit=None)
    kit.retired_at = c.now
    count_edit(c, kit, "retire")
    return kit.pk


def restore_kit(c: Change, kit_id: int) -> int:
    """Take a kit back into use, as a plan: pack it again, its case first.

    Raises:
        NotFoundError: there is no such kit.
        InvalidError: it is in use.
    """
    kit = row_at(Kit, kit_id)
    if kit.retired_at is None:
        raise InvalidError.of_field("", f"{kit.name} is in use.")
    kit.retired_at = None
    count_edit(c, kit, "restore")
    return kit.pk
