"""Who counts on a unit, and what is lacking, in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from calc.vocabulary import NOTHING_FOUND
from scheduling.promises.alternatives import UnitAlternative
from scheduling.selectors.promises import HurtShape, LackShape, PromiseShape
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


@dataclass(frozen=True, slots=True, kw_only=True)
class LackLine:
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


def promise_lines(promises: Sequence[PromiseShape]) -> tuple[PromiseLine, ...]:
    return tuple(promise_line(promise) for promise in promises)


def promise_line(promise: PromiseShape) -> PromiseLine:
    severity, words = NOTHING_FOUND, "promised"
    if promise["lacking"]:
        severity, words = "stop", "has to do without it"
    elif promise["state"] == "pencil":
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


def lack_line(lack: LackShape, stand_ins: Sequence[UnitAlternative] = ()) -> LackLine:
    spare = lack["role"] in TRAVELS_ALONG
    number = f"{lack['quantity']} of {lack['spec_name']}" if lack["quantity"] > 1 else lack["spec_name"]
    tag = f" {lack['tag']}" if lack["tag"] else ""
    place = f", {lack['position_label']} of {lack['kit_name']}" if lack["position_label"] else ""
    return LackLine(
        event=lack["event"],
        event_name=lack["event_name"],
        kit=lack["kit"],
        kit_name=lack["kit_name"] or "",
        starts_at=lack["starts_at"],
        severity="caution" if spare or lack["state"] == "pencil" else "stop",
        words=f"{lack['role']} missing" if spare else f"short {lack['quantity']}",
        lacking=f"{number}{tag}{place}",
        reason=REASONS[lack["reason"]],
        stand_ins=tuple(
            StandIn(unit=unit["unit"], tag=tag_model(unit["tag"]), name=unit["name"], packed_in=unit["packed_in"])
            for unit in stand_ins
        ),
    )


def hurt_lines(hurt: Sequence[HurtShape]) -> tuple[LackLine, ...]:
    return tuple(lack_line(lack, lack["alternatives"]) for lack in hurt)
