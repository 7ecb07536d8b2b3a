"""What is free, worked out again from plain rows: no SQL of ours, no decision of ours."""

from datetime import datetime
from itertools import combinations
from typing import Any

from inventory.models import Downtime, Position, Unit
from scheduling.models import Booking, Claim

Rows = list[dict[str, Any]]


class Sweep:
    """All rows at one instant, and questions over them, one unit and one claim at a time."""

    def __init__(self, now: datetime) -> None:
        self.now = now
        self.units: Rows = list(Unit.objects.order_by("pk").values())
        self.claims: Rows = list(Claim.objects.exclude(standing="released").values())
        self.bookings = {row["id"]: row for row in Booking.objects.values()}
        self.downtimes: Rows = list(Downtime.objects.values())
        self.packed = set(Position.objects.exclude(unit=None).values_list("unit_id", flat=True))

    def cell(self, spec: int, start: datetime, end: datetime) -> dict[str, int]:
        pool = [unit for unit in self.units if unit["spec_id"] == spec and self.is_owned(unit, start, end)]
        down = [unit["id"] for unit in pool if self.is_down(unit["id"], start, end)]
        firm = [unit["id"] for unit in pool if self.claims_on(unit["id"], start, end, "firm")]
        soft = [unit["id"] for unit in pool if self.claims_on(unit["id"], start, end, "soft")]
        idle = [unit["id"] for unit in pool if unit["id"] not in {*down, *firm}]
        return {
            "owned": len(pool),
            "held_back": len(down),
            "claimed": len(firm),
            "pencilled": len(soft),
            "packed": len([unit for unit in idle if unit in self.packed]),
            "free": len([unit for unit in idle if unit not in self.packed]),
            "bookable": self.bookable(spec, start, end),
        }

    def is_owned(self, unit: dict[str, Any], start: datetime, end: datetime) -> bool:
        return (
            unit["state"] in {"in-service", "held-back"}
            and (unit["available_from"] is None or unit["available_from"] <= start)
            and (unit["available_until"] is None or end <= unit["available_until"])
        )

    def is_down(self, unit: int, start: datetime, end: datetime) -> bool:
        return any(row["unit_id"] == unit and self._blocks(row, start, end) for row in self.downtimes)

    def _blocks(self, downtime: dict[str, Any], start: datetime, end: datetime) -> bool:
        until = downtime["ends_at"]
        if until is None and downtime["expected_until"] is not None and downtime["expected_until"] > self.now:
            until = downtime["expected_until"]
        return downtime["starts_at"] < end and (until is None or start < until)

    def claims_on(self, unit: int, start: datetime, end: datetime, standing: str) -> Rows:
        return [
            row
            for row in self.claims
            if row["unit_id"] == unit
            and row["standing"] == standing
            and row["starts_at"] < end
            and start < row["ends_at"]
            and (standing == "firm" or self.bookings[row["booking_id"]]["expires_at"] > self.now)
        ]

    def bookable(self, spec: int, start: datetime, end: datetime) -> int:
        """Try every number of loose units, and every way of dealing the movable claims of the spec around them."""
        candidates = [
            unit["id"]
            for unit in self.units
            if unit["spec_id"] == spec
            and unit["id"] not in self.packed
            and self.is_owned(unit, start, end)
            and not self.is_down(unit["id"], start, end)
        ]
        of_spec = {unit["id"] for unit in self.units if unit["spec_id"] == spec}
        firm = [row for row in self.claims if row["standing"] == "firm" and row["unit_id"] in of_spec]
        fixed = [row for row in firm if not self._is_movable(row)]
        movable = [row for row in firm if self._is_movable(row)]
        for number in range(len(candidates), 0, -1):
            for chosen in combinations(candidates, number):
                taken = [(unit, start, end) for unit in chosen]
                taken += [(row["unit_id"], row["starts_at"], row["ends_at"]) for row in fixed]
                if not _clash(taken) and self._deal(movable, taken):
                    return number
        return 0

    def can_have(self, units: set[int], start: datetime, end: datetime) -> bool:
        """Say whether all these units can be had at once, everybody else keeping a unit."""
        rows = [unit for unit in self.units if unit["id"] in units]
        if any(not self.is_owned(unit, start, end) or self.is_down(unit["id"], start, end) for unit in rows):
            return False
        firm = [row for row in self.claims if row["standing"] == "firm"]
        taken = [(unit, start, end) for unit in units]
        taken += [(row["unit_id"], row["starts_at"], row["ends_at"]) for row in firm if not self._is_movable(row)]
        return not _clash(taken) and self._deal([row for row in firm if self._is_movable(row)], taken)

    def _is_movable(self, row: dict[str, Any]) -> bool:
        return row["dealt"] and row["pinned_at"] is None and row["starts_at"] > self.now

    def _deal(self, movable: Rows, taken: list[tuple[int, datetime, datetime]]) -> bool:
        if not movable:
            return True
        first, *rest = movable
        spec = next(unit["spec_id"] for unit in self.units if unit["id"] == first["unit_id"])
        for unit in self.units:
            stays = unit["id"] == first["unit_id"]
            loose = unit["id"] not in self.packed or self.bookings[first["booking_id"]]["from_kits"]
            if unit["spec_id"] != spec or not (stays or loose):
                continue
            start, end = first["starts_at"], first["ends_at"]
            if not self.is_owned(unit, start, end) or self.is_down(unit["id"], start, end):
                continue
            place = (unit["id"], start, end)
            if not any(_meet(place, other) for other in taken) and self._deal(rest, [*taken, place]):
                return True
        return False


def _meet(a: tuple[int, datetime, datetime], b: tuple[int, datetime, datetime]) -> bool:
    return a[0] == b[0] and a[1] < b[2] and b[1] < a[2]


def _clash(places: list[tuple[int, datetime, datetime]]) -> bool:
    return any(_meet(a, b) for number, a in enumerate(places) for b in places[number + 1 :])
