"""Which kits can be had in each window, and what keeps the others."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NotRequired, TypedDict

from django.db.models import Q

from scheduling.promises.decide import Board, Obstacle, Period, Snapshot, Want, as_obstacles, settle
from scheduling.promises.demand import Contents, contents_of
from scheduling.promises.snapshot import read_pool

NOBODY = 0
"""The booking and event of a question: no row has that id."""


class ReasonShape(TypedDict):
    """One unit of the kit that cannot be had: promised to a booking, down, or not in the pool for the whole window."""

    unit: int
    tag: str
    booking: NotRequired[int]
    downtime: NotRequired[int]
    reason: NotRequired[str]


class KitWindowShape(TypedDict):
    free: bool
    because: list[ReasonShape]


@dataclass(frozen=True, slots=True)
class KitAnswer:
    draft: bool
    windows: list[KitWindowShape]


def kit_windows(kit_ids: Sequence[int], windows: Sequence[Period], now: datetime) -> dict[int, KitAnswer]:
    """Return for each kit whether booking it in each window would be granted now, and if not what is in the way.

    Four statements; three more where a unit of a kit is dealt to somebody who could be dealt another.
    """
    contents = contents_of(kit_ids)
    units = {line.unit for found in contents.values() for line in found.lines if line.needed and line.unit is not None}
    snapshot = read_pool(Q(pk__in=units), windows, now)
    board = Board(snapshot)
    in_the_way = {
        (kit, index): _obstacles(board, contents[kit], window)
        for kit in kit_ids
        for index, window in enumerate(windows)
    }
    contested = [key for key, found in in_the_way.items() if found and _may_give_way(board, found, windows[key[1]])]
    if contested:
        in_the_way |= _after_dealing_again(contested, contents, snapshot, windows)
    return {
        kit: KitAnswer(
            draft=contents[kit].case is None,
            windows=[
                _shape(in_the_way[kit, index], snapshot, draft=contents[kit].case is None)
                for index in range(len(windows))
            ],
        )
        for kit in kit_ids
    }


def _obstacles(board: Board, contents: Contents, window: Period) -> list[Obstacle]:
    found: list[Obstacle] = []
    for line in contents.lines:
        if line.needed and line.unit is not None and board.is_touched(line.unit):
            found += board.outages(line.unit, window) + as_obstacles(board.firm_on(line.unit, window))
    return found


def _may_give_way(board: Board, found: Sequence[Obstacle], window: Period) -> bool:
    movable = {(claim.unit, claim.booking) for one in found for claim in board.movable_on(one.unit, window)}
    return all((one.unit, one.booking) in movable for one in found)


def _after_dealing_again(
    contested: Sequence[tuple[int, int]],
    contents: Mapping[int, Contents],
    known: Snapshot,
    windows: Sequence[Period],
) -> dict[tuple[int, int], list[Obstacle]]:
    specs = {claim.unit for claim in known.claims if claim.firm and not claim.fixed}
    named = set(known.units)
    snapshot = read_pool(Q(pk__in=named) | Q(spec__in={known.units[unit].spec for unit in specs}), windows, known.now)
    found = {}
    for kit, index in contested:
        want = Want(booking=NOBODY, event=NOBODY, period=windows[index], firm=True, lines=contents[kit].needed_lines())
        found[kit, index] = list(settle(snapshot, [want]).verdicts[NOBODY].conflicts)
    return found


def _shape(found: Sequence[Obstacle], snapshot: Snapshot, *, draft: bool) -> KitWindowShape:
    reasons: dict[tuple[int, int | None, int | None], ReasonShape] = {}
    for obstacle in found:
        reason: ReasonShape = {"unit": obstacle.unit, "tag": snapshot.units[obstacle.unit].tag}
        if obstacle.booking is not None:
            reason["booking"] = obstacle.booking
        elif obstacle.downtime is not None:
            reason["downtime"] = obstacle.downtime
        else:
            reason["reason"] = obstacle.reason
        reasons[obstacle.unit, obstacle.booking, obstacle.downtime] = reason
    return {"free": not reasons and not draft, "because": list(reasons.values())}
