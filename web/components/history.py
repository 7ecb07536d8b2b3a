"""Who changed what, a line for each change."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from inventory.base.history import HistoryShape

FIELDS = {
    "ambient_celsius": "the temperature around it",
    "exposed_retention": "what its holes must hold by",
    "a": "one end",
    "b": "the other end",
    "cable_spec": "the lead",
    "cable": "the lead",
    "signed_to": "whom it is signed to",
    "location": "where it is",
    "measured_w": "its measured draw",
    "firmware": "the firmware read off it",
    "brief": "what is asked of it",
    "build": "how its case is built",
    "drafted_from": "what it began as, which is deleted",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryLine:
    at: datetime
    who: str
    what: str


def history_lines(shapes: Sequence[HistoryShape]) -> tuple[HistoryLine, ...]:
    """Return lines of history in the order given."""
    return tuple(HistoryLine(at=shape["at"], who=shape["name"] or "nobody", what=_what(shape)) for shape in shapes)


BEGUN = {
    "kit": "made the kit",
    "unit": "entered it",
    "spec": "wrote the sheet",
    "event": "planned it",
    "repair": "wrote down work at the bench",
}
"""Noun → what its beginning is called."""


def _what(shape: HistoryShape) -> str:
    noun, verb, details = shape["noun"], shape["verb"], shape["details"]
    if verb == "create":
        if noun == "downtime":
            return f"held it back: {details.get('cause', 'other')}"
        return BEGUN.get(noun, "made it")
    if verb in BENCH:
        return BENCH[verb](details)
    position = details.get("position", "")
    said = {
        "clone": "made the kit from another",
        "edit": f"changed {_fields(details)}",
        "end": "let it back into service",
        "add-position": f"added place {position}",
        "edit-position": f"changed {_fields(details)} of place {position}",
        "retype-position": f"made {position} a {details.get('spec', '')}",
        "delete-position": f"removed place {position}",
        "replace-contents": "replaced the contents",
        "add-link": "connected two ports",
        "edit-link": "changed a connection",
        "adopt": f"adopted the planned change {details.get('plan', '')}",
        "rewire": _rewired(details),
        "delete-link": "unplugged a connection",
        "accept-finding": f"accepted a finding: {details.get('reason', '')}",
        "request-check": "asked for a check",
        "retire": "took it out of use",
        "restore": "took it back into use",
        **BOOKING,
    }
    return said.get(verb, verb.replace("-", " "))


def _rewired(details: Mapping[str, Any]) -> str:
    verbs = (("added", "made"), ("changed", "changed"), ("removed", "unplugged"))
    counted = [f"{verb} {details[name]}" for name, verb in verbs if details.get(name)]
    return f"rewired it: {', '.join(counted)}"


def _flagged(details: Mapping[str, Any]) -> str:
    port = f" at {details['port']}" if details.get("port") else ""
    return f"flagged a fault: {details.get('what', 'other')}{port}"


BOOKING = {
    "book": "booked it",
    "confirm": "confirmed it",
    "cancel": "released it",
    "extend": "gave it another time",
    "keep": "gave the pencil another date",
    "move": "moved it with its event",
    "lose": "lost something of it",
    "deal-again": "had it dealt again",
}
"""Verb → what was done to a booking."""
BENCH: Mapping[str, Callable[[Mapping[str, Any]], str]] = {
    "report": _flagged,
    "judge": lambda details: "let it be used with the fault" if details.get("usable") else "kept it from use",
    "record": lambda details: "tested it: passed" if details.get("passed") else "tested it: failed",
}


def _fields(details: Mapping[str, Any]) -> str:
    names = [FIELDS.get(name, f"the {name.replace('_', ' ')}") for name in details.get("fields", ())]
    return " and ".join(dict.fromkeys(names)) or "something"
