"""A unit in a list: what it is, where it is, who has it, and whether it can be trusted."""

from dataclasses import dataclass

from calc.vocabulary import NOTHING_FOUND
from inventory.models.unit import UnitState
from inventory.selectors.whereabouts import WhereaboutsShape
from web.components.tags import TagModel, tag_model

STATES = {"in-service": "in service", "held-back": "held back", "lost": "lost", "retired": "retired"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Trust:
    """Whether a unit may be relied on, as a severity and in words."""

    severity: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLine:
    id: int
    tag: TagModel
    what: str
    spec: int
    serial: str
    trust: Trust
    condition: str
    owner: str
    where: str
    with_whom: str
    kit: int | None
    kit_name: str
    position: int | None
    position_label: str


def unit_line(unit: WhereaboutsShape) -> UnitLine:
    return UnitLine(
        id=unit["id"],
        tag=tag_model(unit["tag"]),
        what=unit["spec_name"],
        spec=unit["spec"],
        serial=unit["serial"] or "",
        trust=trust(unit),
        condition=unit["condition"],
        owner=unit["owner"],
        where=unit["at"] or "",
        with_whom=unit["with_whom"] or "",
        kit=unit["kit"],
        kit_name=unit["kit_name"] or "",
        position=unit["position"],
        position_label=unit["position_label"] or "",
    )


def trust(unit: WhereaboutsShape) -> Trust:
    """Return whether a unit may be relied on: its state first, then its open faults."""
    if unit["state"] != UnitState.IN_SERVICE:
        return Trust(severity="stop" if unit["state"] == UnitState.HELD_BACK else "note", words=STATES[unit["state"]])
    if unit["open_faults"]:
        return Trust(
            severity="caution",
            words="1 open fault" if unit["open_faults"] == 1 else f"{unit['open_faults']} open faults",
        )
    return Trust(severity=NOTHING_FOUND, words="no open fault")
