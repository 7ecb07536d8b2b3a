"""Venues: what their house installation offers, as far as it is known."""

from collections.abc import Sequence
from typing import Any, Required, TypedDict

from inventory.base.changes import Change
from inventory.base.errors import HeldByHistoryError
from inventory.models import Company
from inventory.services.fetching import row_at
from scheduling.models import Venue, VenueCircuit


class CircuitFields(TypedDict, total=False):
    name: Required[str]
    breaker_a: float | None
    volts: float | None
    leg: str
    curve: str | None
    rcd_ma: float | None
    rcd_type: str | None
    connector: str | None
    zone: str
    already_used_a: float | None


class VenueFields(TypedDict, total=False):
    """What of a venue is set; a field that is absent stays as it is."""

    name: str
    timezone: str
    rules: str | None
    circuits: Sequence[CircuitFields]
    lan_ranges: Sequence[str]
    internet_down_mbps: float | None
    internet_up_mbps: float | None
    ambient_celsius: float | None


def create_venue(c: Change, *, fields: VenueFields) -> int:
    """Enter a venue and return its id; its time zone is the company's unless one is given."""
    columns = _columns(fields)
    columns.setdefault("timezone", Company.objects.values_list("timezone", flat=True).get(pk=1))
    venue = Venue.objects.create(**columns)
    _write_circuits(venue, fields.get("circuits", ()))
    c.record("venue", venue.pk, "create", venue.name)
    return venue.pk


def edit_venue(c: Change, venue_id: int, *, fields: VenueFields) -> int:
    """Change what ``fields`` names; ``circuits`` replaces all of them.

    Raises:
        NotFoundError: there is no such venue.
    """
    venue = row_at(Venue, venue_id)
    for name, value in _columns(fields).items():
        setattr(venue, name, value)
    venue.version += 1
    venue.save()
    if "circuits" in fields:
        _write_circuits(venue, fields["circuits"])
    c.touch("venue", venue.pk)
    c.record("venue", venue.pk, "edit", venue.name, fields=sorted(fields))
    return venue.pk


def delete_venue(c: Change, venue_id: int) -> None:
    """Remove a venue that no event names.

    Raises:
        NotFoundError: there is no such venue.
        HeldByHistoryError: events refer to it.
    """
    venue = row_at(Venue, venue_id)
    events = list(venue.events.order_by("pk").values_list("pk", flat=True)[:100])
    if events:
        raise HeldByHistoryError(f"{venue.name} has events and cannot be deleted.", held_by=["events"], events=events)
    c.record("venue", venue.pk, "delete", venue.name)
    venue.delete()


def _columns(fields: VenueFields) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if name != "circuits"}


def _write_circuits(venue: Venue, circuits: Sequence[CircuitFields]) -> None:
    """Write the circuits; one whose name stays keeps its id, so that what is planned on it stays too."""
    ids_by_name = dict(venue.circuits.values_list("name", "pk"))
    venue.circuits.exclude(name__in=[circuit["name"] for circuit in circuits]).delete()
    for number, circuit in enumerate(circuits):
        VenueCircuit(pk=ids_by_name.get(circuit["name"]), venue=venue, sort=number, **circuit).save()
