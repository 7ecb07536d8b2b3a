"""Runs of video, sound, control and USB: how long they are, and what meets at their ends."""

from collections.abc import Iterator

from calc.assumptions import coax_awg
from calc.checking.asking import ask_of_lead
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.given import Given
from calc.rig.cables import DATA
from calc.rig.inputs import Input, port_speed
from calc.rig.subjects import about_kit, about_port, counted, name_of
from calc.rig.wiring import Channel, Lead, Wired, channels, fits, leads, own_places
from calc.signal_runs import (
    FASTEST_SDI_MBPS,
    SDI_PLANNED_SHARE,
    SLOWEST_SDI_MBPS,
    LengthLimit,
    coax_loss_db,
    recommended_length,
    sdi_loss_limit_db,
    sdi_reach_m,
)

RUNS = "ANSI E1.11; SMPTE ST 259, 292-1, 424, 2081-1, 2082-1; IEC 62680-2-1; common practice"
COAX_FOR_VIDEO = "coax-75"
SIGNAL_OF_CONNECTOR = {
    "hdmi-a": "hdmi",
    "phono": "audio-unbalanced",
    "jack-3.5": "audio-unbalanced",
    "xlr-3": "audio-balanced",
}
"""What a run of video or sound is, by the connector at its ends."""
IMPEDANCES = {"coax-75": 75, "coax-50": 50}


@check("signal-run-long", "caution", RUNS)
def signal_run_long(wired: Wired) -> Iterator[Draft]:
    """A run of control, video, sound or USB is longer than what is planned for without anything that repeats it.

    Serial digital video is held against what its coax loses at half the clock of its rate.
    """
    for run in _video_over_coax(wired):
        yield from _lost_in_coax(wired, *run)
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


def _video_over_coax(wired: Wired) -> Iterator[tuple[Channel, tuple[Lead, ...]]]:
    """Return the runs of serial digital video that have a lead of known length, with those leads."""
    for channel in channels(wired):
        ends = {wired.ports[node].connector for node in (channel.a, channel.b)}
        between = tuple(lead for lead in leads(wired, channel) if lead.sheet.length_m)
        if channel.carries == "video" and ends == {COAX_FOR_VIDEO} and between:
            yield channel, between


def _lost_in_coax(wired: Wired, channel: Channel, between: tuple[Lead, ...]) -> Iterator[Draft]:
    """Judge a run of serial digital video at the slowest and the fastest rate, and over the best and worst coax."""
    rate = _rate(wired, channel)
    loss, limit_db = _loss_db(between, rate.low), SDI_PLANNED_SHARE * sdi_loss_limit_db(rate.low)
    fast_loss, fast_limit_db = _loss_db(between, rate.high), SDI_PLANNED_SHARE * sdi_loss_limit_db(rate.high)
    length_m = sum(lead.sheet.length_m or 0.0 for lead in between)
    a, b = name_of(wired, channel.a), name_of(wired, channel.b)
    inputs = (
        *(port_speed(wired, node) for node in (channel.a, channel.b)),
        *_coax_inputs(wired, between),
        Input(name="half the clock, MHz", value=rate.low / 2),
    )
    if loss.low > limit_db:
        reach_m = sdi_reach_m(rate.low, int(coax_awg(DATA.spec_of(between[0])).low))
        yield judged(
            about_port(wired, channel.a),
            f"Shorten the run from {a} to {b} to {reach_m:.0f} m, or use fibre or a repeater: {length_m:g} m of coax "
            f"lose {loss.low:.1f} dB at {rate.low / 2:g} MHz, and {limit_db:g} dB are planned at {rate.low:g} Mb/s.",
            against(loss, limit_db, "dB"),
            inputs=inputs,
        )
    elif not rate.settled and fast_loss.low > fast_limit_db:
        silent = next(node for node in (channel.a, channel.b) if wired.ports[node].speed_mbps is None)
        yield undecided(
            about_port(wired, silent),
            f"Enter the speed of {name_of(wired, silent)}: only then is it known whether {length_m:g} m of coax carry "
            "its picture.",
            unlocks=f"ports.{silent[1]}.speed_mbps",
            inputs=inputs,
        )
    elif rate.settled and loss.high > limit_db:
        thin = max(between, key=lambda lead: _open(coax_awg(DATA.spec_of(lead))))
        decides = f"{length_m:g} m carry {rate.low:g} Mb/s from {a} to {b}"
        yield ask_of_lead(wired, thin, "cable.awg", decides, against(loss, limit_db, "dB"), inputs)


def _coax_inputs(wired: Wired, between: tuple[Lead, ...]) -> Iterator[Input]:
    for number, lead in enumerate(between, start=1):
        name, gauge = f"lead {number}, from {name_of(wired, lead.at)}", coax_awg(DATA.spec_of(lead))
        yield Input(name=f"{name}: length_m", value=lead.sheet.length_m)
        yield Input(name=f"{name}: awg", value=gauge.low if gauge.settled else None, provenance=gauge.provenance)


def _rate(wired: Wired, channel: Channel) -> Given:
    """Return the rate of a run of video: the slower of what its ends state; any there is, where neither does."""
    stated = [speed for node in (channel.a, channel.b) if (speed := wired.ports[node].speed_mbps) is not None]
    name = f"ports.{channel.a[1]}.speed_mbps"
    if not stated:
        return Given.unknown(name, low=SLOWEST_SDI_MBPS, high=FASTEST_SDI_MBPS)
    return Given.known(min(max(min(stated), SLOWEST_SDI_MBPS), FASTEST_SDI_MBPS), "data sheet", name)


def _loss_db(between: tuple[Lead, ...], rate_mbps: float) -> Given:
    """Return what coax loses at half the clock, at the thickest and the thinnest that it may be. [dB]"""
    gauges = [(lead.sheet.length_m or 0.0, coax_awg(DATA.spec_of(lead))) for lead in between]
    thick, thin = (
        sum(coax_loss_db(length_m, rate_mbps / 2, int(getattr(gauge, end))) for length_m, gauge in gauges)
        for end in ("low", "high")
    )
    known = "assumed" if any(gauge.provenance == "assumed" for _, gauge in gauges) else "data sheet"
    return Given(thick, thin, known, "cable.awg")


def _open(given: Given) -> float:
    return given.high - given.low


@check("signal-level", "stop", "IEC 60268-3 (rated output), IEC 60268-15 (levels of inputs), from memory")
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
            message=f"Unplug {name_of(wired, other[0])} from {name_of(wired, loud[0])}: a loudspeaker line carries "
            "tens of volts, which destroy an input for a microphone or a line.",
            inputs=tuple(Input(name=name_of(wired, node), value=wired.ports[node].connector) for node in ends),
        )


@check("impedance-differs", "caution", "IEC 61169-8, transmission line theory: (75 − 50) / (75 + 50)")
def impedance_differs(wired: Wired) -> Iterator[Draft]:
    """Parts of 75 and of 50 ohm are in one run of coax, so that a fifth of the voltage comes back: 25 of 125."""
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
            "where 50 and 75 ohm meet, a fifth of the voltage is reflected.",
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
                f"{counted(len(outputs), 'output')}.",
                Compared(low=len(outputs), high=len(outputs), unit="outputs", limit=asked, at_least=True),
                inputs=(Input(name="universes", value=asked), Input(name="outputs", value=len(outputs))),
            )
