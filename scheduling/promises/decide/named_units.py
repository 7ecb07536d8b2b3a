"""Giving bookings the units that they name: case and contents of a kit, one unit, what is out already."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduling.promises.decide.occupancy import Occupancy, as_obstacles
from scheduling.promises.decide.outcome import Outcome, UnitRequest
from scheduling.promises.decide.reallocation import Reallocation, find_reallocation
from scheduling.promises.decide.terms import ClaimRow, Obstacle, Period, ShortfallRow, Want, WantedItem


def requested_units(want: Want, had: Sequence[ClaimRow], missed: Sequence[ShortfallRow]) -> list[UnitRequest]:
    """Return the units that a booking names.

    Those of its lines; of a number of a spec, those that are not to be dealt again, and, where nothing else is asked
    for, those that it misses by name.
    """
    by_unit = {claim.unit: claim for claim in had}
    requests = [
        UnitRequest(want, item, item.unit, by_unit.get(item.unit)) for item in want.items if item.unit is not None
    ]
    if want.of_spec is not None:
        spec = want.of_spec.spec
        requests += [
            UnitRequest(want, WantedItem(spec=spec, unit=claim.unit), claim.unit, claim) for claim in had if claim.fixed
        ]
        if want.stays:
            units = [item.unit for item in missed if item.unit is not None]
            requests += [UnitRequest(want, WantedItem(spec=spec, unit=unit), unit, None) for unit in units]
    return requests


def allocate_named_units(
    occupancy: Occupancy, requests: Iterable[UnitRequest], outcome: Outcome, *, pushing: bool = False
) -> None:
    """Set down a claim for every ask that can be met; note the others as lacks.

    With ``pushing``, a booking keeps what it has even where somebody else is promised it: the gear is not here to be
    given to anybody else.
    """
    in_order = sorted(requests, key=lambda request: request.had is None)
    # What is needed first: a spare must not take the unit that somebody would be dealt instead of a needed one.
    for needed in (True, False):
        _allocate_each(
            occupancy, [request for request in in_order if request.item.needed == needed], outcome, pushing=pushing
        )


def _allocate_each(occupancy: Occupancy, requests: Sequence[UnitRequest], outcome: Outcome, *, pushing: bool) -> None:
    contested: list[UnitRequest] = []
    for request in requests:
        if pushing and request.had is not None:
            outcome.pushed += _push_aside(occupancy, request)
        obstacles = _obstacles(occupancy, request)
        if obstacles:
            outcome.miss(request, obstacles)
        elif occupancy.movable_on(request.unit, request.want.period) and not _waits(request):
            contested.append(request)
        else:
            occupancy.add(_claim(occupancy, request))
    _displace(occupancy, contested, outcome)


def _obstacles(occupancy: Occupancy, request: UnitRequest) -> list[Obstacle]:
    if _waits(request):
        return occupancy.outages(request.unit, request.want.period)
    return occupancy.obstacles(request.unit, request.want.period)


def _waits(request: UnitRequest) -> bool:
    return request.want.waits and request.had is not None


def _push_aside(occupancy: Occupancy, request: UnitRequest) -> list[ClaimRow]:
    return [
        occupancy.remove(claim.id)
        for claim in list(occupancy.firm_on(request.unit, request.want.period))
        if claim.fixed
    ]


def _claim(occupancy: Occupancy, request: UnitRequest) -> ClaimRow:
    if request.had is not None:
        return replace(request.had, period=request.want.period, firm=request.want.firm, position=request.item.position)
    return ClaimRow(
        id=occupancy.new_id(),
        booking=request.want.booking,
        event=request.want.event,
        unit=request.unit,
        period=request.want.period,
        firm=request.want.firm,
        allocated=request.want.of_spec is not None,
        fixed=request.want.of_spec is None or request.want.period.starts_at <= occupancy.now,
        from_kits=request.want.of_spec is not None and request.want.of_spec.from_kits,
        position=request.item.position,
    )


def _displace(occupancy: Occupancy, contested: Sequence[UnitRequest], outcome: Outcome) -> None:
    """Take units from claims that can be dealt others: all at once if that goes, else one after the other."""
    groups: dict[tuple[int, Period], list[UnitRequest]] = {}
    for request in contested:
        groups.setdefault((occupancy.units[request.unit].spec, request.want.period), []).append(request)
    for requests in groups.values():
        if len(requests) == 1 or not _displaced(occupancy, requests, outcome):
            for request in requests:
                rivals = occupancy.movable_on(request.unit, request.want.period)
                if not _displaced(occupancy, [request], outcome):
                    outcome.miss(request, as_obstacles(rivals))


def _displaced(occupancy: Occupancy, requests: Sequence[UnitRequest], outcome: Outcome) -> bool:
    """Give the asks (of one spec and period) their units if everybody else can be dealt another."""
    claims = [_claim(occupancy, request) for request in requests]
    for claim in claims:
        occupancy.add(replace(claim, fixed=True))
    answer = find_reallocation(occupancy, occupancy.units[requests[0].unit].spec, requests[0].want.period)
    for claim in claims:
        occupancy.remove(claim.id)
    if isinstance(answer, Reallocation) or len(requests) == 1:
        for request in requests:
            outcome.findings[request.want.booking].proofs.append(answer.proof)
    if not isinstance(answer, Reallocation):
        return False
    for claim_id, unit in answer.moves.items():
        occupancy.move(claim_id, unit)
    for claim in claims:
        occupancy.add(claim)
    return True
