"""Who has which unit when while a decision is being made: claims are lifted, moved and set down here, not in tables."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import count

from scheduling.promises.decide.terms import ClaimRow, DowntimeRow, Obstacle, Period, Snapshot, UnitRow


class Occupancy:
    """The working state of one decision; it starts as the snapshot and ends as what is to be written."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        self.now = snapshot.now
        self.units = snapshot.units
        self.claims: dict[int, ClaimRow] = {}
        self._on_unit: defaultdict[int, dict[int, ClaimRow]] = defaultdict(dict)
        self._of_booking: defaultdict[int, set[int]] = defaultdict(set)
        self._downtimes: defaultdict[int, list[DowntimeRow]] = defaultdict(list)
        self._of_spec: defaultdict[int, list[UnitRow]] = defaultdict(list)
        self._usable: dict[tuple[int, Period, bool], frozenset[int]] = {}
        self._new_ids = count(-1, -1)
        for unit in snapshot.units.values():
            self._of_spec[unit.spec].append(unit)
        for claim in snapshot.claims:
            self.add(claim)
        for downtime in snapshot.downtimes:
            self._downtimes[downtime.unit].append(downtime)

    def copy(self) -> "Occupancy":
        """Return a board on which something can be tried; new claims on it have ids of their own on both."""
        trial = Occupancy(replace(self.snapshot, claims=tuple(self.claims.values())))
        trial._new_ids = self._new_ids
        return trial

    def units_of(self, spec: int) -> list[UnitRow]:
        return self._of_spec[spec]

    def new_id(self) -> int:
        return next(self._new_ids)

    def add(self, claim: ClaimRow) -> None:
        self.claims[claim.id] = claim
        self._on_unit[claim.unit][claim.id] = claim
        self._of_booking[claim.booking].add(claim.id)
        self._usable.clear()

    def remove(self, claim_id: int) -> ClaimRow:
        claim = self.claims.pop(claim_id)
        del self._on_unit[claim.unit][claim_id]
        self._of_booking[claim.booking].remove(claim_id)
        self._usable.clear()
        return claim

    def remove_claims_of(self, booking: int) -> list[ClaimRow]:
        return [self.remove(claim_id) for claim_id in sorted(self._of_booking[booking], key=abs)]

    def move(self, claim_id: int, unit: int) -> None:
        self.add(replace(self.remove(claim_id), unit=unit))

    def is_touched(self, unit: int) -> bool:
        """Say whether there is anything at all that could keep the unit at some time."""
        row = self.units[unit]
        bounded = not row.in_pool or row.available_from is not None or row.available_until is not None
        return bounded or bool(self._on_unit.get(unit)) or unit in self._downtimes

    def firm_on(self, unit: int, period: Period) -> Iterator[ClaimRow]:
        """The firm claims on a unit that overlap the period."""
        return (claim for claim in self._on_unit[unit].values() if claim.firm and claim.period.overlaps(period))

    def soft_on(self, unit: int, period: Period) -> int:
        """How many pencils want the unit in the period."""
        return sum(not claim.firm and claim.period.overlaps(period) for claim in self._on_unit[unit].values())

    def is_unclaimed(self, unit: int, period: Period) -> bool:
        return next(self.firm_on(unit, period), None) is None

    def movable_on(self, unit: int, period: Period) -> list[ClaimRow]:
        """The firm claims in the period that could be dealt other units."""
        return [claim for claim in self.firm_on(unit, period) if not claim.fixed]

    def movable_of(self, spec: int) -> list[ClaimRow]:
        """The firm claims on units of a spec that could be dealt other units of it."""
        return [
            claim
            for unit in self._of_spec[spec]
            for claim in self._on_unit[unit.id].values()
            if claim.firm and not claim.fixed
        ]

    def outages(self, unit_id: int, period: Period) -> list[Obstacle]:
        """What keeps the unit from going out at all: it is not in the pool, or it is down."""
        unit = self.units[unit_id]
        found = [
            Obstacle(
                unit=unit_id,
                reason="late" if downtime.late else "held-back",
                downtime=downtime.id,
                starts_at=downtime.starts_at,
                ends_at=downtime.ends_at,
            )
            for downtime in self._downtimes[unit_id]
            if downtime.blocks(period)
        ]
        if not unit.in_pool_during(period):
            found.insert(
                0, Obstacle(unit=unit_id, reason="out-of-pool", starts_at=period.starts_at, ends_at=period.ends_at)
            )
        return found

    def obstacles(self, unit: int, period: Period) -> list[Obstacle]:
        """Everything that no re-dealing can take out of the way."""
        return self.outages(unit, period) + as_obstacles(claim for claim in self.firm_on(unit, period) if claim.fixed)

    def is_usable(self, unit: int, period: Period) -> bool:
        """Say whether nothing stands in the way that no re-dealing can take away."""
        return (
            self.units[unit].in_pool_during(period)
            and not any(downtime.blocks(period) for downtime in self._downtimes.get(unit, ()))
            and not any(claim.fixed for claim in self.firm_on(unit, period))
        )

    def usable_of(self, spec: int, period: Period, *, from_kits: bool) -> frozenset[int]:
        """The units of a spec that could be dealt for the period, those in kits only if they may be."""
        key = (spec, period, from_kits)
        if key not in self._usable:
            self._usable[key] = frozenset(
                unit.id
                for unit in self._of_spec[spec]
                if (from_kits or unit.packed_in is None) and self.is_usable(unit.id, period)
            )
        return self._usable[key]

    def spare_hours(self, unit: int, period: Period) -> float:
        """Hours that would lie idle before and after the period on this unit; infinite beside nothing."""
        idle_before = idle_after = float("inf")
        for claim in self._on_unit[unit].values():
            if not claim.firm:
                continue
            if claim.period.ends_at <= period.starts_at:
                idle_before = min(idle_before, (period.starts_at - claim.period.ends_at).total_seconds() / 3600)
            elif claim.period.starts_at >= period.ends_at:
                idle_after = min(idle_after, (claim.period.starts_at - period.ends_at).total_seconds() / 3600)
        return min(idle_before, idle_after)


def as_obstacles(claims: Iterable[ClaimRow]) -> list[Obstacle]:
    """Return claims of others as what is in the way."""
    return [
        Obstacle(
            unit=claim.unit,
            reason="conflict",
            booking=claim.booking,
            event=claim.event,
            starts_at=claim.period.starts_at,
            ends_at=claim.period.ends_at,
        )
        for claim in claims
    ]
