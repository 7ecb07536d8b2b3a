"""Shelves, vans and rooms to choose from."""

from typing import TypedDict

from inventory.models import Location


class PlaceShape(TypedDict):
    """A location with those around it: ``Store, Shelf A``."""

    id: int
    words: str


def places() -> list[PlaceShape]:
    """Return every location, by its whole name; one statement."""
    rows = {pk: (name, parent) for pk, name, parent in Location.objects.values_list("pk", "name", "parent_id")}

    def words(pk: int) -> str:
        name, parent = rows[pk]
        return f"{words(parent)}, {name}" if parent in rows else name

    found: list[PlaceShape] = [{"id": pk, "words": words(pk)} for pk in rows]
    return sorted(found, key=lambda place: place["words"].casefold())
