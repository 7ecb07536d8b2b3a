"""Giving bookings of a number of a spec their units: any that will do."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduling.promises.decide.board import Board, as_obstacles
from scheduling.promises.decide.bookable import grant
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.terms import ClaimSeen, Deal, Lack, Obstacle, ShortfallSeen, Want


def deal_out(
    board: Board, want: Want, lifted: Sequence[ClaimSeen], missed: Sequence[ShortfallSeen], outcome: Outcome
) -> None:
    """Set down claims on as many units as can be had, and note how many are lacking.

    Args:
        board: What stands, without the booking's own claims that may be dealt again.
        want: The booking; one that wants no number of a spec is passed over.
        lifted: The claims that the booking had.
        missed: The shortfalls that it has.
        outcome: Where conflicts and lacks are noted.
    """
    if want.deal is None:
        return
    had = [claim for claim in lifted if not claim.fixed]
    deal = replace(want.deal, quantity=_still_to_deal(want, want.deal, lifted, had))
    if want.waits:
        deal, had = _keep_waiting(board, want, deal, had)
    beside = {claim.unit for claim in board.claims.values() if claim.booking == want.booking}
    given = grant(board, deal, want.period, preferred=[claim.unit for claim in had], beside=beside)
    finding = outcome.findings[want.booking]
    finding.proofs.append(given.proof)
    for claim_id, unit in given.moves.items():
        board.move(claim_id, unit)
    _set_down(board, want, deal, had, given.units)
    if want.stays:
        outcome.lacks += [_unchanged(item) for item in missed if item.unit is None]
    if missing := deal.quantity - len(given.units):
        finding.short = True
        finding.bookable = want.deal.quantity - missing
        finding.conflicts += in_the_way(board, want, deal)
        by_name = [claim.unit for claim in had]
        if not want.stays:
            by_name += [item.unit for item in missed if item.unit is not None]
        outcome.lacks += _missing(board, want, missing, by_name)


def in_the_way(board: Board, want: Want, deal: Deal) -> list[Obstacle]:
    """Return what keeps units of the spec from the booking: everybody else's claims, and downtimes."""
    found: list[Obstacle] = []
    for unit in board.units_of(deal.spec):
        if unit.packed_in is not None and not deal.from_kits:
            continue
        found += [outage for outage in board.outages(unit.id, want.period) if outage.downtime is not None]
        found += as_obstacles(claim for claim in board.firm_on(unit.id, want.period) if claim.booking != want.booking)
    return found


def _still_to_deal(want: Want, deal: Deal, lifted: Sequence[ClaimSeen], had: Sequence[ClaimSeen]) -> int:
    if want.stays:
        return len(had)
    return deal.quantity - (len(lifted) - len(had))


def _keep_waiting(board: Board, want: Want, deal: Deal, had: Sequence[ClaimSeen]) -> tuple[Deal, list[ClaimSeen]]:
    """Set down a pencil's own claims wherever the unit can go out at all; return what is left to deal."""
    left = []
    for claim in had:
        if board.outages(claim.unit, want.period):
            left.append(claim)
        else:
            board.set_down(replace(claim, period=want.period, firm=want.firm))
    return replace(deal, quantity=deal.quantity - (len(had) - len(left))), left


def _set_down(board: Board, want: Want, deal: Deal, had: Sequence[ClaimSeen], units: Iterable[int]) -> None:
    """Claim the units; a claim that the booking had goes on under its own id, on its unit where that was given."""
    by_unit = {claim.unit: claim for claim in had}
    given = list(units)
    others = iter([claim for claim in had if claim.unit not in given])
    for unit in given:
        claim = by_unit.get(unit) or next(others, None) or _new_claim(board, want, deal, unit)
        board.set_down(replace(claim, unit=unit, period=want.period, firm=want.firm))


def _new_claim(board: Board, want: Want, deal: Deal, unit: int) -> ClaimSeen:
    return ClaimSeen(
        id=board.new_id(),
        booking=want.booking,
        event=want.event,
        unit=unit,
        period=want.period,
        firm=want.firm,
        dealt=True,
        fixed=want.period.starts_at <= board.now,
        from_kits=deal.from_kits,
    )


def _missing(board: Board, want: Want, missing: int, by_name: Iterable[int]) -> list[Lack]:
    """Name the units that were lost, so that they fill the gap when they come back; count the rest."""
    lacks: list[Lack] = []
    for unit in dict.fromkeys(by_name):
        obstacles = board.obstacles(unit, want.period)
        if len(lacks) < missing and obstacles and obstacles[0].booking != want.booking:
            spec = board.units[unit].spec
            reason, rival = obstacles[0].reason, obstacles[0].booking
            lacks.append(Lack(booking=want.booking, spec=spec, unit=unit, reason=reason, rival=rival))
    if missing > len(lacks):
        assert want.deal is not None
        rest = missing - len(lacks)
        lacks.append(Lack(booking=want.booking, spec=want.deal.spec, quantity=rest, reason="not-enough"))
    return lacks


def _unchanged(item: ShortfallSeen) -> Lack:
    return Lack(
        booking=item.booking,
        spec=item.spec,
        position=item.position,
        unit=item.unit,
        quantity=item.quantity,
        reason=item.reason,
        rival=item.rival,
    )
