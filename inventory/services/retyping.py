"""Another type into a place of a kit, with as much of its wiring as the new one takes."""

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.models import Kit, Link, Position, Spec
from inventory.selectors.retyping import plugged_in
from inventory.services.fetching import row_at, row_named
from inventory.services.kits import count_edit


def retype_position(c: Change, kit_id: int, position_id: int, *, spec_id: int) -> int:
    """Plan another type in a place: connections whose port it has stay, the others are unplugged, its unit is loose.

    Raises:
        NotFoundError: the kit has no such place.
        InvalidError: there is no such type, or it is the planned one.
    """
    kit = row_at(Kit, kit_id)
    position = row_at(Position, position_id, kit_id=kit_id)
    spec = row_named(Spec, spec_id, "spec")
    if spec.pk == position.spec_id:
        raise InvalidError.of_field("spec", f"{position.label} is planned as {spec.name} already.")
    leaving = {each["link"] for each in plugged_in(position.pk, spec.pk) if not each["stays"]}
    Link.objects.filter(pk__in=leaving).delete()
    if position.unit is not None and position.unit.spec_id != spec.pk:
        position.unit = None
    position.spec = spec
    position.save(update_fields=["spec", "unit"])
    if leaving:
        kit.wired_at = c.now
    count_edit(c, kit, "retype-position", position=position.label, spec=spec.name, unplugged=len(leaving))
    return position.pk
