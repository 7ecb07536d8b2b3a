"""What is in a kit, position by position: what is planned, what is packed, what the findings say of it."""

from collections import defaultdict
from dataclasses import dataclass

from calc.rig.kit import Kit, Position
from inventory.selectors.checks import FindingShape
from web.components.findings import in_two
from web.components.tags import TagModel, tag_model

STATES = {"held-back": "held back", "lost": "lost", "retired": "retired"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A finding about a position, in its row."""

    severity: str
    words: str
    finding: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentsRow:
    """One position."""

    id: int
    label: str
    role: str
    spec: str
    unit: int | None
    tag: TagModel | None
    other_spec: str
    """The spec of the unit, where it is not the planned one."""
    state: str
    damage: str
    said: tuple[Said, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    rows: tuple[ContentsRow, ...]
    required: int
    filled: int
    """How many of the required positions hold a unit."""


def contents(kit: Kit, findings: list[FindingShape]) -> Contents:
    """Return the contents of a kit, in the order of its positions."""
    said: dict[int, list[Said]] = defaultdict(list)
    for finding in findings:
        position = finding["subject"]["position"]
        if position is not None:
            said[position].append(
                Said(severity=finding["severity"], words=in_two(finding["message"])[0], finding=finding["id"])
            )
    rows = tuple(_row(position, said[position.id]) for position in kit.positions)
    required = [position for position in kit.positions if position.role in {"case", "required"}]
    return Contents(rows=rows, required=len(required), filled=sum(position.unit is not None for position in required))


def _row(position: Position, said: list[Said]) -> ContentsRow:
    unit = position.unit
    other = unit is not None and unit.spec.id != position.spec.id
    return ContentsRow(
        id=position.id,
        label=position.label,
        role=position.role,
        spec=position.spec.name,
        unit=unit.id if unit is not None else None,
        tag=tag_model(unit.tag) if unit is not None else None,
        other_spec=unit.spec.name if unit is not None and other else "",
        state="empty" if unit is None else STATES.get(unit.state, ""),
        damage=""
        if unit is None
        else ", ".join(f"{port}: {', '.join(sorted(kinds))}" for port, kinds in sorted(unit.damage.items())),
        said=tuple(said[:3]),
    )
