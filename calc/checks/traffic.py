"""What runs over the network: through a link, out of the house, over the air."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from calc.checking.compared import against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.radio import clients_supported
from calc.rig.brief import Brief, Stream
from calc.rig.inputs import Input, port_speed
from calc.rig.subjects import Subject, about_kit, about_port, counted, listed, name_of
from calc.rig.wiring import Channel, Node, Step, Wired, kits_in, own_places, path_between
from calc.streams import uplink_needed_mbps

TRUNK_SHARE = 0.75
"""How full a link may be planned. Source: common practice."""
COMMON_PRACTICE = "common practice"


@check("trunk-overfull", "caution", COMMON_PRACTICE)
def trunk_overfull(wired: Wired) -> Iterator[Draft]:
    """Streams fill a link in one direction beyond 75 % of the slowest port on it.

    Where the same streams fill several links, it is told of the slowest.
    """
    fullest: dict[tuple[str, ...], Draft] = {}
    for (_, entered), (channel, streams) in _loads(wired).items():
        known = {node: speed for node in _ports_on(channel) if (speed := wired.ports[node].speed_mbps) is not None}
        inputs = (
            *(Input(name=stream.name, value=stream.mbps) for stream in streams),
            *(port_speed(wired, node) for node in known),
        )
        load_mbps = sum(stream.mbps for stream in streams)
        if not known:
            yield undecided(
                about_port(wired, entered),
                f"Enter the speed of {name_of(wired, entered)}: {load_mbps:g} Mb/s are to pass there.",
                unlocks=f"ports.{entered[1]}.speed_mbps",
                inputs=inputs,
            )
            continue
        slowest = min(known, key=lambda node: (known[node], node))
        full = _overfull(wired, slowest, known[slowest], streams, inputs)
        names = tuple(stream.name for stream in streams)
        if full is not None and (names not in fullest or (full.margin or 0.0) < (fullest[names].margin or 0.0)):
            fullest[names] = full
    yield from fullest.values()


def _overfull(
    wired: Wired, slowest: Node, speed_mbps: float, streams: list[Stream], inputs: tuple[Input, ...]
) -> Draft | None:
    load_mbps, limit_mbps = sum(stream.mbps for stream in streams), TRUNK_SHARE * speed_mbps
    if load_mbps <= limit_mbps:
        return None
    return judged(
        about_port(wired, slowest),
        f"Send some of {listed([stream.name for stream in streams])} another way: {load_mbps:.4g} Mb/s pass "
        f"{name_of(wired, slowest)}, and {limit_mbps:g} Mb/s are planned there, 75 % of its {speed_mbps:g} Mb/s.",
        against(load_mbps, limit_mbps, "Mb/s"),
        inputs=inputs,
    )


def _loads(wired: Wired) -> dict[tuple[int, Node], tuple[Channel, list[Stream]]]:
    """Return the streams on each run in each direction: a link that sends and receives at once has room for both."""
    steps: dict[tuple[int, Node], Channel] = {}
    streams: dict[tuple[int, Node], list[Stream]] = defaultdict(list)
    for _, brief in wired.briefs:
        for stream in brief.streams:
            for channel, entered in _path_of(wired, stream):
                steps[channel.number, entered] = channel
                streams[channel.number, entered].append(stream)
    return {key: (channel, streams[key]) for key, channel in steps.items()}


def _path_of(wired: Wired, stream: Stream) -> tuple[Step, ...]:
    source = wired.node(stream.source)
    sink = wired.node(stream.sink) if stream.sink is not None else None
    return path_between(wired, source, sink) if source is not None and sink is not None else ()


def _ports_on(channel: Channel) -> list[Node]:
    return [channel.a, *(node for pair in channel.passed for node in pair), channel.b]


@check("uplink-short", "caution", "common practice: a quarter of room to send lost packets again")
def uplink_short(wired: Wired) -> Iterator[Draft]:
    """Streams to the internet need more, with room to send again what was lost, than the venue lets out."""
    for subject, briefs in _sharing_an_uplink(wired):
        yield from _through_uplink(subject, briefs)


def _sharing_an_uplink(wired: Wired) -> Iterator[tuple[Subject, list[Brief]]]:
    """Return the briefs whose streams leave together: on site all of them, else those of each kit with what is in it.

    On site the show says what its venue lets out; a kit's own brief was written for another day.
    """
    if wired.on_site:
        of_kits = [replace(brief, internet_up_mbps=None) for kit, brief in wired.briefs if kit is not None]
        yield Subject(), [*(brief for kit, brief in wired.briefs if kit is None), *of_kits]
        return
    for root in wired.kits:
        inside = kits_in(root)
        briefs = [brief for kit, brief in wired.briefs if any(kit is one for one in inside)]
        yield Subject() if len(wired.kits) == 1 else about_kit(wired, root), briefs


def _through_uplink(subject: Subject, briefs: list[Brief]) -> Iterator[Draft]:
    streams = [stream for brief in briefs for stream in brief.streams if stream.sink is None]
    stated = [brief.internet_up_mbps for brief in briefs if brief.internet_up_mbps is not None]
    if not streams:
        return
    inputs = tuple(Input(name=stream.name, value=stream.mbps) for stream in streams)
    needed_mbps = uplink_needed_mbps([stream.mbps for stream in streams])
    if not stated:
        yield undecided(
            subject,
            f"Ask the venue how much it lets out: {needed_mbps:g} Mb/s are needed.",
            unlocks="brief.internet_up_mbps",
            inputs=inputs,
        )
    elif needed_mbps > min(stated):
        yield judged(
            subject,
            f"Send less, or find another way out: {needed_mbps:g} Mb/s are needed, with a quarter of room to send "
            f"again what is lost, and the venue lets {min(stated):g} Mb/s out.",
            against(needed_mbps, min(stated), "Mb/s"),
            inputs=(*inputs, Input(name="venue, up", value=min(stated))),
        )


@check("radio-crowded", "caution", "common practice: half of the radio rate is data, 70 % of the time in use")
def radio_crowded(wired: Wired) -> Iterator[Draft]:
    """More clients are expected on the air than the access points here serve at once."""
    for kit, brief in wired.briefs:
        radio = brief.radio
        if radio is None:
            continue
        own = own_places(wired, kit)
        access_points = [place for place in own if place.spec.kind == "access-point" and not place.is_spare]
        inputs = (
            Input(name="clients", value=radio.clients),
            Input(name="each, Mb/s", value=radio.client_mbps),
            Input(name="access points", value=len(access_points)),
        )
        if radio.rate_mbps is None and access_points:
            yield undecided(
                about_kit(wired, kit),
                f"Enter at what rate a typical client is connected: {radio.clients} are expected.",
                unlocks="brief.radio.rate_mbps",
                inputs=inputs,
            )
            continue
        each = clients_supported(radio.rate_mbps, radio.client_mbps) if radio.rate_mbps is not None else 0
        served = each * len(access_points)
        if radio.clients > served:
            yield judged(
                about_kit(wired, kit),
                f"Bring more access points or expect fewer on the air: {counted(radio.clients, 'client')} "
                f"{'is' if radio.clients == 1 else 'are'} expected, and {counted(len(access_points), 'access point')} "
                f"{'serves' if len(access_points) == 1 else 'serve'} {served}, with the air in use 70 % of the time.",
                against(radio.clients, served, "clients"),
                inputs=(*inputs, Input(name="radio rate, Mb/s", value=radio.rate_mbps)),
            )
