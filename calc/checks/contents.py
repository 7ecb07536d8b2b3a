"""Is it there, and is it what was planned?"""

import re
from collections.abc import Iterator

from calc.checking.drafts import Draft
from calc.checking.registry import check
from calc.rig.inputs import Input
from calc.rig.subjects import Subject, about
from calc.rig.wiring import Wired

LIST = "the kit's own packing list"
NEEDED_ROLES = ("case", "required")
AN_BEFORE = re.compile(r"8|1[18]\b|[AEFHILMNORSX][A-Z0-9]|(?i:(?!uni|us[ae]|eu|one\b)[aeiou])[a-z]")
"""How a name begins that is spoken with a vowel first; letters in capitals are spoken one by one."""
BY_ROLE = {"case": "stop", "required": "stop", "optional": "caution", "spare": "note"}


@check("position-empty", ("stop", "note"), LIST, of_units=True)
def position_empty(wired: Wired) -> Iterator[Draft]:
    """Nothing is in the position: stop where it is required, a note for a spare or an optional one."""
    for position in wired.empty.values():
        if position.unit is not None:
            continue  # lost or retired: unit-out says so
        needed = position.role in NEEDED_ROLES
        message = f"Pack {_with_article(position.spec.name)} into {wired.paths[position.id]}: it is empty."
        yield Draft(
            subject=Subject(position=position.id, label=position.label),
            severity="stop" if needed else "note",
            message=message,
        )


@check("spec-differs", ("stop", "note"), LIST, of_units=True)
def spec_differs(wired: Wired) -> Iterator[Draft]:
    """Another spec is in the position than planned: stop where it is required and may not stand in, else a note."""
    for place in wired.places.values():
        planned, packed = place.position.spec, place.spec
        if packed.id == planned.id:
            continue
        may_stand_in = packed.id in place.position.accepts
        needed = place.position.role in NEEDED_ROLES
        yield Draft(
            subject=about(place),
            severity="stop" if needed and not may_stand_in else "note",
            message=f"{place.path} holds {_with_article(packed.name)} instead of {_with_article(planned.name)}"
            + (", which may stand in." if may_stand_in else ": put the planned one in, or let this one stand in."),
            inputs=(Input(name="planned", value=planned.name), Input(name="packed", value=packed.name)),
        )


OUT_WORDS = {"held-back": "is held back", "lost": "is lost", "retired": "is retired"}


@check("unit-out", ("stop", "caution", "note"), LIST, of_units=True)
def unit_out(wired: Wired) -> Iterator[Draft]:
    """A unit in the kit may not go out: stop where it is required, caution where optional, a note for a spare."""
    for position in wired.positions():
        unit = position.unit
        if unit is None or unit.state not in OUT_WORDS or wired.view != "packed":
            continue
        yield Draft(
            subject=Subject(position=position.id, label=position.label),
            severity=BY_ROLE[position.role],
            message=f"Replace {unit.tag} in {wired.paths[position.id]}: it {OUT_WORDS[unit.state]}.",
            inputs=(Input(name="unit", value=unit.tag), Input(name="state", value=unit.state)),
        )


@check("inspection-due", ("caution", "note"), "company's own interval; HSE INDG236", of_units=True)
def inspection_due(wired: Wired) -> Iterator[Draft]:
    """The date by which a unit must be tested again has passed; a note for a spare."""
    for place in wired.places.values():
        due = place.unit.inspection_due_at if place.unit else None
        if place.unit is None or due is None or due > wired.as_of:
            continue
        yield Draft(
            subject=about(place),
            severity="note" if place.is_spare else "caution",
            message=f"Test {place.unit.tag} in {place.path} again: it was due on {due:%Y-%m-%d}.",
            inputs=(Input(name="unit", value=place.unit.tag), Input(name="due", value=due.isoformat())),
        )


@check("test-failed", ("stop", "caution", "note"), "in-service inspection code of practice", of_units=True)
def test_failed(wired: Wired) -> Iterator[Draft]:
    """The newest inspection of a unit failed: stop where it is required, caution where optional, a note for a spare."""
    for place in wired.places.values():
        if place.unit is None or not place.unit.failed_inspection:
            continue
        yield Draft(
            subject=about(place),
            severity=BY_ROLE[place.position.role],
            message=f"Take {place.unit.tag} out of {place.path}: it failed its newest inspection.",
            inputs=(Input(name="unit", value=place.unit.tag),),
        )


def _with_article(name: str) -> str:
    """Return a name behind its article: ``an Injector``, ``an SDI lead``, ``a USB hub``."""
    return f"{'an' if AN_BEFORE.match(name) else 'a'} {name}"
