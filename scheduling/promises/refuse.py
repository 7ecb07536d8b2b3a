"""A refusal that helps: everything that is in the way, at once, and what could be taken instead."""

from collections.abc import Sequence
from datetime import datetime
from typing import NotRequired, TypedDict

from inventory.base.errors import DomainError
from scheduling.errors import ClaimConflictError, ClaimUndecidedError, NotEnoughError
from scheduling.models import Booking
from scheduling.promises.alternatives import Alternative, Gap, Missed, alternatives
from scheduling.promises.decide import Decision, Obstacle, Period, Snapshot


class ConflictShape(TypedDict):
    """One thing in the way: somebody's claim on a unit, or a downtime of it."""

    unit: int
    tag: str
    booking: NotRequired[int]
    event: NotRequired[int]
    downtime: NotRequired[int]
    line: NotRequired[int]
    """In place of booking and event: the number of the line of the same request that it went to."""
    reason: str
    starts_at: datetime
    ends_at: datetime | None


def refusal(decision: Decision, snapshot: Snapshot, refused: Sequence[Booking]) -> DomainError:
    """Return the problem that says why these bookings cannot be had as they are wanted."""
    results = [decision.results[booking.pk] for booking in refused]
    conflicts = conflict_shapes([found for result in results for found in result.conflicts], snapshot)
    members: dict[str, object] = {"conflicts": conflicts}
    if len(refused) == 1 and results[0].bookable is not None:
        members["bookable"] = results[0].bookable
    if all(result.proof == "undecided" for result in results):
        return ClaimUndecidedError("The search ended without a proof either way.", **members)
    found = alternatives(missed_by(decision, refused), snapshot.now)
    members["alternatives"] = _each_once(found)
    if any("booking" in conflict or "downtime" in conflict for conflict in conflicts):
        return ClaimConflictError(_in_the_way(conflicts), **members)
    members.setdefault("bookable", 0)
    return NotEnoughError(_not_enough(members["bookable"], conflicts), **members)


def _each_once(lists: Sequence[Sequence[Alternative]]) -> list[Alternative]:
    found: list[Alternative] = []
    for one in lists:
        found += [alternative for alternative in one if alternative not in found]
    return found


def missed_by(decision: Decision, bookings: Sequence[Booking]) -> list[Missed]:
    """Return what each booking misses by the decision."""
    missed = []
    for booking in bookings:
        period = Period(booking.starts_at, booking.ends_at)
        gaps = [Gap(draft.spec, draft.position, period) for draft in decision.open if draft.booking == booking.pk]
        missed.append(Missed(list(dict.fromkeys(gaps)), period, booking.kit_id))
    return missed


def conflict_shapes(obstacles: Sequence[Obstacle], snapshot: Snapshot) -> list[ConflictShape]:
    """Return each obstacle once, by tag and time."""
    distinct = sorted(
        dict.fromkeys(obstacles),
        key=lambda found: (snapshot.units[found.unit].tag, found.starts_at, found.booking or 0),
    )
    return [_shape(obstacle, snapshot) for obstacle in distinct]


def _shape(obstacle: Obstacle, snapshot: Snapshot) -> ConflictShape:
    shape: ConflictShape = {
        "unit": obstacle.unit,
        "tag": snapshot.units[obstacle.unit].tag,
        "reason": obstacle.reason,
        "starts_at": obstacle.starts_at,
        "ends_at": obstacle.ends_at,
    }
    if obstacle.booking is not None and obstacle.event is not None:
        shape |= {"booking": obstacle.booking, "event": obstacle.event}
    elif obstacle.downtime is not None:
        shape["downtime"] = obstacle.downtime
    return shape


def _in_the_way(conflicts: Sequence[ConflictShape]) -> str:
    tags = list(dict.fromkeys(conflict["tag"] for conflict in conflicts))
    named = ", ".join(tags[:5]) + (f" and {len(tags) - 5} more" if len(tags) > 5 else "")
    return f"Promised to others or held back at that time: {named}."


def _not_enough(bookable: object, conflicts: Sequence[ConflictShape]) -> str:
    if conflicts:
        return f"Not in the pool for the whole of that time: {', '.join(conflict['tag'] for conflict in conflicts)}."
    return f"{bookable} can be booked for that time."
