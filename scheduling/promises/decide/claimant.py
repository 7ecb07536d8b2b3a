"""A booking whose turn it is, with what it had before and the policy under which it is allocated units."""

from dataclasses import dataclass
from datetime import datetime

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

    def out(self, now: datetime) -> list[ClaimRow]:
        """Return the claims whose units are out with the booking, unless its period has been moved to the future."""
        if not self.want.firm or self.want.period.starts_at > now:
            return []
        return [claim for claim in self.claims if claim.is_out]

    def named_shortfalls(self) -> list[int]:
        """Return the units that its shortfalls name, those that are there and cannot be used left aside."""
        return [row.unit for row in self.shortfalls if row.unit is not None and row.claim is None]


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


def requests_of(claimant: Claimant, now: datetime) -> list[UnitRequest]:
    """Return the units that a booking asks for by name, those that are out with it left aside.

    They are those of its items. Of a number of a spec, they are the units of its fixed claims and, where the policy
    fills no shortfalls, the units that its shortfalls name.
    """
    want = claimant.want
    out = {claim.unit for claim in claimant.out(now)}
    by_unit = {claim.unit: claim for claim in claimant.claims}
    kept = [*want.items, *want.kept_items(claimant.claims)]
    requests = [
        UnitRequest(claimant, item, item.unit, by_unit.get(item.unit))
        for item in kept
        if item.unit is not None and item.unit not in out
    ]
    by_id = {claim.id: claim for claim in claimant.claims}
    for claim, unit in want.chosen.items():
        requests += [UnitRequest(claimant, item, unit, by_id[claim]) for item in want.restored_items([unit])]
    if not claimant.policy.fills_shortfalls:
        restored = want.restored_items(claimant.named_shortfalls())
        requests += [UnitRequest(claimant, item, item.unit, None) for item in restored if item.unit is not None]
    return requests
