"""A finding as a row that opens its arithmetic: every number it rests on, the margin, the source."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from inventory.checks.acceptance import verb_to_accept
from inventory.selectors.checks import FindingShape
from web.components.bars import Bar, bar, settled_by
from web.components.numbers import named_fact, with_unit
from web.components.port_words import Told, plainly
from web.components.ranges import decides, margin_words, value_words

ORIGINS = {
    "measured": "measured",
    "label": "from labels",
    "data sheet": "from data sheets",
    "assumed": "assumed",
    "unknown": "not known",
}
VIEWS = {"design": "as planned", "packed": "as packed"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One line of the arithmetic."""

    thing: str
    fact: str
    value: str
    is_number: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    name: str
    reason: str
    at: datetime
    until: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding, as its row shows it."""

    id: int
    code: str
    severity: str
    move: str
    """What to do, or the whole sentence where it has one part."""
    because: str
    bar: Bar | None
    value: str
    limit: str
    margin: str
    inputs: tuple[Input, ...]
    source: str
    basis: str
    seen: str
    """In which views it holds."""
    unlocks: str
    typed_at: str = ""
    """The form that takes it; empty where the reader may not, or the list of numbers says where."""
    position: int | None
    """For the way to the wiring drawing."""
    accepted: Accepted | None
    accept_verb: str = "finding.accept"
    """What a role must permit so that somebody may accept it."""
    several: tuple["Finding", ...] = ()
    """Those that were put into this one."""


def findings(
    shapes: Sequence[FindingShape], typed_at: Callable[[FindingShape], str] = lambda _: "", told: Told = plainly
) -> tuple[Finding, ...]:
    """Return findings in the order given: worst first; ``typed_at`` says where what settles one is typed."""
    return tuple(_finding(shape, typed_at(shape), told) for shape in shapes)


GATHERED = {"position-empty": "places are empty"}
"""Code → what several findings of it are together."""
LEAST_GATHERED = 3


def gathered(found: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return findings in their order, with those put into one that say the same of one place each."""
    alike: dict[tuple[str, str], list[Finding]] = {}
    for finding in found:
        if finding.code in GATHERED and not finding.accepted:
            alike.setdefault((finding.code, finding.severity), []).append(finding)
    shown = []
    for finding in found:
        several = alike.get((finding.code, finding.severity), []) if not finding.accepted else []
        if len(several) < LEAST_GATHERED:
            shown.append(finding)
        elif finding is several[0]:
            words = f"{len(several)} {GATHERED[finding.code]}."
            shown.append(
                replace(
                    finding,
                    move=words,
                    because="Pack them, or remove the places.",
                    position=None,
                    several=tuple(several),
                )
            )
    return tuple(shown)


def in_two(message: str) -> tuple[str, str]:
    """Return the move and the reason of a message; messages are written as ``move: reason``."""
    move, colon, because = message.partition(": ")
    if not colon:
        return message, ""
    return f"{move}.", because[:1].upper() + because[1:]


def _finding(shape: FindingShape, typed_at: str, told: Told) -> Finding:
    unit = shape["unit"] or ""
    move, because = in_two(shape["message"])
    drawn = bar(value=shape["value"], limit=shape["limit"], unit=unit, at_least=shape["at_least"], ends=shape["range"])
    if shape["severity"] == "unknown":
        drawn = settled_by(drawn, decides(shape["unlocks"], shape["subject"]["label"]))
    return Finding(
        id=shape["id"],
        code=shape["code"],
        severity=shape["severity"],
        move=told(move),
        because=told(because),
        bar=drawn,
        value=value_words(shape["value"], shape["range"], unit),
        limit="" if shape["limit"] is None else with_unit(shape["limit"], unit),
        margin=margin_words(shape),
        inputs=tuple(_input(name, value) for name, value in shape["inputs"].items() if name != "waiting"),
        source=shape["source"],
        basis=_basis(shape["basis"]),
        seen=" and ".join(words for view, words in VIEWS.items() if view in shape["in"]),
        unlocks=_unlocks(shape["unlocks"]),
        typed_at=typed_at,
        position=shape["subject"]["position"],
        accepted=Accepted(
            name=shape["accepted"]["name"],
            reason=shape["accepted"]["reason"],
            at=shape["accepted"]["at"],
            until=shape["accepted"]["until"],
        )
        if shape["accepted"]
        else None,
        accept_verb=verb_to_accept(shape["code"], shape["inputs"]),
    )


def _input(name: str, value: str | float | bool | None) -> Input:
    thing, colon, path = name.rpartition(": ")
    fact, unit = named_fact(path if colon else name)
    if isinstance(value, bool):
        shown = "yes" if value else "no"
    elif value is None or isinstance(value, int | float):
        shown = with_unit(value, unit)
    else:
        shown = value
    return Input(thing=thing, fact=fact, value=shown, is_number=not isinstance(value, str))


def _basis(basis: dict[str, int]) -> str:
    counted = [f"{basis[origin]} {words}" for origin, words in ORIGINS.items() if basis.get(origin)]
    return ", ".join(counted)


def _unlocks(name: str | None) -> str:
    """Return the number that would settle it, in words."""
    if not name:
        return ""
    fact, unit = named_fact(name)
    return f"{fact}, in {unit}" if unit else fact
