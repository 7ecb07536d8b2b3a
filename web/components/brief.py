"""What a kit is for, in short sentences: a name, and what is asked there."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format

from calc.connectors import connector
from calc.errors import BadInput
from inventory.selectors.briefs import (
    BriefShape,
    ControllerShape,
    EndShape,
    LiftShape,
    PortsAskedShape,
    RadioShape,
    SegmentShape,
    StreamShape,
    UniverseShape,
)
from web.components.numbers import figure, with_unit
from web.named_ports import in_runs

SERVERS = {"here": "addresses from here", "elsewhere": "addresses from elsewhere", "none": "addresses set by hand"}
STANDS = {
    "indoors": "indoors",
    "shade": "outdoors, in the shade",
    "sun": "outdoors, in the sun",
    "outdoors": "outdoors",
}
TRAVELS = {"road": "by road", "air": "by air, with people"}


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedLine:
    name: str
    words: str


def asked_lines(brief: BriefShape | None, tags: Mapping[int, str]) -> tuple[AskedLine, ...]:
    """Return what is asked, by theme; ``tags`` are those of the units that are known here."""
    if brief is None:
        return ()
    return tuple(AskedLine(name=name, words=words) for name, words in _lines(brief, tags))


def _lines(brief: BriefShape, tags: Mapping[int, str]) -> Iterator[tuple[str, str]]:
    if brief["outside"]:
        yield "Ports outside", "; ".join(map(_outside, brief["outside"]))
    for segment in brief["segments"]:
        yield f"Segment {segment['name']}", _segment(segment)
    if brief["venue_blocks"]:
        yield "Addresses of the venue", ", ".join(brief["venue_blocks"])
    if brief["universes"]:
        yield "Lighting control", _universes(brief["universes"])
    for stream in brief["streams"]:
        yield f"Stream {stream['name']}", _stream(stream)
    if brief["internet_up_mbps"] is not None:
        yield "The venue lets out", with_unit(brief["internet_up_mbps"], "Mb/s")
    if brief["radio"] is not None:
        yield "Wi-Fi users", _radio(brief["radio"])
    for lift in brief["lifts"]:
        yield f"Lift at {lift['name']}", _lift(lift)
    if brief["transport"] is not None:
        yield "Travels", TRAVELS[brief["transport"]]
    if brief["stands"] is not None:
        yield "Works", STANDS[brief["stands"]]
    yield from _setup(brief, tags)


def _setup(brief: BriefShape, tags: Mapping[int, str]) -> Iterator[tuple[str, str]]:
    saved = brief["configuration"]
    if saved is not None:
        at = timezone.localtime(datetime.fromisoformat(saved["saved_at"]))
        yield "Configuration", f"{saved['mark']}, saved {date_format(at, 'j M Y H:i')}"
    for controller in brief["controllers"]:
        yield "Software", _controller(controller, tags)
    for meant in brief["firmware"]:
        yield f"Firmware of {meant['label']}", meant["version"]


def _outside(asked: PortsAskedShape) -> str:
    words = f"{asked['quantity']} for {asked['carries']}"
    if asked["connector"] is None:
        return words
    try:
        return f"{words}, {connector(asked['connector']).name}"
    except BadInput:  # a brief may be older than the register
        return f"{words}, {asked['connector']}"


def _segment(segment: SegmentShape) -> str:
    facts = [
        f"VLAN {segment['vlan']}" if segment["vlan"] is not None else "",
        segment["block"] or "",
        SERVERS[segment["addresses_from"]] if segment["addresses_from"] else "",
    ]
    said = ", ".join(filter(None, facts))
    return ": ".join(filter(None, [said, _ends(segment["ports"])])) or "nothing more is said"


def _ends(ends: Sequence[EndShape]) -> str:
    of_place: dict[str, list[str]] = {}
    for end in ends:
        of_place.setdefault(end["label"], []).append(end["port"])
    return ", ".join(f"{label} {', '.join(in_runs(ports))}" for label, ports in of_place.items())


def _universes(universes: Sequence[UniverseShape]) -> str:
    alike: dict[tuple[int, float], list[int]] = {}
    for universe in universes:
        alike.setdefault((universe["slots"], universe["hz"]), []).append(universe["number"])
    return "; ".join(
        f"{'universe' if len(numbers) == 1 else 'universes'} {', '.join(in_runs(map(str, numbers)))}, "
        f"{slots} slots{' each' if len(numbers) > 1 else ''}, {figure(hz)} times a second"
        for (slots, hz), numbers in alike.items()
    )


def _stream(stream: StreamShape) -> str:
    source, sink = stream["from"], stream["to"]
    to = f"to {_ends([sink])}" if sink is not None else "out to the internet"
    return f"{with_unit(stream['mbps'], 'Mb/s')} from {_ends([source])} {to}"


def _radio(radio: RadioShape) -> str:
    words = f"{radio['clients']} at once, {with_unit(radio['client_mbps'], 'Mb/s')} each"
    words += f"; connected at {with_unit(radio['rate_mbps'], 'Mb/s')}" if radio["rate_mbps"] is not None else ""
    basic = radio["basic_rate_mbps"]
    return words if basic is None else f"{words}; to groups at {with_unit(basic, 'Mb/s')}"


def _lift(lift: LiftShape) -> str:
    people = "1 person" if lift["people"] == 1 else f"{lift['people']} people"
    return (
        f"by {people}, hands {figure(lift['horizontal_cm'])} cm in front of the ankles, "
        f"{figure(lift['travel_cm'])} cm up or down from {figure(lift['origin_cm'])} cm above the floor"
    )


def _controller(controller: ControllerShape, tags: Mapping[int, str]) -> str:
    changes = ", ".join(place["label"] for place in controller["positions"])
    known = [tags[unit] for unit in controller["computers"] if unit in tags]
    others = len(controller["computers"]) - len(known)
    more = f"{others} {'other ' if known else ''}{'unit' if others == 1 else 'units'}"
    has = [*known, *([more] if others else [])]
    for_what = f", for {changes}" if changes else ""
    return f"{controller['name']}{for_what}; on {', '.join(has) or 'no computer yet'}"
