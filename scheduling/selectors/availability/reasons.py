"""What stands on each unit in one window: where it lies, who has it, why it is down."""

from collections import defaultdict
from collections.abc import Collection
from datetime import datetime
from typing import TypedDict

from django.db.models import Case, F, OuterRef, Q, Subquery, Value, When

from inventory.models import Downtime, Position, Unit
from scheduling.models import Claim
from scheduling.promises.decide import Period

OUT_OF_POOL = ("lost", "retired")


class HeldByShape(TypedDict):
    """A claim on the unit in the window."""

    event: int
    name: str
    firm: bool
    starts_at: datetime
    ends_at: datetime
    until: datetime | None
    """When the pencil expires."""


class DownInShape(TypedDict):
    cause: str
    note: str
    until: datetime | None


class UnitInWindowShape(TypedDict):
    unit: int
    tag: str
    spec_name: str
    state: str
    place: str | None
    kit: int | None
    kit_name: str | None
    claims: list[HeldByShape]
    downs: list[DownInShape]


def units_in_window(which: Q, window: Period, now: datetime) -> list[UnitInWindowShape]:
    """Return units by tag with what stands on them in the window; three statements."""
    lies_in = Position.objects.filter(unit=OuterRef("pk")).order_by(
        Case(When(role="case", then=Value(1)), default=Value(0)), "pk"
    )
    rows = Unit.objects.filter(which).order_by("tag")
    found: dict[int, UnitInWindowShape] = {
        pk: {
            "unit": pk,
            "tag": tag,
            "spec_name": spec_name,
            "state": state,
            "place": place,
            "kit": kit,
            "kit_name": kit_name,
            "claims": [],
            "downs": [],
        }
        for pk, tag, spec_name, state, place, kit, kit_name in rows.values_list(
            "pk",
            "tag",
            "spec__name",
            "state",
            "location__name",
            Subquery(lies_in.values("kit_id")[:1]),
            Subquery(lies_in.values("kit__name")[:1]),
        )
    }
    claims, downs = _claims(found, window, now), _downs(found, window, now)
    for unit, shape in found.items():
        shape["claims"], shape["downs"] = claims[unit], downs[unit]
    return [shape for shape in found.values() if shape["state"] not in OUT_OF_POOL]


def _claims(units: Collection[int], window: Period, now: datetime) -> defaultdict[int, list[HeldByShape]]:
    found: defaultdict[int, list[HeldByShape]] = defaultdict(list)
    standing = Q(standing="firm") | Q(standing="soft", booking__expires_at__gt=now)
    rows = Claim.objects.filter(
        standing, unit__in=list(units), starts_at__lt=window.ends_at, ends_at__gt=window.starts_at
    )
    for row in rows.order_by("starts_at", "pk").values(
        "unit",
        "standing",
        "starts_at",
        "ends_at",
        event=F("booking__event"),
        name=F("booking__event__name"),
        until=F("booking__expires_at"),
    ):
        found[row["unit"]].append(
            {
                "event": row["event"],
                "name": row["name"],
                "firm": row["standing"] == "firm",
                "starts_at": row["starts_at"],
                "ends_at": row["ends_at"],
                "until": row["until"],
            }
        )
    return found


def _downs(units: Collection[int], window: Period, now: datetime) -> defaultdict[int, list[DownInShape]]:
    """An end that is expected is believed while it lies ahead; one that has passed is not."""
    found: defaultdict[int, list[DownInShape]] = defaultdict(list)
    open_ended = Q(ends_at__isnull=True) & (
        Q(expected_until__isnull=True) | Q(expected_until__lte=now) | Q(expected_until__gt=window.starts_at)
    )
    rows = Downtime.objects.filter(
        Q(ends_at__gt=window.starts_at) | open_ended, unit__in=list(units), starts_at__lt=window.ends_at
    )
    for unit, cause, note, ends_at, expected in rows.order_by("pk").values_list(
        "unit_id", "cause", "note", "ends_at", "expected_until"
    ):
        until = ends_at or (expected if expected is not None and expected > now else None)
        found[unit].append({"cause": cause, "note": note, "until": until})
    return found
