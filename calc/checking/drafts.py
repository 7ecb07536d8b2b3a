"""What a check writes down: the finding before the runner knows in which views it holds."""

from collections.abc import Iterable
from dataclasses import dataclass

from calc.checking.compared import Compared
from calc.checking.findings import Range, Subject, Value
from calc.rig.wiring import Node, Place, Wired

DATA_MISSING = "data-missing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One number or fact that an answer hangs on, and where it came from."""

    name: str
    value: Value
    provenance: str = "data sheet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A finding without its views. ``severity`` None means the first of the check; ``code`` None the check's own."""

    subject: Subject
    message: str
    severity: str | None = None
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    at_least: bool = False
    """The limit is the least that is wanted; otherwise the most that may be."""
    unit: str = ""
    range: Range | None = None
    """Between which ends the compared number lies, where it is not settled."""
    inputs: tuple[Input, ...] = ()
    code: str | None = None
    unlocks: str | None = None
    of_spec: int | None = None
    """Whose sheet lacks the number, where it is not the subject's: one number is asked for once."""


def about(place: Place, port: str | None = None) -> Subject:
    """Return the subject of a finding about a place, or about one port of it."""
    return Subject(position=place.id, label=place.label, port=port)


def about_port(wired: Wired, node: Node) -> Subject:
    """Return the subject of a finding about a port."""
    return about(wired.place_of(node), node[1])


def name_of(wired: Wired, node: Node) -> str:
    """Return what a technician calls a port: ``stage box, switch A 3``."""
    return f"{wired.place_of(node).path} {node[1]}"


def undecided(
    subject: Subject,
    message: str,
    *,
    unlocks: str,
    compared: Compared | None = None,
    inputs: Iterable[Input] = (),
    of_spec: int | None = None,
) -> Draft:
    """Return the finding that a missing number could change the answer of a check.

    Args:
        subject: What to type the number for.
        message: What to do, and what hangs on it.
        unlocks: The number that would settle it.
        compared: What the check holds against a limit, for a check that does.
        inputs: What else the answer hangs on.
        of_spec: Whose sheet lacks the number, where it is not the subject's.
    """
    given = tuple(inputs)
    if all(one.provenance != "unknown" for one in given):
        given += (Input(name=f"{subject.label}: {unlocks}".removeprefix(": "), value=None, provenance="unknown"),)
    return Draft(
        subject=subject,
        message=message,
        severity="unknown",
        value=compared.value if compared else None,
        limit=compared.limit if compared else None,
        margin=compared.margin if compared else None,
        at_least=compared.at_least if compared else False,
        unit=compared.unit if compared else "",
        range=compared.range if compared else None,
        code=DATA_MISSING,
        unlocks=unlocks,
        inputs=given,
        of_spec=of_spec,
    )


def reading(place: Place, sheet: str, field: str) -> Input:
    """Return one number of a place's data sheet (``reading(place, "poe", "budget_w")``) with its provenance."""
    holder = getattr(place.spec, sheet)
    value = None if holder is None else getattr(holder, field)
    return _with_provenance(place, f"{sheet}.{field}", value)


def port_reading(wired: Wired, node: Node, sheet: str, field: str) -> Input:
    """Return one number of a port (``port_reading(wired, node, "poe", "poe_class")``) with its provenance."""
    holder = getattr(wired.ports[node], sheet)
    value = None if holder is None else getattr(holder, field)
    return _with_provenance(wired.place_of(node), f"ports.{node[1]}.{sheet}.{field.removeprefix('poe_')}", value)


def port_speed(wired: Wired, node: Node) -> Input:
    """Return the speed of a port with its provenance. [Mb/s]"""
    return _with_provenance(wired.place_of(node), f"ports.{node[1]}.speed_mbps", wired.ports[node].speed_mbps)


def _with_provenance(place: Place, path: str, value: Value) -> Input:
    stated = "unknown" if value is None else "data sheet"
    return Input(name=f"{place.path}: {path}", value=value, provenance=place.spec.provenance.get(path, stated))


FIELD_WORDS = {
    "power.max_w": "the highest draw",
    "power.rated_a": "the rating on the label",
    "power.efficiency": "the efficiency",
    "power.output_w": "the rated output",
    "poe.efficiency": "the share that it can pass on",
    "poe.budget_w": "the power budget",
    "ports": "the ports",
    "width_mm": "the width",
    "depth_mm": "the depth",
    "height_mm": "the height",
}
PORT_FIELD_WORDS = {"power.watts": "the draw at port {}", "poe.class": "the class of port {}"}


def field_words(path: str) -> str:
    """Return what a person calls a field: the rating on the label, for ``power.rated_a``."""
    if path.startswith("ports.") and path.count(".") >= 3:
        port, sheet, field = path.removeprefix("ports.").rsplit(".", 2)
        return PORT_FIELD_WORDS[f"{sheet}.{field}"].format(port)
    return FIELD_WORDS[path]
