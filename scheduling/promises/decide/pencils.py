"""Allocate units to pencils: places in a queue. A pencil takes soft claims, moves nobody and is never in conflict.

A unit that another booking has firmly is claimed all the same: the pencil has its place behind it. Only what nobody
could get, because it is down or not in the pool, is a shortfall.
"""

from collections.abc import Collection, Iterable
from dataclasses import replace

from scheduling.promises.decide.claimant import Claimant
from scheduling.promises.decide.occupancy import Occupancy
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.terms import ClaimRow, Period, ShortfallDraft
from scheduling.promises.decide.wants import SpecQuantity, Want, WantedItem


def allocate_pencil(occupancy: Occupancy, claimant: Claimant, outcome: Outcome) -> None:
    """Add soft claims on what the pencil names, and on as many units of a spec as it wants."""
    had = {claim.unit: claim for claim in claimant.claims}
    for item in claimant.want.items:
        _claim_item(occupancy, claimant.want, item, had, outcome)
    if claimant.want.of_spec is not None:
        _claim_quantity(occupancy, claimant, claimant.want.of_spec, had, outcome)


def _claim_item(occupancy: Occupancy, want: Want, item: WantedItem, had: dict[int, ClaimRow], outcome: Outcome) -> None:
    if item.unit is None:
        return  # an empty position is noted for every booking alike
    if not (outages := occupancy.outages(item.unit, want.period)):
        occupancy.add(_soft_claim(occupancy, want, item.unit, had, item.position))
        return
    outcome.shortfalls.append(
        ShortfallDraft(
            booking=want.booking, spec=item.spec, position=item.position, unit=item.unit, reason=outages[0].reason
        )
    )


def _claim_quantity(
    occupancy: Occupancy, claimant: Claimant, wanted: SpecQuantity, had: dict[int, ClaimRow], outcome: Outcome
) -> None:
    want = claimant.want
    can_go = [
        unit.id
        for unit in occupancy.units_of(wanted.spec)
        if (wanted.from_kits or unit.packed_in is None or unit.id in had)
        and not occupancy.outages(unit.id, want.period)
    ]
    units = in_order_of_hope(occupancy, can_go, want.period, had)[: wanted.quantity]
    for unit in units:
        occupancy.add(_soft_claim(occupancy, want, unit, had, None))
    missing = wanted.quantity - len(units)
    lost = [unit for unit in [*had, *claimant.named_shortfalls()] if unit not in units]
    by_name = [
        ShortfallDraft(booking=want.booking, spec=wanted.spec, unit=unit, reason=outages[0].reason)
        for unit in dict.fromkeys(lost)
        if (outages := occupancy.outages(unit, want.period))
    ][:missing]
    outcome.shortfalls += by_name
    if rest := missing - len(by_name):
        outcome.shortfalls.append(
            ShortfallDraft(booking=want.booking, spec=wanted.spec, quantity=rest, reason="not-enough")
        )


def in_order_of_hope(
    occupancy: Occupancy, units: Iterable[int], period: Period, preferred: Collection[int]
) -> list[int]:
    """Return units in the order in which a pencil takes its place behind others.

    Those that it had first; then loose ones; then unclaimed ones, ones whose firm claims could be moved, ones whose
    claims cannot; then fewest pencils, lowest id.
    """

    def rank(unit: int) -> tuple[bool, bool, int, int, int]:
        firm = list(occupancy.firm_on(unit, period))
        hold = 0 if not firm else 2 if any(claim.fixed for claim in firm) else 1
        packed = occupancy.units[unit].packed_in is not None
        return unit not in preferred, packed, hold, occupancy.soft_on(unit, period), unit

    return sorted(units, key=rank)


def _soft_claim(
    occupancy: Occupancy, want: Want, unit: int, had: dict[int, ClaimRow], position: int | None
) -> ClaimRow:
    claim = had.get(unit) or want.new_claim(occupancy.new_id(), unit, occupancy.now)
    return replace(claim, period=want.period, firm=False, position=position, stray=False)
