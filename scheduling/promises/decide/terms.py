"""The words of a decision: what stands, what is wanted, what is in the way, what is lacking."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime


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
    """The kit that it lies in, or that it is the case of."""

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
    """When it ends or is expected to end; None when nobody knows (any more)."""

    def blocks(self, period: Period) -> bool:
        return self.starts_at < period.ends_at and (self.ends_at is None or self.ends_at > period.starts_at)


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
    """Chosen for a booking of a number of a spec."""
    fixed: bool = True
    """It stays on its unit: named, pinned, in preparation, or out."""
    from_kits: bool = False
    position: int | None = None


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """What stands, as far as the question needs it."""

    now: datetime
    units: Mapping[int, UnitRow]
    claims: tuple[ClaimRow, ...]
    """Firm ones, and soft ones of pencils that have not expired."""
    downtimes: tuple[DowntimeRow, ...]
    shortfalls: tuple[ShortfallRow, ...] = ()
    """Open ones of the bookings that are decided on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedItem:
    """One thing that a booking wants by name: a unit, or whatever is to go into an empty position."""

    spec: int
    unit: int | None
    position: int | None = None
    needed: bool = True
    """Without it the booking is refused, unless shortfalls are accepted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecQuantity:
    """A number of a spec, any units of it."""

    spec: int
    quantity: int
    from_kits: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """What one live booking wants."""

    booking: int
    event: int
    period: Period
    firm: bool
    items: tuple[WantedItem, ...] = ()
    of_spec: SpecQuantity | None = None
    waits: bool = False
    """A pencil that keeps what it has pencilled although somebody else has it firmly by now."""
    stays: bool = False
    """Nobody asked for more: units that it lost are dealt again, units that it misses by name are given back, and
    what else it lacks stays lacking until somebody books it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """Why a unit cannot be had: a rival's claim, a downtime, or it is not in the pool."""

    unit: int
    reason: str
    booking: int | None = None
    event: int | None = None
    downtime: int | None = None
    starts_at: datetime
    ends_at: datetime | None


CERTAINTY = ("free", "bound", "exact", "undecided")
"""Proofs, the surest first: as things lay, by counting, by an exact search, none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingResult:
    """What came out for one booking."""

    short: bool
    """It lacks something that is needed; a verb refuses unless shortfalls are accepted."""
    conflicts: tuple[Obstacle, ...]
    """Everything that stands in the way of what is needed."""
    bookable: int | None
    """Of a number of a spec: how many could be had, where not all could."""
    proof: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortfallDraft:
    """What a booking does not get."""

    booking: int
    spec: int
    position: int | None = None
    unit: int | None = None
    quantity: int = 1
    reason: str
    rival: int | None = None
