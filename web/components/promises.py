"""Who counts on a unit, and what is lacking, in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from calc.vocabulary import NOTHING_FOUND
from scheduling.models import BookingState
from scheduling.promises.alternatives import KitAlternative, UnitAlternative
from scheduling.selectors.promises import AnsweredShortfallShape, LiveShortfallShape, PromiseShape
from web.components.in_the_way import REASONS
from web.components.tags import TagModel, tag_model

TRAVELS_ALONG = frozenset({"spare", "optional"})
"""Roles of positions without which a kit still does its work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseLine:
    event: int
    event_name: str
    kit: int | None
    kit_name: str
    starts_at: datetime
    severity: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StandIn:
    unit: int
    tag: TagModel
    name: str
    packed_in: int | None
    button: str
    """Empty where it cannot be taken as it is: what is packed elsewhere takes no place in a kit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherKit:
    """A whole kit that could go in place of another."""

    kit: int
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LackLine:
    shortfall: int
    booking: int
    event: int
    event_name: str
    kit: int | None
    kit_name: str
    starts_at: datetime
    severity: str
    words: str
    """``short 1``."""
    lacking: str
    """``Mains adapter T0012, for the power case``."""
    reason: str
    stand_ins: tuple[StandIn, ...] = ()
    more: int = 0
    """How many more are free."""
    counted: bool = False
    in_kit: bool = False
    """It is a place of a kit that lacks a unit."""
    """A number of a spec is short: it is dealt again, no unit stands in by name."""
    kits: tuple[OtherKit, ...] = ()


MOST_STAND_INS = 4


def promise_lines(promises: Sequence[PromiseShape]) -> tuple[PromiseLine, ...]:
    return tuple(promise_line(promise) for promise in promises)


def promise_line(promise: PromiseShape) -> PromiseLine:
    severity, words = NOTHING_FOUND, "promised"
    if promise["lacking"]:
        severity, words = "stop", "has to do without it"
    elif promise["state"] == BookingState.PENCIL:
        severity, words = "note", "pencilled"
    return PromiseLine(
        event=promise["event"],
        event_name=promise["event_name"],
        kit=promise["kit"],
        kit_name=promise["kit_name"] or "",
        starts_at=promise["starts_at"],
        severity=severity,
        words=words,
    )


def lack_line(
    lack: LiveShortfallShape, stand_ins: Sequence[UnitAlternative] = (), kits: Sequence[KitAlternative] = ()
) -> LackLine:
    spare = lack["role"] in TRAVELS_ALONG
    number = f"{lack['quantity']} of {lack['spec_name']}" if lack["quantity"] > 1 else lack["spec_name"]
    tag = f" {lack['tag']}" if lack["tag"] else ""
    place = f", {lack['position_label']} of {lack['kit_name']}" if lack["position_label"] else ""
    return LackLine(
        shortfall=lack["shortfall"],
        booking=lack["booking"],
        event=lack["event"],
        event_name=lack["event_name"],
        kit=lack["kit"],
        kit_name=lack["kit_name"] or "",
        starts_at=lack["starts_at"],
        severity="caution" if spare or lack["state"] == BookingState.PENCIL else "stop",
        words=f"{lack['role']} missing" if spare else f"short {lack['quantity']}",
        lacking=f"{number}{tag}{place}",
        reason=REASONS[lack["reason"]],
        stand_ins=tuple(_stand_in(lack, unit) for unit in stand_ins[:MOST_STAND_INS]),
        more=max(len(stand_ins) - MOST_STAND_INS, 0),
        counted=lack["counted"],
        in_kit=lack["position"] is not None,
        kits=tuple(OtherKit(kit=each["kit"], name=each["name"]) for each in kits),
    )


def _stand_in(lack: LiveShortfallShape, unit: UnitAlternative) -> StandIn:
    takes_it = not lack["counted"] and (lack["position"] is None or unit["packed_in"] is None)
    return StandIn(
        unit=unit["unit"],
        tag=tag_model(unit["tag"]),
        name=unit["name"],
        packed_in=unit["packed_in"],
        button=f"Take {unit['tag']} instead" if takes_it else "",
    )


def hurt_lines(hurt: Sequence[AnsweredShortfallShape]) -> tuple[LackLine, ...]:
    return tuple(lack_line(lack, lack["alternatives"], lack["kits"]) for lack in hurt)
