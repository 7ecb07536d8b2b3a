"""What is to be written: the difference between the snapshot and the occupancy afterwards."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from scheduling.promises.decide.occupancy import Occupancy
from scheduling.promises.decide.terms import BookingResult, ClaimRow, ShortfallDraft, ShortfallRow, Snapshot


@dataclass(frozen=True, slots=True)
class Closing:
    shortfall: int
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    add: tuple[ClaimRow, ...] = ()
    change: tuple[ClaimRow, ...] = ()
    """Claims as they are to be: other unit, period, position or standing."""
    moved: frozenset[int] = frozenset()
    """Those of them that go to another unit or position."""
    release: tuple[ClaimRow, ...] = ()
    freed: frozenset[int] = frozenset()
    """Units of which a firm claim has gone, for all of its time or a part of it."""
    open: tuple[ShortfallDraft, ...] = ()
    close: tuple[Closing, ...] = ()
    results: Mapping[int, BookingResult] = field(default_factory=dict)
    """By booking."""
    worse_off: frozenset[int] = frozenset()
    """Bookings that lack more than before."""
    displaced: frozenset[int] = frozenset()
    """Bookings that have lost a claim to a decided one; they are to be decided next."""


def difference(snapshot: Snapshot, occupancy: Occupancy) -> Decision:
    """Return the claims to add, to change (as they are to be) and to release."""
    before = {claim.id: claim for claim in snapshot.claims}
    add = [claim for claim in occupancy.claims.values() if claim.id < 0]
    change = [claim for claim in occupancy.claims.values() if claim.id in before and claim != before[claim.id]]
    release = [claim for claim in before.values() if claim.id not in occupancy.claims]
    moved = [
        claim.id
        for claim in change
        if (claim.unit, claim.position) != (before[claim.id].unit, before[claim.id].position)
    ]
    shrunk = [before[claim.id] for claim in change if before[claim.id].firm and not _covers(claim, before[claim.id])]
    freed = frozenset(claim.unit for claim in [*release, *shrunk] if claim.firm)
    return Decision(add=tuple(add), change=tuple(change), moved=frozenset(moved), release=tuple(release), freed=freed)


def _covers(claim: ClaimRow, other: ClaimRow) -> bool:
    """Say whether a claim firmly holds the unit of another one for all of its time."""
    starts_in_time = claim.period.starts_at <= other.period.starts_at
    return claim.firm and claim.unit == other.unit and starts_in_time and claim.period.ends_at >= other.period.ends_at


def openings_and_closings(
    existing: Sequence[ShortfallRow], shortfalls: Sequence[ShortfallDraft], claims: Collection[ClaimRow]
) -> tuple[list[ShortfallDraft], list[Closing]]:
    """Return the shortfalls to open and to close, so that the open ones of the bookings are ``shortfalls``."""
    wanted = list(shortfalls)
    closing = []
    for shortfall in existing:
        draft = shortfall.as_draft()
        if draft in wanted:
            wanted.remove(draft)
        else:
            closing.append(shortfall)
    return wanted, [Closing(shortfall.id, _how(shortfall, shortfalls, claims)) for shortfall in closing]


def worse_off(
    existing: Sequence[ShortfallRow], shortfalls: Sequence[ShortfallDraft], opening: Sequence[ShortfallDraft]
) -> frozenset[int]:
    """Return the bookings that lack something that they did not lack before, or more of it."""
    before: Counter[int] = Counter()
    after: Counter[int] = Counter()
    for shortfall in existing:
        before[shortfall.booking] += shortfall.quantity
    for draft in shortfalls:
        after[draft.booking] += draft.quantity
    new = {draft.booking for draft in opening if not any(same_place(shortfall, draft) for shortfall in existing)}
    return frozenset(new | {booking for booking in after if after[booking] > before[booking]})


def _how(shortfall: ShortfallRow, shortfalls: Sequence[ShortfallDraft], claims: Collection[ClaimRow]) -> str:
    if any(same_place(shortfall, draft) for draft in shortfalls):
        return "replaced"
    own_claims = [claim for claim in claims if claim.booking == shortfall.booking and not claim.stray]
    if shortfall.position is not None:
        filled = any(claim.position == shortfall.position for claim in own_claims)
    else:
        filled = any(claim.allocated or claim.unit == shortfall.unit for claim in own_claims)
    return "filled" if filled else "not-wanted"


def same_place(shortfall: ShortfallRow, draft: ShortfallDraft) -> bool:
    """Say whether both are about the same thing of the same booking, for whatever reason it is missing."""
    if (shortfall.booking, shortfall.claim) != (draft.booking, draft.claim):
        return False
    if shortfall.position is not None:
        return draft.position == shortfall.position
    return draft.position is None and draft.unit == shortfall.unit and draft.spec == shortfall.spec
