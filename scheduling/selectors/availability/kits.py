"""Which kits can be had in each window, and what keeps the others."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NotRequired, TypedDict

from django.db.models import Q

from scheduling.promises.decide import BOOK, Obstacle, Occupancy, Period, Snapshot, Want, as_obstacles, decide_bookings
from scheduling.promises.demand import Contents, contents_of
from scheduling.promises.snapshot import read_pool, specs_reallocatable_on

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


@dataclass(frozen=True, slots=True, kw_only=True)
class KitsSeen:
    """What was read about some kits, to be decided on once it is known to be of one version."""

    contents: Mapping[int, Contents]
    windows: Sequence[Period]
    snapshot: Snapshot
    """Of the units in the kits, and of all of a spec where one of them could be moved."""
    in_the_way: Mapping[tuple[int, int], list[Obstacle]]
    """By kit and number of the window."""
    contested: Sequence[tuple[int, int]]
    """Where everything in the way could be moved to another unit."""


def read_kits(kit_ids: Sequence[int], windows: Sequence[Period], now: datetime) -> KitsSeen:
    """Read what decides whether the kits can be had; three statements."""
    contents = contents_of(kit_ids)
    units = {line.unit for found in contents.values() for line in found.needed_items()}
    snapshot = read_pool(Q(pk__in=units) | Q(spec__in=specs_reallocatable_on(units, windows, now)), windows, now)
    occupancy = Occupancy(snapshot)
    in_the_way = {
        (kit, index): _obstacles(occupancy, contents[kit], window)
        for kit in kit_ids
        for index, window in enumerate(windows)
    }
    contested = [key for key, found in in_the_way.items() if found and _may_give_way(occupancy, found, windows[key[1]])]
    return KitsSeen(
        contents=contents,
        windows=windows,
        snapshot=snapshot,
        in_the_way=in_the_way,
        contested=contested,
    )


def kit_answers(seen: KitsSeen) -> dict[int, KitAnswer]:
    """Return for each kit whether booking it in each window would be granted, and if not what is in the way."""
    in_the_way = {**seen.in_the_way, **_after_reallocation(seen)}
    answers = {}
    for kit, contents in seen.contents.items():
        draft = contents.case is None
        found = [in_the_way[kit, index] for index in range(len(seen.windows))]
        answers[kit] = KitAnswer(draft, [_shape(one, seen.snapshot, draft=draft) for one in found])
    return answers


def _obstacles(occupancy: Occupancy, contents: Contents, window: Period) -> list[Obstacle]:
    found: list[Obstacle] = []
    for line in contents.items:
        if line.needed and line.unit is not None and occupancy.is_touched(line.unit):
            found += occupancy.outages(line.unit, window) + as_obstacles(occupancy.firm_on(line.unit, window))
    return found


def _may_give_way(occupancy: Occupancy, found: Sequence[Obstacle], window: Period) -> bool:
    movable = {(claim.unit, claim.booking) for one in found for claim in occupancy.movable_on(one.unit, window)}
    return all((one.unit, one.booking) in movable for one in found)


def _after_reallocation(seen: KitsSeen) -> dict[tuple[int, int], list[Obstacle]]:
    found = {}
    for kit, index in seen.contested:
        lines, period = seen.contents[kit].needed_items(), seen.windows[index]
        want = Want(booking=NOBODY, event=NOBODY, period=period, firm=True, items=lines)
        found[kit, index] = list(decide_bookings(seen.snapshot, [want], BOOK).results[NOBODY].conflicts)
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
