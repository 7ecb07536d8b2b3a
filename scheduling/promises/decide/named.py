"""Giving bookings the units that they name: case and contents of a kit, one unit, what is out already."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from scheduling.promises.decide.board import Board, as_obstacles
from scheduling.promises.decide.outcome import Ask, Outcome
from scheduling.promises.decide.redeal import Redeal, redeal
from scheduling.promises.decide.terms import ClaimSeen, Line, Obstacle, Period, ShortfallSeen, Want


def asks_of(want: Want, had: Sequence[ClaimSeen], missed: Sequence[ShortfallSeen]) -> list[Ask]:
    """Return the units that a booking names.

    Those of its lines; of a number of a spec, those that are not to be dealt again, and, where nothing else is asked
    for, those that it misses by name.
    """
    by_unit = {claim.unit: claim for claim in had}
    asks = [Ask(want, line, line.unit, by_unit.get(line.unit)) for line in want.lines if line.unit is not None]
    if want.deal is not None:
        spec = want.deal.spec
        asks += [Ask(want, Line(spec=spec, unit=claim.unit), claim.unit, claim) for claim in had if claim.fixed]
        if want.stays:
            units = [item.unit for item in missed if item.unit is not None]
            asks += [Ask(want, Line(spec=spec, unit=unit), unit, None) for unit in units]
    return asks


def give_named(board: Board, asks: Iterable[Ask], outcome: Outcome, *, pushing: bool = False) -> None:
    """Set down a claim for every ask that can be met; note the others as lacks.

    With ``pushing``, a booking keeps what it has even where somebody else is promised it: the gear is not here to be
    given to anybody else.
    """
    in_order = sorted(asks, key=lambda ask: ask.had is None)
    # What is needed first: a spare must not take the unit that somebody would be dealt instead of a needed one.
    for needed in (True, False):
        _give_all(board, [ask for ask in in_order if ask.line.needed == needed], outcome, pushing=pushing)


def _give_all(board: Board, asks: Sequence[Ask], outcome: Outcome, *, pushing: bool) -> None:
    contested: list[Ask] = []
    for ask in asks:
        if pushing and ask.had is not None:
            outcome.pushed += _push_aside(board, ask)
        obstacles = _obstacles(board, ask)
        if obstacles:
            outcome.miss(ask, obstacles)
        elif board.movable_on(ask.unit, ask.want.period) and not _waits(ask):
            contested.append(ask)
        else:
            board.set_down(_claim(board, ask))
    _displace(board, contested, outcome)


def _obstacles(board: Board, ask: Ask) -> list[Obstacle]:
    if _waits(ask):
        return board.outages(ask.unit, ask.want.period)
    return board.obstacles(ask.unit, ask.want.period)


def _waits(ask: Ask) -> bool:
    return ask.want.waits and ask.had is not None


def _push_aside(board: Board, ask: Ask) -> list[ClaimSeen]:
    return [board.take_up(claim.id) for claim in list(board.firm_on(ask.unit, ask.want.period)) if claim.fixed]


def _claim(board: Board, ask: Ask) -> ClaimSeen:
    if ask.had is not None:
        return replace(ask.had, period=ask.want.period, firm=ask.want.firm, position=ask.line.position)
    return ClaimSeen(
        id=board.new_id(),
        booking=ask.want.booking,
        event=ask.want.event,
        unit=ask.unit,
        period=ask.want.period,
        firm=ask.want.firm,
        dealt=ask.want.deal is not None,
        fixed=ask.want.deal is None or ask.want.period.starts_at <= board.now,
        from_kits=ask.want.deal is not None and ask.want.deal.from_kits,
        position=ask.line.position,
    )


def _displace(board: Board, contested: Sequence[Ask], outcome: Outcome) -> None:
    """Take units from claims that can be dealt others: all at once if that goes, else one after the other."""
    groups: dict[tuple[int, Period], list[Ask]] = {}
    for ask in contested:
        groups.setdefault((board.units[ask.unit].spec, ask.want.period), []).append(ask)
    for asks in groups.values():
        if len(asks) == 1 or not _displaced(board, asks, outcome):
            for ask in asks:
                rivals = board.movable_on(ask.unit, ask.want.period)
                if not _displaced(board, [ask], outcome):
                    outcome.miss(ask, as_obstacles(rivals))


def _displaced(board: Board, asks: Sequence[Ask], outcome: Outcome) -> bool:
    """Give the asks (of one spec and period) their units if everybody else can be dealt another."""
    claims = [_claim(board, ask) for ask in asks]
    for claim in claims:
        board.set_down(replace(claim, fixed=True))
    answer = redeal(board, board.units[asks[0].unit].spec, asks[0].want.period)
    for claim in claims:
        board.take_up(claim.id)
    if isinstance(answer, Redeal) or len(asks) == 1:
        for ask in asks:
            outcome.findings[ask.want.booking].proofs.append(answer.proof)
    if not isinstance(answer, Redeal):
        return False
    for claim_id, unit in answer.moves.items():
        board.move(claim_id, unit)
    for claim in claims:
        board.set_down(claim)
    return True
