"""What a booking wants, and how its claims differ by that: named units (a kit's, or one), or a number of a spec.

The only module of a decision that asks which of them it is.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from scheduling.promises.decide.terms import ClaimRow, FixedReason, Period


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedItem:
    """One unit that a booking names, or an empty position of its kit."""

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
    """Units that are packed in kits may be allocated too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """What one live booking wants."""

    booking: int
    event: int
    period: Period
    firm: bool
    items: tuple[WantedItem, ...] = ()
    of_spec: SpecQuantity | None = None
    chosen: Mapping[int, int] = field(default_factory=dict)
    """Claim id → the unit that a person chose for it in place of the one that the service had chosen."""

    def named_units(self) -> list[int]:
        """Return the units that the booking names."""
        return [item.unit for item in self.items if item.unit is not None]

    def pooled_specs(self) -> list[int]:
        """Return the specs of which any unit will do."""
        return [] if self.of_spec is None else [self.of_spec.spec]

    def kept_items(self, claims: Sequence[ClaimRow]) -> list[WantedItem]:
        """Return the fixed claims among those of a number of a spec as items: they keep their units by name."""
        return self.restored_items([claim.unit for claim in claims if claim.fixed])

    def restored_items(self, units: Sequence[int]) -> list[WantedItem]:
        """Return units that are not of the items, but of the number of a spec, as items; none without one."""
        return [] if self.of_spec is None else [WantedItem(spec=self.of_spec.spec, unit=unit) for unit in units]

    def new_claim(self, claim_id: int, unit: int, now: datetime, *, position: int | None = None) -> ClaimRow:
        """Return a claim on a unit for the whole period."""
        allocated = self.of_spec is not None
        fixed = None if allocated else FixedReason.NAMED
        return ClaimRow(
            id=claim_id,
            booking=self.booking,
            event=self.event,
            unit=unit,
            period=self.period,
            firm=self.firm,
            allocated=allocated,
            fixed=FixedReason.OUT if self.period.starts_at <= now else fixed,
            from_kits=self.of_spec is not None and self.of_spec.from_kits,
            position=position,
        )
