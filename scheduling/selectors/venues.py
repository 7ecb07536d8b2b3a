"""Venues as people and programs see them."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any, TypedDict

from django.db.models import QuerySet

from inventory.base.rows import columns_of, rows_as
from scheduling.models import Venue, VenueCircuit


class CircuitShape(TypedDict):
    """One circuit of the house; null: nobody has asked yet. Local codes and a licensed electrician decide."""

    id: int
    name: str
    breaker_a: float | None
    volts: float | None
    leg: str
    curve: str | None
    rcd_ma: float | None
    rcd_type: str | None
    connector: str | None
    zone: str
    already_used_a: float | None


class VenueShape(TypedDict):
    """A place where shows happen."""

    id: int
    version: int
    name: str
    timezone: str
    rules: str | None
    circuits: list[CircuitShape]
    lan_ranges: list[str]
    internet_down_mbps: float | None
    internet_up_mbps: float | None
    ambient_celsius: float | None


def venue_rows() -> QuerySet[Venue, Any]:
    """Rows of the list of venues, for filtering and paging."""
    return Venue.objects.values(
        "id", "version", "name", "timezone", "rules", "lan_ranges", "internet_down_mbps", "internet_up_mbps",
        "ambient_celsius",
    )  # fmt: skip


def show_venues(rows: Sequence[dict[str, Any]]) -> list[VenueShape]:
    """Return the venues of these rows; one statement for any number of them."""
    circuits: defaultdict[int, list[Any]] = defaultdict(list)
    found = VenueCircuit.objects.filter(venue__in=[row["id"] for row in rows]).order_by("sort", "id")
    for circuit in found.values("venue_id", *columns_of(CircuitShape)):
        circuits[circuit.pop("venue_id")].append(circuit)
    return [_show(row, circuits[row["id"]]) for row in rows]


class VenueChoiceShape(TypedDict):
    id: int
    name: str


def venue_choices() -> list[VenueChoiceShape]:
    """Return venues by name, for a list to choose from; one statement."""
    return list(rows_as(VenueChoiceShape, Venue.objects.order_by("name", "id")))


def circuits_of(venue_id: int) -> list[CircuitShape]:
    """Return the circuits of one venue, in their order; one statement."""
    return list(rows_as(CircuitShape, VenueCircuit.objects.filter(venue=venue_id).order_by("sort", "id")))


def _show(row: dict[str, Any], circuits: list[CircuitShape]) -> VenueShape:
    return {
        "id": row["id"],
        "version": row["version"],
        "name": row["name"],
        "timezone": row["timezone"],
        "rules": row["rules"],
        "circuits": circuits,
        "lan_ranges": row["lan_ranges"],
        "internet_down_mbps": row["internet_down_mbps"],
        "internet_up_mbps": row["internet_up_mbps"],
        "ambient_celsius": row["ambient_celsius"],
    }
