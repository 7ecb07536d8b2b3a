"""Move claims between units of one spec so that a newcomer fits, without taking a unit from any booking."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from calc.intervals import Assignment, Effort, Request, assign
from scheduling.promises.decide.occupancy import Occupancy
from scheduling.promises.decide.terms import ClaimRow, Period

ALL_OR_NONE = Effort(largest=False)
"""A refusal needs no largest set."""


@dataclass(frozen=True, slots=True)
class Reallocation:
    """Moves after which every claim and every newcomer has a unit."""

    moves: dict[int, int]
    """Claim id → the unit that it goes to, for those that change."""
    newcomers: tuple[int, ...]
    """The units that the newcomers get."""
    proof: str


@dataclass(frozen=True, slots=True)
class NoReallocation:
    """There is no such reallocation, or none was found in time."""

    proof: str


def find_reallocation(
    occupancy: Occupancy,
    spec: int,
    period: Period,
    *,
    newcomers: int = 0,
    acceptable: Collection[int] = (),
    now_on: Sequence[int] = (),
) -> Reallocation | NoReallocation:
    """Find units for every movable claim of the spec that the period touches, and for a number of newcomers.

    Args:
        occupancy: All claims; fixed ones keep their units.
        spec: The spec whose units are allocated again.
        period: The period of the newcomers, or the one in which units have just been taken away.
        newcomers: How many more units are wanted in the period. [-]
        acceptable: The units that a newcomer may get.
        now_on: Units that newcomers have already and keep where that moves no other claim.
    """
    claims = touched(occupancy.movable_of(spec), period)
    requests = _requests_of(occupancy, claims)
    requests += [
        Request(
            id=f"newcomer {number}",
            starts_at=period.starts_at,
            ends_at=period.ends_at,
            acceptable=frozenset(acceptable),
            now_on=now_on[number] if number < len(now_on) else None,
        )
        for number in range(newcomers)
    ]
    answer = assign(requests, [unit.id for unit in occupancy.units_of(spec)], effort=ALL_OR_NONE)
    if answer.unplaced:
        return NoReallocation(answer.proof)
    return Reallocation(
        moves=_moves(claims, {claim.id: _unit(answer, f"claim {claim.id}") for claim in claims}),
        newcomers=tuple(_unit(answer, f"newcomer {number}") for number in range(newcomers)),
        # A search that was cut short after every request had a unit leaves only the number of moves open.
        proof="exact" if answer.proof == "undecided" else answer.proof,
    )


def reallocate_most(occupancy: Occupancy, spec: int, period: Period) -> tuple[dict[int, int], list[int]]:
    """Return the moves (claim id → unit) after which the most movable claims have a unit, and the ids of the others.

    For claims that stay whatever this costs others, and are on the occupancy already: their units are not usable for
    the movable claims. Of claims that are alike, the latest loses.
    """
    claims = touched(occupancy.movable_of(spec), period)
    requests = _requests_of(occupancy, sorted(claims, key=lambda claim: claim.period.starts_at))
    answer = assign(requests, [unit.id for unit in occupancy.units_of(spec)])
    given = {claim.id: _unit(answer, f"claim {claim.id}") for claim in claims if f"claim {claim.id}" in answer.assigned}
    return _moves([claim for claim in claims if claim.id in given], given), [
        claim.id for claim in claims if claim.id not in given
    ]


def _requests_of(occupancy: Occupancy, claims: Iterable[ClaimRow]) -> list[Request]:
    return [
        Request(
            id=f"claim {claim.id}",
            starts_at=claim.period.starts_at,
            ends_at=claim.period.ends_at,
            acceptable=units_for(occupancy, claim),
            now_on=claim.unit,
        )
        for claim in claims
    ]


def _unit(answer: Assignment, request: str) -> int:
    unit = answer.assigned[request]
    assert isinstance(unit, int)  # what went in as units comes out as units
    return unit


def _moves(claims: Iterable[ClaimRow], given: Mapping[int, int]) -> dict[int, int]:
    """Return which claims change unit. Claims of one booking are alike: whoever can stay on its unit stays.

    So no claim goes to a unit that another claim of its booking is only about to leave, which the database, judging
    row by row, would refuse.
    """
    moves: dict[int, int] = {}
    by_booking: defaultdict[int, list[ClaimRow]] = defaultdict(list)
    for claim in claims:
        by_booking[claim.booking].append(claim)
    for alike in by_booking.values():
        units = {given[claim.id] for claim in alike}
        leaving = [claim for claim in alike if claim.unit not in units]
        new_units = sorted(units - {claim.unit for claim in alike})
        moves |= {claim.id: unit for claim, unit in zip(leaving, new_units, strict=True)}
    return moves


def touched(claims: Iterable[ClaimRow], period: Period) -> list[ClaimRow]:
    """Return the claims that overlap the period, or overlap one that does, and so on: only those can matter."""
    left = list(claims)
    hull = period
    found: list[ClaimRow] = []
    while reached := [claim for claim in left if claim.period.overlaps(hull)]:
        found += reached
        left = [claim for claim in left if not claim.period.overlaps(hull)]
        hull = Period(
            min(hull.starts_at, *(claim.period.starts_at for claim in reached)),
            max(hull.ends_at, *(claim.period.ends_at for claim in reached)),
        )
    return sorted(found, key=lambda claim: (claim.period.starts_at, abs(claim.id)))


def units_for(occupancy: Occupancy, claim: ClaimRow) -> frozenset[int]:
    """Return the units that a movable claim could be on: its own, and usable ones that it may take."""
    others = occupancy.usable_of(occupancy.units[claim.unit].spec, claim.period, from_kits=claim.from_kits)
    if claim.unit in others or not occupancy.is_usable(claim.unit, claim.period):
        return others
    return others | {claim.unit}


def most_at_once(occupancy: Occupancy, spec: int, period: Period, acceptable: Collection[int]) -> int:
    """Return a number of newcomers that can certainly not be exceeded, by counting heads at each instant."""
    rivals = [
        (claim, units_for(occupancy, claim)) for claim in occupancy.movable_of(spec) if claim.period.overlaps(period)
    ]
    instants = {period.starts_at} | {
        claim.period.starts_at for claim, _ in rivals if claim.period.starts_at > period.starts_at
    }
    ceiling = len(acceptable)
    for instant in sorted(instants):
        live = [units for claim, units in rivals if claim.period.starts_at <= instant < claim.period.ends_at]
        ceiling = min(ceiling, _left_over(frozenset(acceptable), live))
    return max(ceiling, 0)


def _left_over(acceptable: frozenset[int], live: Sequence[frozenset[int]]) -> int:
    return len(acceptable.union(*set(live))) - len(live)
