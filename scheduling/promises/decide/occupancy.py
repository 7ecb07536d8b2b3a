"""Which claims are on which unit while a decision is made: they are added, moved and removed here, not in tables."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import count

from scheduling.promises.decide.terms import ClaimRow, DowntimeRow, Obstacle, Period, ShortfallRow, Snapshot, UnitRow


class UsableUnits:
    """The units of a spec that are usable in one period. The frozen set is built when it is asked for."""

    def __init__(self, period: Period, from_kits: bool, units: set[int]) -> None:
        self.period = period
        self.from_kits = from_kits
        self._units = units
        self._frozen: frozenset[int] | None = None

    def units(self) -> frozenset[int]:
        if self._frozen is None:
            self._frozen = frozenset(self._units)
        return self._frozen

    def set(self, unit: int, usable: bool) -> None:
        if usable != (unit in self._units):
            self._units.symmetric_difference_update({unit})
            self._frozen = None


class Occupancy:
    """The working state of one decision; it starts as the snapshot and ends as what is to be written."""

    def __init__(self, snapshot: Snapshot) -> None:
        self.snapshot = snapshot
        self.now = snapshot.now
        self.units = snapshot.units
        self.claims: dict[int, ClaimRow] = {}
        self._on_unit: defaultdict[int, dict[int, ClaimRow]] = defaultdict(dict)
        self._of_booking: defaultdict[int, dict[int, ClaimRow]] = defaultdict(dict)
        self._downtimes: defaultdict[int, list[DowntimeRow]] = defaultdict(list)
        self._of_spec: defaultdict[int, list[UnitRow]] = defaultdict(list)
        self._usable: defaultdict[int, list[UsableUnits]] = defaultdict(list)
        self._new_ids = count(-1, -1)
        for unit in snapshot.units.values():
            self._of_spec[unit.spec].append(unit)
        for claim in snapshot.claims:
            self.add(claim)
        for downtime in snapshot.downtimes:
            self._downtimes[downtime.unit].append(downtime)

    def copy(self) -> "Occupancy":
        """Return an occupancy for trials; a new claim on either of the two has an id of its own."""
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
        self._of_booking[claim.booking][claim.id] = claim
        self._note_change(claim)

    def remove(self, claim_id: int) -> ClaimRow:
        claim = self.claims.pop(claim_id)
        del self._on_unit[claim.unit][claim_id]
        del self._of_booking[claim.booking][claim_id]
        self._note_change(claim)
        return claim

    def claims_of(self, booking: int) -> list[ClaimRow]:
        """Return the claims of a booking, in the order in which they were added."""
        return list(self._of_booking[booking].values())

    def shortfalls_of(self, booking: int) -> list[ShortfallRow]:
        """Return the open shortfalls that the booking had in the snapshot."""
        return [shortfall for shortfall in self.snapshot.shortfalls if shortfall.booking == booking]

    def remove_claims_of(self, booking: int) -> list[ClaimRow]:
        return [self.remove(claim_id) for claim_id in sorted(self._of_booking[booking], key=abs)]

    def move(self, claim_id: int, unit: int) -> None:
        self.add(replace(self.remove(claim_id), unit=unit))

    def is_touched(self, unit: int) -> bool:
        """Return whether anything could keep the unit from going out at some time."""
        row = self.units[unit]
        bounded = not row.in_pool or row.available_from is not None or row.available_until is not None
        return bounded or bool(self._on_unit.get(unit)) or unit in self._downtimes

    def firm_on(self, unit: int, period: Period) -> Iterator[ClaimRow]:
        """Return the firm claims on a unit that overlap the period."""
        return (claim for claim in self._on_unit[unit].values() if claim.firm and claim.period.overlaps(period))

    def soft_on(self, unit: int, period: Period) -> int:
        """Return how many soft claims are on the unit in the period."""
        return sum(not claim.firm and claim.period.overlaps(period) for claim in self._on_unit[unit].values())

    def is_unclaimed(self, unit: int, period: Period) -> bool:
        return next(self.firm_on(unit, period), None) is None

    def movable_on(self, unit: int, period: Period) -> list[ClaimRow]:
        """Return the firm claims in the period that could be moved to other units."""
        return [claim for claim in self.firm_on(unit, period) if not claim.fixed]

    def movable_of(self, spec: int) -> list[ClaimRow]:
        """Return the firm claims on units of a spec that could be moved to other units."""
        return [
            claim
            for unit in self._of_spec[spec]
            for claim in self._on_unit[unit.id].values()
            if claim.firm and not claim.fixed
        ]

    def outages(self, unit_id: int, period: Period) -> list[Obstacle]:
        """Return what keeps the unit from going out whoever claims it: it is not in the pool, or it is down."""
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
        """Return the outages and the fixed firm claims: what no reallocation removes."""
        return self.outages(unit, period) + as_obstacles(claim for claim in self.firm_on(unit, period) if claim.fixed)

    def is_usable(self, unit: int, period: Period) -> bool:
        """Return whether the unit is in the pool, not down and without a fixed firm claim in the period."""
        return (
            self.units[unit].in_pool_during(period)
            and not any(downtime.blocks(period) for downtime in self._downtimes.get(unit, ()))
            and not any(claim.fixed for claim in self.firm_on(unit, period))
        )

    def usable_of(self, spec: int, period: Period, *, from_kits: bool) -> frozenset[int]:
        """Return the units of a spec that could be allocated for the period, those in kits only with ``from_kits``.

        They are worked out once and kept up to date with each claim.
        """
        for usable in self._usable[spec]:
            if usable.period == period and usable.from_kits == from_kits:
                return usable.units()
        units = {
            unit.id
            for unit in self._of_spec[spec]
            if (from_kits or unit.packed_in is None) and self.is_usable(unit.id, period)
        }
        self._usable[spec].append(usable := UsableUnits(period, from_kits, units))
        return usable.units()

    def _note_change(self, claim: ClaimRow) -> None:
        """Work out again whether the unit is usable, where a claim that was added or removed can matter."""
        unit = self.units.get(claim.unit)
        if not claim.firm or not claim.fixed or unit is None:
            return
        for usable in self._usable.get(unit.spec, ()):
            if usable.period.overlaps(claim.period) and (usable.from_kits or unit.packed_in is None):
                usable.set(unit.id, self.is_usable(unit.id, usable.period))

    def spare_hours(self, unit: int, period: Period) -> float:
        """Return the shorter idle time before or after the period on this unit [h]; infinite without a neighbour."""
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
    """Return claims of others as obstacles."""
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
