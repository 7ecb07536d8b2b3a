"""Allocate the units that bookings name: case and contents of a kit, one unit, claims that keep their unit."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduling.promises.decide.claimant import Claimant, UnitRequest, requests_of
from scheduling.promises.decide.occupancy import Occupancy, as_obstacles
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.reallocation import Reallocation, find_reallocation
from scheduling.promises.decide.terms import ClaimRow, FixedReason, Period


def allocate_named_units(occupancy: Occupancy, claimants: Iterable[Claimant], outcome: Outcome) -> None:
    """Add a claim for every named unit that can be allocated; note a shortfall for each of the others."""
    requests = [request for claimant in claimants for request in requests_of(claimant, occupancy.now)]
    in_order = sorted(requests, key=lambda request: request.had is None)
    # Needed units first: a spare must not take the unit to which a needed one's rival would be moved.
    for needed in (True, False):
        _allocate_each(occupancy, [request for request in in_order if request.item.needed == needed], outcome)


def _allocate_each(occupancy: Occupancy, requests: Sequence[UnitRequest], outcome: Outcome) -> None:
    contested: list[UnitRequest] = []
    for request in requests:
        if obstacles := occupancy.obstacles(request.unit, request.want.period):
            outcome.add_shortfall(request, obstacles)
        elif occupancy.movable_on(request.unit, request.want.period):
            contested.append(request)
        else:
            occupancy.add(_claim(occupancy, request))
    _allocate_contested(occupancy, contested, outcome)


def _claim(occupancy: Occupancy, request: UnitRequest) -> ClaimRow:
    want, position = request.want, request.item.position
    if request.had is not None:
        return replace(request.had, unit=request.unit, period=want.period, firm=want.firm, position=position)
    return want.new_claim(occupancy.new_id(), request.unit, occupancy.now, position=position)


def _allocate_contested(occupancy: Occupancy, contested: Sequence[UnitRequest], outcome: Outcome) -> None:
    """Move the rivals of all contested units of a spec at once if that is possible, otherwise unit by unit."""
    groups: dict[tuple[int, Period], list[UnitRequest]] = {}
    for request in contested:
        groups.setdefault((occupancy.units[request.unit].spec, request.want.period), []).append(request)
    for requests in groups.values():
        if len(requests) == 1 or not _displace_rivals(occupancy, requests, outcome):
            for request in requests:
                rivals = occupancy.movable_on(request.unit, request.want.period)
                if not _displace_rivals(occupancy, [request], outcome):
                    outcome.add_shortfall(request, as_obstacles(rivals))


def _displace_rivals(occupancy: Occupancy, requests: Sequence[UnitRequest], outcome: Outcome) -> bool:
    """Allocate the named units, of one spec and period, if every rival can be moved; return whether it was done."""
    claims = [_claim(occupancy, request) for request in requests]
    for claim in claims:
        occupancy.add(replace(claim, fixed=FixedReason.NAMED))
    answer = find_reallocation(occupancy, occupancy.units[requests[0].unit].spec, requests[0].want.period)
    for claim in claims:
        occupancy.remove(claim.id)
    if isinstance(answer, Reallocation) or len(requests) == 1:
        for request in requests:
            outcome.results[request.want.booking].proofs.append(answer.proof)
    if not isinstance(answer, Reallocation):
        return False
    for claim_id, unit in answer.moves.items():
        occupancy.move(claim_id, unit)
    for claim in claims:
        occupancy.add(claim)
    return True
