"""Names for what a refusal lists by id: whose show has it, why it is held back."""

from collections.abc import Collection
from typing import TypedDict

from inventory.models import Downtime
from scheduling.models import Event


class DownShape(TypedDict):
    cause: str
    note: str


def names_of_events(event_ids: Collection[int]) -> dict[int, str]:
    """Return names by id; one statement."""
    return dict(Event.objects.filter(pk__in=set(event_ids)).values_list("pk", "name"))


def why_down(downtime_ids: Collection[int]) -> dict[int, DownShape]:
    """Return the cause of each downtime and what was written about it; one statement."""
    rows = Downtime.objects.filter(pk__in=set(downtime_ids)).values_list("pk", "cause", "note")
    return {pk: {"cause": cause, "note": note} for pk, cause, note in rows}
