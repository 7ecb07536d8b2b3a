"""Runs of video, sound, control and USB: how long they are, and what meets at their ends."""

from collections.abc import Iterator

from calc.checking.compared import Compared
from calc.checking.drafts import Draft, judged
from calc.checking.registry import check
from calc.rig.inputs import Input
from calc.rig.subjects import about_kit, about_port, name_of
from calc.rig.wiring import Channel, Wired, channels, fits, leads, own_places
from calc.signal_runs import LengthLimit, recommended_length

RUNS = "ANSI E1.11; SMPTE ST 292-1, 2082-1; IEC 62680-2-1; common practice"
SIGNAL_OF_CONNECTOR = {
    "coax-75": "sdi",
    "hdmi-a": "hdmi",
    "phono": "audio-unbalanced",
    "jack-3.5": "audio-unbalanced",
    "xlr-3": "audio-balanced",
}
"""What a run of video or sound is, by the connector at its ends."""
IMPEDANCES = {"coax-75": 75, "coax-50": 50}


@check("signal-run-long", "caution", RUNS)
def signal_run_long(wired: Wired) -> Iterator[Draft]:
    """A run of control, video, sound or USB is longer than what is planned for without anything that repeats it."""
    for channel in channels(wired):
        limit = _limit(wired, channel)
        known = [lead.sheet.length_m for lead in leads(wired, channel) if lead.sheet.length_m is not None]
        length_m = sum(known)
        if limit is None or length_m <= limit.limit_m:
            continue
        yield judged(
            about_port(wired, channel.a),
            f"Shorten the run from {name_of(wired, channel.a)} to {name_of(wired, channel.b)}, or {limit.beyond}: "
            f"it is {length_m:g} m long, and {limit.limit_m:g} m are planned for ({limit.source}).",
            Compared(low=length_m, high=length_m, unit="m", limit=limit.limit_m),
            inputs=(Input(name="length of its leads", value=length_m),),
        )


def _limit(wired: Wired, channel: Channel) -> LengthLimit | None:
    ends = (wired.ports[channel.a], wired.ports[channel.b])
    if channel.carries in ("dmx", "usb"):
        signal = channel.carries
    elif channel.carries in ("video", "audio"):
        signals = {SIGNAL_OF_CONNECTOR.get(port.connector) for port in ends}
        if len(signals) != 1 or None in signals:
            return None
        signal = str(signals.pop())
    else:
        return None
    rates = [port.speed_mbps for port in ends if port.speed_mbps is not None]
    return recommended_length(signal, min(rates, default=None))


@check("signal-level", "stop", "IEC 60268-3; common practice")
def signal_level(wired: Wired) -> Iterator[Draft]:
    """The output of an amplifier, for loudspeakers, leads into an input for a microphone or a line."""
    for channel in channels(wired):
        ends = (channel.a, channel.b)
        loud = [node for node in ends if wired.ports[node].connector.startswith("speaker-")]
        other = [node for node in ends if node not in loud]
        if channel.carries != "audio" or len(loud) != 1 or wired.ports[other[0]].carries != "audio":
            continue
        yield Draft(
            subject=about_port(wired, other[0]),
            message=f"Part {name_of(wired, other[0])} from {name_of(wired, loud[0])}: a loudspeaker line carries tens "
            "of volts, which destroy an input for a microphone or a line.",
            inputs=tuple(Input(name=name_of(wired, node), value=wired.ports[node].connector) for node in ends),
        )


@check("impedance-differs", "caution", "IEC 61169-8; common practice")
def impedance_differs(wired: Wired) -> Iterator[Draft]:
    """Parts of 75 and of 50 ohm are in one run of coax, so that a part of the signal comes back."""
    for channel in channels(wired):
        used = {wired.ports[node].connector for pair in channel.passed for node in pair}
        used |= {wired.ports[channel.a].connector, wired.ports[channel.b].connector}
        ends = [fits(wired)[joint.number].cable_ends for joint in channel.joints]
        used |= {port.connector for pair in ends if pair is not None for port in pair}
        ohms = sorted({IMPEDANCES[code] for code in used if code in IMPEDANCES})
        if len(ohms) < 2:
            continue
        yield Draft(
            subject=about_port(wired, channel.a),
            message=f"Use parts of one impedance from {name_of(wired, channel.a)} to {name_of(wired, channel.b)}: "
            "where 50 and 75 ohm meet, a fifth of the signal is reflected.",
            inputs=(Input(name="ohm", value=" and ".join(str(ohm) for ohm in ohms)),),
        )


@check("universe-ports-short", "caution", "common practice")
def universe_ports_short(wired: Wired) -> Iterator[Draft]:
    """More universes are asked of a kit than its nodes have outputs for."""
    for kit, brief in wired.briefs:
        outputs = [
            node
            for place in own_places(wired, kit)
            if place.spec.kind == "node"
            for node, port in wired.nodes_of(place)
            if port.carries == "dmx"
        ]
        asked = len({universe.number for universe in brief.universes})
        if outputs and asked > len(outputs):
            yield judged(
                about_kit(wired, kit),
                f"Bring another node, or ask for fewer universes: {asked} are asked for, and the nodes have "
                f"{len(outputs)} outputs.",
                Compared(low=len(outputs), high=len(outputs), unit="outputs", limit=asked, at_least=True),
                inputs=(Input(name="universes", value=asked), Input(name="outputs", value=len(outputs))),
            )
