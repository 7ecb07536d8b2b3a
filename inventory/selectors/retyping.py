"""What becomes of the connections of a place when another type comes into it."""

from typing import TypedDict

from django.db.models import Exists, F, OuterRef, Subquery, Value
from django.db.models.functions import Concat

from inventory.base.rows import rows_as
from inventory.models import LinkEnd, Port


class PluggedShape(TypedDict):
    """A connection at a place."""

    link: int
    port: str
    far: str
    """The other end: place and port."""
    written: str
    """What is written on the lead."""
    stays: bool
    """The new type has a port of that name."""


def plugged_in(position_id: int, spec_id: int) -> list[PluggedShape]:
    """Return the connections of a place, those first that do not stay if a type comes into it; one statement."""
    there = Port.objects.filter(spec=spec_id, name=OuterRef("port_name"))
    other = LinkEnd.objects.filter(link=OuterRef("link")).exclude(end=OuterRef("end"))
    named = other.annotate(name=Concat("position__label", Value(" "), "port_name"))
    shaped = rows_as(
        PluggedShape,
        LinkEnd.objects.filter(position=position_id),
        port=F("port_name"),
        written=F("link__label"),
        stays=Exists(there),
        far=Subquery(named.values("name")[:1]),
    )
    return list(shaped.order_by("stays", "link", "end"))
