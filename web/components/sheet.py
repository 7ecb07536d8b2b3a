"""A data sheet: every number with its unit and where it came from; what nobody wrote down can be typed."""

from dataclasses import dataclass
from typing import Any

from calc.rig.field_table import FIELDS_OF, HEADINGS
from calc.rig.fields import Field
from inventory.selectors.specs import SpecShape
from web.components.numbers import with_unit

DATA_SHEET = "data sheet"
"""What a number without a provenance of its own came from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    path: str
    words: str
    value: str
    known: bool
    origin: str
    """Where the number came from; empty where there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPart:
    heading: str
    lines: tuple[SheetLine, ...]
    begun: bool
    """Something in it is known, or matters for this kind of spec; the other parts are folded."""


def sheet_parts(spec: SpecShape) -> tuple[SheetPart, ...]:
    """Return the numbers of a data sheet, part by part."""
    parts = []
    for sheet, fields in FIELDS_OF.items():
        lines = tuple(_line(spec, field) for field in fields)
        open_at_first = any(line.known for line in lines) or any(spec["kind"] in field.matters_for for field in fields)
        parts.append(SheetPart(heading=HEADINGS[sheet], lines=lines, begun=open_at_first))
    return tuple(parts)


def value_at(spec: SpecShape, field: Field) -> Any:
    """Return what the data sheet says there, or None."""
    source: Any = spec
    if field.sheet:
        source = source[field.sheet]
    return None if source is None else source[field.name]


def origin_of(spec: SpecShape, path: str) -> str:
    """Return where a number came from."""
    return spec["provenance"].get(path, DATA_SHEET)


def _line(spec: SpecShape, field: Field) -> SheetLine:
    value = value_at(spec, field)
    if isinstance(value, bool):
        shown = "yes" if value else "no"
    elif isinstance(value, str):
        shown = value
    else:
        shown = with_unit(value, field.unit)
    known = value is not None
    return SheetLine(
        path=field.path,
        words=field.heading,
        value=shown,
        known=known,
        origin=origin_of(spec, field.path) if known or field.path in spec["provenance"] else "",
    )
