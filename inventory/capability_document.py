"""What a kit offers, as the document of plain JSON that is kept with its check and shown to programs.

The document has the fields of ``calc.rig.capability.Capability``, by name; a test compares the two.
"""

from dataclasses import fields, is_dataclass
from typing import Any, TypedDict, cast

from calc.rig.capability import Capability


class SubjectShape(TypedDict):
    position: int | None
    label: str
    port: str | None


class PanelPortsShape(TypedDict):
    """Ports of one kind on the outside, and how many have nothing plugged in."""

    connector: str
    side: str
    carries: str
    powered: bool
    count: int
    free: int


class PoweredShape(TypedDict):
    source: SubjectShape
    ports: int
    budget_w: float | None
    watts_left: float | None


class PlugRowShape(TypedDict):
    """This device goes there; ``fixed`` when a drawn link says so."""

    device: SubjectShape
    source: SubjectShape
    hole: SubjectShape
    fixed: bool


class PlugMapShape(TypedDict):
    any_order_ok: bool | None
    worst_w: float | None
    rows: list[PlugRowShape]


class OfferShape(TypedDict):
    ports: list[PanelPortsShape]
    powered: list[PoweredShape]
    vlans: bool
    access_points: int
    universes: int
    internet: bool
    weight_kg: float | None
    draw_va: float | None
    heat_w: float | None
    plug_map: PlugMapShape


class CapabilityDocument(OfferShape):
    """What is kept: the offer, and the devices that find no source."""

    starved: list[SubjectShape]


def capability_document(offers: Capability) -> CapabilityDocument:
    """Return what a kit offers as a document of plain JSON."""
    return cast(CapabilityDocument, _plain(offers))


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return [_plain(item) for item in value] if isinstance(value, tuple) else value
