"""Is it there, and is it what was planned?"""

from collections.abc import Iterator

from calc.checks.drafts import Draft
from calc.checks.findings import Subject
from calc.checks.registry import check
from calc.wiring import Wired

NEEDED_ROLES = ("case", "required")


@check("position-empty", ("stop", "note"), "—")
def position_empty(wired: Wired) -> Iterator[Draft]:
    """Nothing is in the position: stop where it is required, a note for a spare or an optional one."""
    for position in wired.empty.values():
        if position.role in NEEDED_ROLES:
            message = f"Put a {position.spec.name} in position {wired.paths[position.id]}: it is empty."
            severity = "stop"
        else:
            message = f"Position {wired.paths[position.id]} ({position.role}) is empty: pack a {position.spec.name}."
            severity = "note"
        yield Draft(subject=Subject(position=position.id, label=position.label), severity=severity, message=message)
