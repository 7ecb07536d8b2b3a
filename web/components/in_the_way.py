"""Why something cannot be booked, with what could be taken instead: everything at once, each with one button."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from inventory.base.errors import DomainError
from scheduling.selectors.in_the_way import DownShape, RivalShape
from web.components.spans import span
from web.components.tags import TagModel, tag_model

CAUSES = {
    "fault": "broken",
    "repair": "at the bench",
    "lost": "lost",
    "late": "not back yet",
    "inspection": "failed a test",
    "lent": "lent",
    "other": "held back",
}
REASONS = {
    "conflict": "promised elsewhere",
    "held-back": "held back",
    "late": "not back yet",
    "empty-position": "nothing is packed there",
    "out-of-pool": "not in the pool for all of that time",
    "not-enough": "not enough of them",
    "taken-on-site": "taken on site",
}
FIRST_UNITS = 8
"""How many units are named for each thing that is in the way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """One thing in the way, with every unit that it keeps."""

    units: tuple[tuple[int, TagModel], ...]
    words: str
    event: int | None
    event_name: str
    wants: str
    """``wants 4, 2 short`` of whoever has it; empty where it wants no number."""
    whose: str
    """``with Power case, booked by ada``; empty where it is nobody's."""
    when: str

    @property
    def shown(self) -> tuple[tuple[int, TagModel], ...]:
        """The units that are named."""
        return self.units[:FIRST_UNITS]

    @property
    def more(self) -> int:
        return len(self.units) - len(self.shown)


@dataclass(frozen=True, slots=True, kw_only=True)
class Instead:
    """Something that could be taken: what the button sends, and what it says."""

    value: str
    button: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InTheWay:
    obstacles: tuple[Obstacle, ...]
    instead: tuple[Instead, ...]
    beside: tuple[Instead, ...]
    """Units that could stand in for single ones of a kit, after it is booked with what it lacks."""
    bookable: int | None
    wanted: str
    """``wants 4, 2 short`` of what was asked for; empty where that is no number."""
    rivals: str
    """The bookings that have what is wanted, as a form sends them: ``12,15``."""


def in_the_way(
    error: DomainError,
    others: Mapping[int, RivalShape],
    downs: Mapping[int, DownShape],
    *,
    wants: str,
    quantity: int | None,
) -> InTheWay:
    """Return a refusal to be drawn.

    Args:
        error: What a service raised.
        others: The bookings that it lists.
        downs: Why units that it lists are down.
        wants: ``kit``, ``unit`` or ``spec``: what was to be booked; only like is taken instead of like.
        quantity: How many of a spec were to be booked.
    """
    members: Any = error.members
    alternatives = [_instead(each) for each in members.get("alternatives", ())]
    like = [each for each in alternatives if each.value.startswith(wants)]
    return InTheWay(
        obstacles=_together([_obstacle(each, others, downs) for each in members.get("conflicts", ())]),
        instead=tuple(like),
        beside=tuple(each for each in alternatives if each not in like),
        bookable=members.get("bookable"),
        rivals=",".join(str(booking) for booking in sorted(ids_in(error)[0])),
        wanted=_wants(quantity, (quantity or 0) - members.get("bookable", 0)),
    )


def _wants(quantity: int | None, short: int) -> str:
    if quantity is None:
        return ""
    return f"wants {quantity}, {short} short" if short > 0 else f"wants {quantity}"


def ids_in(error: DomainError) -> tuple[set[int], set[int]]:
    """Return the bookings and the downtimes that a refusal names."""
    conflicts: Any = error.members.get("conflicts", ())
    return (
        {each["booking"] for each in conflicts if "booking" in each},
        {each["downtime"] for each in conflicts if "downtime" in each},
    )


def _obstacle(conflict: Any, others: Mapping[int, RivalShape], downs: Mapping[int, DownShape]) -> Obstacle:
    rival = others.get(conflict.get("booking", 0))
    return Obstacle(
        units=((conflict["unit"], tag_model(conflict["tag"])),),
        words=_why(conflict, downs) if rival is None else "promised to",
        event=None if rival is None else rival["event"],
        event_name="" if rival is None else rival["name"],
        wants="" if rival is None else _wants(rival["wants"], rival["short"]),
        whose="" if rival is None else _whose(rival),
        when=span(conflict["starts_at"], conflict["ends_at"]),
    )


def _whose(rival: RivalShape) -> str:
    kit = f"with {rival['kit_name']}" if rival["kit_name"] else ""
    booker = f"booked by {rival['booker']}" if rival["booker"] else ""
    return ", ".join(part for part in (kit, booker) if part)


def _together(obstacles: Sequence[Obstacle]) -> tuple[Obstacle, ...]:
    """Return obstacles with those that differ by the unit only put into one."""
    found: dict[Obstacle, tuple[tuple[int, TagModel], ...]] = {}
    for each in obstacles:
        alike = replace(each, units=())
        found[alike] = found.get(alike, ()) + each.units
    return tuple(replace(alike, units=units) for alike, units in found.items())


def _why(conflict: Any, downs: Mapping[int, DownShape]) -> str:
    down = downs.get(conflict.get("downtime", 0))
    if down is None:
        return REASONS[conflict["reason"]]
    return cause(down["cause"], down["note"])


def cause(name: str, note: str) -> str:
    """Return why a unit is down, with what somebody wrote about it."""
    return f"{CAUSES.get(name, name)}: {note}" if note else CAUSES.get(name, name)


def _instead(alternative: Any) -> Instead:
    if "kit" in alternative:
        differs = ", ".join(alternative["differs"]) or "the same in all that it needs"
        return Instead(value=f"kit-{alternative['kit']}", button=f"Take {alternative['name']} instead", words=differs)
    return Instead(
        value=f"unit-{alternative['unit']}",
        button=f"Take {alternative['tag']} instead",
        words=alternative["name"] + (", packed in a kit" if alternative["packed_in"] is not None else ", loose"),
    )


def stand_ins(alternatives: Sequence[Any], *, most: int) -> tuple[Instead, ...]:
    """Return the first few units that could stand in."""
    return tuple(_instead(each) for each in alternatives[:most])
