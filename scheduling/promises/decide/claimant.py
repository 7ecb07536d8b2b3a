"""A booking whose turn it is, with what it had before and the policy under which it is allocated units."""

from dataclasses import dataclass

from scheduling.promises.decide.policy import Policy
from scheduling.promises.decide.terms import ClaimRow, ShortfallRow
from scheduling.promises.decide.wants import Want, WantedItem


@dataclass(frozen=True, slots=True, kw_only=True)
class Claimant:
    """One booking while units are allocated to it; its own claims are off the occupancy."""

    want: Want
    claims: tuple[ClaimRow, ...]
    """The claims that it had."""
    shortfalls: tuple[ShortfallRow, ...]
    """The open shortfalls that it had."""
    policy: Policy
    is_pencil: bool
    """Also while it is tried as if it were firm, when its want says firm."""

    @property
    def keeps_units(self) -> bool:
        """Whether firm claims of others cannot take the units away that it had."""
        return self.is_pencil and self.policy.pencils_keep_units

    @property
    def displaces_fixed_rivals(self) -> bool:
        return not self.is_pencil and self.policy.displaces_fixed_rivals

    def named_shortfalls(self) -> list[int]:
        """Return the units that its shortfalls name."""
        return [shortfall.unit for shortfall in self.shortfalls if shortfall.unit is not None]


@dataclass(frozen=True, slots=True)
class UnitRequest:
    """One named unit wanted by one booking, with the claim on it that the booking had."""

    claimant: Claimant
    item: WantedItem
    unit: int
    had: ClaimRow | None

    @property
    def want(self) -> Want:
        return self.claimant.want

    @property
    def keeps_unit(self) -> bool:
        """Whether firm claims of others cannot take the unit away."""
        return self.had is not None and self.claimant.keeps_units


def requests_of(claimant: Claimant) -> list[UnitRequest]:
    """Return the units that a booking asks for by name.

    They are those of its items. Of a number of a spec, they are the units of its fixed claims and, where the policy
    fills no shortfalls, the units that its shortfalls name.
    """
    want = claimant.want
    by_unit = {claim.unit: claim for claim in claimant.claims}
    kept = [*want.items, *want.kept_items(claimant.claims)]
    requests = [
        UnitRequest(claimant, item, item.unit, by_unit.get(item.unit)) for item in kept if item.unit is not None
    ]
    if not claimant.policy.fills_shortfalls:
        restored = want.restored_items(claimant.named_shortfalls())
        requests += [UnitRequest(claimant, item, item.unit, None) for item in restored if item.unit is not None]
    return requests
