"""Who changed what, a line for each change."""

from collections.abc import Sequence
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
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryLine:
    at: datetime
    who: str
    what: str


def history_lines(shapes: Sequence[HistoryShape]) -> tuple[HistoryLine, ...]:
    """Return lines of history in the order given."""
    return tuple(
        HistoryLine(at=shape["at"], who=shape["name"] or "nobody", what=_what(shape["verb"], shape["details"]))
        for shape in shapes
    )


def _what(verb: str, details: dict[str, Any]) -> str:
    position = details.get("position", "")
    said = {
        "create": "made the kit",
        "clone": "made the kit from another",
        "edit": f"changed {_fields(details)}",
        "add-position": f"added position {position}",
        "edit-position": f"changed {_fields(details)} of position {position}",
        "delete-position": f"removed position {position}",
        "replace-contents": "replaced the contents",
        "add-link": "laid a link",
        "edit-link": "changed a link",
        "delete-link": "took a link away",
        "accept-finding": f"accepted {details.get('code', 'a finding')}: {details.get('reason', '')}",
        "request-check": "asked for a check",
    }
    return said.get(verb, verb.replace("-", " "))


def _fields(details: dict[str, Any]) -> str:
    names = [FIELDS.get(name, f"the {name}") for name in details.get("fields", ())]
    return " and ".join(dict.fromkeys(names)) or "something"
