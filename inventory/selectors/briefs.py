"""What a kit is for, as people and programs see it."""

from collections.abc import Mapping
from typing import Any, TypedDict

from calc.rig.kit import Kit
from inventory.brief_document import document_of


class EndShape(TypedDict):
    position: int
    label: str
    port: str


class PlaceShape(TypedDict):
    """A position of the kit."""

    position: int
    label: str


class PortsAskedShape(TypedDict):
    """Ports that must be reached with the lid shut."""

    carries: str
    quantity: int
    connector: str | None


class SegmentShape(TypedDict):
    name: str
    vlan: int | None
    block: str | None
    addresses_from: str | None
    ports: list[EndShape]


class UniverseShape(TypedDict):
    number: int
    slots: int
    hz: float


StreamShape = TypedDict("StreamShape", {"name": str, "mbps": float, "from": EndShape, "to": EndShape | None})


class RadioShape(TypedDict):
    clients: int
    client_mbps: float
    rate_mbps: float | None
    basic_rate_mbps: float | None


class LiftShape(TypedDict):
    """A place where the whole kit is lifted by hand; the fields are those of NIOSH 94-110."""

    name: str
    horizontal_cm: float
    origin_cm: float
    travel_cm: float
    asymmetry_deg: float
    lifts_per_min: float
    duration_h: float
    coupling: str
    people: int


class ConfigurationShape(TypedDict):
    mark: str
    saved_at: str


class ControllerShape(TypedDict):
    """Software that positions cannot be changed without, and the units that have it."""

    name: str
    positions: list[PlaceShape]
    computers: list[int]


class FirmwareShape(PlaceShape):
    version: str


class BriefShape(TypedDict):
    """All that is asked of a kit; an empty list or null is not judged."""

    outside: list[PortsAskedShape]
    segments: list[SegmentShape]
    venue_blocks: list[str]
    universes: list[UniverseShape]
    streams: list[StreamShape]
    internet_up_mbps: float | None
    radio: RadioShape | None
    lifts: list[LiftShape]
    transport: str | None
    stands: str | None
    configuration: ConfigurationShape | None
    controllers: list[ControllerShape]
    firmware: list[FirmwareShape]


def brief_of(kit: Kit) -> BriefShape | None:
    """Return what is asked of an assembled kit, or None where it is asked nothing; no statement."""
    if kit.brief is None:
        return None
    return show_brief(document_of(kit.brief), {position.id: position.label for position in kit.positions})


def show_brief(document: Mapping[str, Any], labels: Mapping[int, str]) -> BriefShape:
    """Return a brief with the labels of its positions; no statement."""
    return {
        "outside": document["outside"],
        "segments": [_segment(segment, labels) for segment in document["segments"]],
        "venue_blocks": document["venue_blocks"],
        "universes": document["universes"],
        "streams": [_stream(stream, labels) for stream in document["streams"]],
        "internet_up_mbps": document["internet_up_mbps"],
        "radio": document["radio"],
        "lifts": document["lifts"],
        "transport": document["transport"],
        "stands": document.get("stands"),
        "configuration": document["configuration"],
        "controllers": [_controller(controller, labels) for controller in document["controllers"]],
        "firmware": [
            {**_place(meant["position"], labels), "version": meant["version"]} for meant in document["firmware"]
        ],
    }


def _segment(segment: Mapping[str, Any], labels: Mapping[int, str]) -> SegmentShape:
    return {
        "name": segment["name"],
        "vlan": segment["vlan"],
        "block": segment["block"],
        "addresses_from": segment["addresses_from"],
        "ports": [_end(end, labels) for end in segment["ports"]],
    }


def _controller(controller: Mapping[str, Any], labels: Mapping[int, str]) -> ControllerShape:
    return {
        "name": controller["name"],
        "positions": [_place(position, labels) for position in controller["positions"]],
        "computers": controller["computers"],
    }


def _stream(stream: Mapping[str, Any], labels: Mapping[int, str]) -> StreamShape:
    sink = stream["sink"]
    return {
        "name": stream["name"],
        "mbps": stream["mbps"],
        "from": _end(stream["source"], labels),
        "to": None if sink is None else _end(sink, labels),
    }


def _end(end: Mapping[str, Any], labels: Mapping[int, str]) -> EndShape:
    return {**_place(end["position"], labels), "port": end["port"]}


def _place(position: int, labels: Mapping[int, str]) -> PlaceShape:
    return {"position": position, "label": labels[position]}
