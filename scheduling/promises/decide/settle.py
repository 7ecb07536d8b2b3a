"""One way to settle what bookings get, behind every verb.

A booking's own claims are lifted, what it wants is given as far as it can be had, and what cannot be had is lacking:
what a live booking wants = its claims + its open shortfalls, whatever the verb. Booking, confirming and extending
refuse where something needed is lacking; a fault or another content of a kit cannot be refused and leaves shortfalls.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from scheduling.promises.decide.board import Board
from scheduling.promises.decide.dealt import deal_out
from scheduling.promises.decide.decision import Closing, Decision, difference, openings_and_closings, worse_off
from scheduling.promises.decide.named import asks_of, give_named
from scheduling.promises.decide.outcome import Outcome
from scheduling.promises.decide.terms import ClaimSeen, Lack, Line, Snapshot, Want


def settle(snapshot: Snapshot, wants: Sequence[Want], *, together: bool = False, pushing: bool = False) -> Decision:
    """Decide what each booking gets.

    Args:
        snapshot: What stands, with the bookings' own claims and open shortfalls.
        wants: What the bookings want now; one that comes earlier is served earlier.
        together: Lift all of them first, as when an event moves; else one after the other, each keeping clear of what
            the rest has.
        pushing: What a booking has already it keeps, at the cost of whoever else is promised it.
    """
    board = Board(snapshot)
    outcome = Outcome()
    for group in [list(wants)] if together else [[want] for want in wants]:
        _serve(board, snapshot, group, outcome, pushing=pushing)
    return _decision(snapshot, board, wants, outcome)


def give_up(snapshot: Snapshot, bookings: Iterable[int]) -> Decision:
    """Decide what is released and closed when bookings are cancelled."""
    gone = set(bookings)
    return Decision(
        release=tuple(claim for claim in snapshot.claims if claim.booking in gone),
        close=tuple(Closing(item.id, "cancelled") for item in snapshot.shortfalls if item.booking in gone),
    )


def _serve(board: Board, snapshot: Snapshot, group: Sequence[Want], outcome: Outcome, *, pushing: bool) -> None:
    lifted = {want.booking: board.take_up_all_of(want.booking) for want in group}
    _give(board, snapshot, [want for want in group if want.firm], lifted, outcome, pushing=pushing)
    for want in group:
        if not want.firm:
            _pencil_in(board, snapshot, want, lifted, outcome)


def _pencil_in(
    board: Board, snapshot: Snapshot, want: Want, lifted: Mapping[int, Sequence[ClaimSeen]], outcome: Outcome
) -> None:
    """Judge a pencil as if it were firm, on a board of its own: it has to know of a way, but it moves nobody."""
    trial = board.copy()
    _give(trial, snapshot, [replace(want, firm=True)], lifted, outcome, pushing=False)
    for claim in trial.claims.values():
        if claim.booking == want.booking:
            board.set_down(replace(claim, firm=False))


def _give(
    board: Board,
    snapshot: Snapshot,
    group: Sequence[Want],
    lifted: Mapping[int, Sequence[ClaimSeen]],
    outcome: Outcome,
    *,
    pushing: bool,
) -> None:
    missed = {want.booking: [item for item in snapshot.shortfalls if item.booking == want.booking] for want in group}
    asks = [ask for want in group for ask in asks_of(want, lifted[want.booking], missed[want.booking])]
    give_named(board, asks, outcome, pushing=pushing)
    for want in group:
        outcome.lacks += [_empty(want, line) for line in want.lines if line.unit is None]
        deal_out(board, want, lifted[want.booking], missed[want.booking], outcome)


def _empty(want: Want, line: Line) -> Lack:
    return Lack(booking=want.booking, spec=line.spec, position=line.position, reason="empty-position")


def _decision(snapshot: Snapshot, board: Board, wants: Sequence[Want], outcome: Outcome) -> Decision:
    decided = {want.booking for want in wants}
    standing = [item for item in snapshot.shortfalls if item.booking in decided]
    opening, closing = openings_and_closings(standing, outcome.lacks, list(board.claims.values()))
    return replace(
        difference(snapshot, board),
        open=tuple(opening),
        close=tuple(closing),
        verdicts={want.booking: outcome.findings[want.booking].verdict() for want in wants},
        worse_off=worse_off(standing, outcome.lacks, opening),
        outdone=frozenset(claim.booking for claim in outcome.pushed),
    )
