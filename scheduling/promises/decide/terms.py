"""The rows that a decision reads, and what it says of a booking: obstacles, a result, shortfalls."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Period:
    """Half-open: [starts_at, ends_at)."""

    starts_at: datetime
    ends_at: datetime

    def overlaps(self, other: "Period") -> bool:
        return self.starts_at < other.ends_at and other.starts_at < self.ends_at


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRow:
    id: int
    tag: str
    spec: int
    in_pool: bool = True
    """Neither lost nor retired."""
    available_from: datetime | None = None
    available_until: datetime | None = None
    packed_in: int | None = None
    """The kit that it is packed in, or that it is the case of."""

    def in_pool_during(self, period: Period) -> bool:
        return (
            self.in_pool
            and (self.available_from is None or self.available_from <= period.starts_at)
            and (self.available_until is None or self.available_until >= period.ends_at)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DowntimeRow:
    id: int
    unit: int
    late: bool = False
    starts_at: datetime
    ends_at: datetime | None
    """When it ends or is expected to end; None: not known."""

    def blocks(self, period: Period) -> bool:
        return self.starts_at < period.ends_at and (self.ends_at is None or self.ends_at > period.starts_at)


class FixedReason(StrEnum):
    """Why a claim keeps its unit. Of several reasons the first of this list counts."""

    OUT = "out"
    """Its period has begun."""
    IN_PREPARATION = "in-preparation"
    """The preparation phase of its event has begun."""
    PINNED = "pinned"
    """A person chose the unit, or it is printed on a list."""
    NAMED = "named"
    """The booking names the unit, or a kit that contains it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimRow:
    id: int
    """Negative for one that is not written yet."""
    booking: int
    event: int
    unit: int
    period: Period
    firm: bool
    allocated: bool = False
    """The service chose the unit, for a booking of a number of a spec."""
    fixed: FixedReason | None = FixedReason.NAMED
    """Why it keeps its unit; None: it may be given another."""
    from_kits: bool = False
    position: int | None = None
    stray: bool = False
    """The unit is out with the booking although the booked kit no longer contains it."""

    @property
    def is_out(self) -> bool:
        """Whether its unit has gone out with the booking: it stays there until it is brought back."""
        return self.firm and self.fixed is FixedReason.OUT


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortfallRow:
    id: int
    booking: int
    spec: int
    position: int | None
    unit: int | None
    quantity: int
    reason: str
    rival: int | None
    claim: int | None = None
    """The claim beside which it is open: the unit is there, but cannot be used."""

    def as_draft(self) -> "ShortfallDraft":
        """Return the shortfall without its id, to be compared with one that is to be opened."""
        return ShortfallDraft(
            booking=self.booking,
            spec=self.spec,
            position=self.position,
            unit=self.unit,
            quantity=self.quantity,
            reason=self.reason,
            rival=self.rival,
            claim=self.claim,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """The rows at one moment, as far as the question needs them."""

    now: datetime
    units: Mapping[int, UnitRow]
    claims: tuple[ClaimRow, ...]
    """Firm ones, and soft ones of pencils that have not expired."""
    downtimes: tuple[DowntimeRow, ...]
    shortfalls: tuple[ShortfallRow, ...] = ()
    """Open ones of the bookings that are decided on."""

    def about(self, units: Collection[int], specs: Collection[int]) -> "Snapshot":
        """Return the part that a decision on some units, or on any units of some specs, can depend on."""
        pools = {self.units[unit].spec for unit in units if unit in self.units} | set(specs)
        kept = {unit.id: unit for unit in self.units.values() if unit.spec in pools}
        return replace(
            self,
            units=kept,
            claims=tuple(claim for claim in self.claims if claim.unit in kept),
            downtimes=tuple(downtime for downtime in self.downtimes if downtime.unit in kept),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """Why a unit cannot be allocated: a rival's claim, a downtime, or it is not in the pool."""

    unit: int
    reason: str
    booking: int | None = None
    event: int | None = None
    downtime: int | None = None
    starts_at: datetime
    ends_at: datetime | None


CERTAINTY = ("free", "bound", "exact", "undecided")
"""Proofs, the surest first: units were free, by counting, by an exact search, none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingResult:
    """What was decided for one booking."""

    short: bool
    """Something that it needs is missing; a verb refuses unless shortfalls are accepted."""
    conflicts: tuple[Obstacle, ...]
    """Everything that keeps it from what it needs."""
    bookable: int | None
    """Of a number of a spec: how many could be allocated, where not all could."""
    proof: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortfallDraft:
    """Something that a booking wants and does not get: a shortfall that is not written yet."""

    booking: int
    spec: int
    position: int | None = None
    unit: int | None = None
    quantity: int = 1
    reason: str
    rival: int | None = None
    claim: int | None = None
