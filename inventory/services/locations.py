"""Shelves, vans and rooms."""

from inventory.base.changes import Change
from inventory.base.errors import HeldByHistoryError, InvalidError
from inventory.models import Location
from inventory.services.fetching import row_at, row_named


def create_location(c: Change, *, name: str, parent_id: int | None) -> int:
    """Enter a location and return its id.

    Raises:
        InvalidError: the parent does not exist.
    """
    parent = None if parent_id is None else row_named(Location, parent_id, "parent")
    location = Location.objects.create(name=name, parent=parent)
    c.record("location", location.pk, "create", name)
    return location.pk


def edit_location(c: Change, location_id: int, *, name: str | None, parent_id: int | None, move: bool) -> int:
    """Rename a location, and move it under ``parent_id`` (None: to the top) when ``move`` says so.

    Raises:
        NotFoundError: there is no such location.
        InvalidError: the parent does not exist, or is inside the location itself.
    """
    location = row_at(Location, location_id)
    if name is not None:
        location.name = name
    if move:
        parent = None if parent_id is None else row_named(Location, parent_id, "parent")
        _refuse_ring(location, parent)
        location.parent = parent
    location.version += 1
    location.save()
    c.record("location", location.pk, "edit", location.name)
    return location.pk


def delete_location(c: Change, location_id: int) -> None:
    """Remove an empty location.

    Raises:
        HeldByHistoryError: units or other locations are in it.
    """
    location = row_at(Location, location_id)
    units = list(location.units.order_by("tag").values_list("tag", flat=True)[:20])
    inner = list(location.children.order_by("name").values_list("name", flat=True)[:20])
    if units or inner:
        raise HeldByHistoryError(f"{location.name} is not empty.", units=units, locations=inner)
    c.record("location", location.pk, "delete", location.name)
    location.delete()


def _refuse_ring(location: Location, parent: Location | None) -> None:
    above = parent
    while above is not None:
        if above.pk == location.pk:
            raise InvalidError.of_field("parent", f"{location.name} cannot lie in itself.")
        above = above.parent
