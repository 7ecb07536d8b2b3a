"""What is to be written: the difference between what stood and what stands on the board afterwards."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from scheduling.promises.decide.board import Board
from scheduling.promises.decide.terms import ClaimSeen, Lack, ShortfallSeen, Snapshot, Verdict


@dataclass(frozen=True, slots=True)
class Closing:
    shortfall: int
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    add: tuple[ClaimSeen, ...] = ()
    change: tuple[ClaimSeen, ...] = ()
    """Claims as they are to be: other unit, period, position or standing."""
    moved: frozenset[int] = frozenset()
    """Those of them that go to another unit or position."""
    release: tuple[ClaimSeen, ...] = ()
    open: tuple[Lack, ...] = ()
    close: tuple[Closing, ...] = ()
    verdicts: Mapping[int, Verdict] = field(default_factory=dict)
    """Booking → what came out for it."""
    worse_off: frozenset[int] = frozenset()
    """Bookings that lack more than before."""
    outdone: frozenset[int] = frozenset()
    """Bookings that have lost a claim to one that was decided on, and are to be settled in their turn."""


def difference(snapshot: Snapshot, board: Board) -> Decision:
    """Return the claims to add, to change (as they are to be) and to release."""
    before = {claim.id: claim for claim in snapshot.claims}
    add = [claim for claim in board.claims.values() if claim.id < 0]
    change = [claim for claim in board.claims.values() if claim.id in before and claim != before[claim.id]]
    release = [claim for claim in before.values() if claim.id not in board.claims]
    moved = [
        claim.id
        for claim in change
        if (claim.unit, claim.position) != (before[claim.id].unit, before[claim.id].position)
    ]
    return Decision(add=tuple(add), change=tuple(change), moved=frozenset(moved), release=tuple(release))


def openings_and_closings(
    standing: Sequence[ShortfallSeen], lacks: Sequence[Lack], claims: Collection[ClaimSeen]
) -> tuple[list[Lack], list[Closing]]:
    """Return the shortfalls to open and to close, so that the open ones of the bookings are ``lacks``."""
    wanted = list(lacks)
    closing = []
    for shortfall in standing:
        as_lack = _as_lack(shortfall)
        if as_lack in wanted:
            wanted.remove(as_lack)
        else:
            closing.append(shortfall)
    return wanted, [Closing(shortfall.id, _how(shortfall, lacks, claims)) for shortfall in closing]


def worse_off(standing: Sequence[ShortfallSeen], lacks: Sequence[Lack], opening: Sequence[Lack]) -> frozenset[int]:
    """Return the bookings that lack something that they did not lack before, or more of it."""
    before: Counter[int] = Counter()
    after: Counter[int] = Counter()
    for shortfall in standing:
        before[shortfall.booking] += shortfall.quantity
    for lack in lacks:
        after[lack.booking] += lack.quantity
    new = {lack.booking for lack in opening if not any(same_place(shortfall, lack) for shortfall in standing)}
    return frozenset(new | {booking for booking in after if after[booking] > before[booking]})


def _as_lack(shortfall: ShortfallSeen) -> Lack:
    return Lack(
        booking=shortfall.booking,
        spec=shortfall.spec,
        position=shortfall.position,
        unit=shortfall.unit,
        quantity=shortfall.quantity,
        reason=shortfall.reason,
        rival=shortfall.rival,
    )


def _how(shortfall: ShortfallSeen, lacks: Sequence[Lack], claims: Collection[ClaimSeen]) -> str:
    if any(same_place(shortfall, lack) for lack in lacks):
        return "replaced"
    own_claims = [claim for claim in claims if claim.booking == shortfall.booking]
    if shortfall.position is not None:
        filled = any(claim.position == shortfall.position for claim in own_claims)
    else:
        filled = any(claim.dealt or claim.unit == shortfall.unit for claim in own_claims)
    return "filled" if filled else "not-wanted"


def same_place(shortfall: ShortfallSeen, lack: Lack) -> bool:
    """Say whether both are about the same thing of the same booking, for whatever reason it lacks."""
    if shortfall.booking != lack.booking:
        return False
    if shortfall.position is not None:
        return lack.position == shortfall.position
    return lack.position is None and lack.unit == shortfall.unit and lack.spec == shortfall.spec
