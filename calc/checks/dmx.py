"""Lighting control over DMX: what shares a line, and what could be mistaken for a microphone."""

from collections.abc import Iterator

from calc.checking.compared import against
from calc.checking.drafts import Draft, judged
from calc.checking.registry import check
from calc.dmx import unit_loads
from calc.rig.inputs import Input
from calc.rig.kinds import PASSING_KINDS
from calc.rig.subjects import about_port, name_of
from calc.rig.wiring import Channel, Node, Wired, channels, exposed

E111 = "ANSI E1.11"
THREE_POLES = "xlr-3"
DEAF_KINDS = (*PASSING_KINDS, "tool")
"""Kinds that hand a line on or end it (a terminator), and load it with nothing that listens."""
ASSUMED_UNIT_LOADS = 1.0
"""Of a receiver; no sheet of ours states it. Common practice. [-]"""


@check("dmx-on-3-pin", "stop", E111)
def dmx_on_3_pin(wired: Wired) -> Iterator[Draft]:
    """DMX is on a 3-pole connector beside an audio one on the panel."""
    three_pole = [node for node in exposed(wired) if wired.ports[node].connector == THREE_POLES]
    control = [node for node in three_pole if wired.ports[node].carries == "dmx"]
    audio = [node for node in three_pole if wired.ports[node].carries == "audio"]
    if control and audio:
        yield Draft(
            subject=about_port(wired, control[0]),
            message=f"Change {name_of(wired, control[0])} to 5 poles or mark it: beside {name_of(wired, audio[0])} it "
            "will be taken for audio, which may carry 48 V.",
            inputs=(
                Input(name="3-pole ports with DMX", value=len(control)),
                Input(name="3-pole ports with audio", value=len(audio)),
            ),
        )


@check("dmx-unit-loads", "stop", E111)
def dmx_unit_loads(wired: Wired) -> Iterator[Draft]:
    """More than 32 receivers hang on one line, each taken for one unit load."""
    for channel in channels(wired):
        receivers = _receivers(wired, channel)
        line = unit_loads([ASSUMED_UNIT_LOADS] * receivers)
        if channel.carries != "dmx" or line.ok:
            continue
        yield judged(
            about_port(wired, channel.a),
            f"Split the line from {name_of(wired, channel.a)} with a splitter: {receivers} receivers hang "
            f"on it, {line.unit_loads:g} unit loads of at most {line.limit}.",
            against(line.unit_loads, line.limit, "unit loads"),
            inputs=(Input(name="unit loads of each receiver", value=ASSUMED_UNIT_LOADS, provenance="assumed"),),
        )


@check("dmx-unterminated", "caution", E111)
def dmx_unterminated(wired: Wired) -> Iterator[Draft]:
    """The last receiver on a line has an open output, with no terminator in it."""
    for channel in channels(wired):
        if channel.carries != "dmx" or channel.complete:
            continue
        for last, first in ((channel.a, channel.b), (channel.b, channel.a)):
            if _is_open_output(wired, last) and wired.is_linked(first):
                yield Draft(
                    subject=about_port(wired, last),
                    message=f"Put a terminator into {name_of(wired, last)}: it is the last on the line from "
                    f"{name_of(wired, first)}.",
                    inputs=(Input(name="linked onward", value=False),),
                )


def _is_open_output(wired: Wired, node: Node) -> bool:
    """Tell whether a receiver passes the line on to nobody; a port on the outside waits for the next one."""
    receives = wired.place_of(node).spec.kind not in PASSING_KINDS
    return receives and not wired.is_linked(node) and wired.ports[node].face == "inside"


def _receivers(wired: Wired, channel: Channel) -> int:
    """Return how many things listen on a line: all it passes and ends in, but the one that sends."""
    places = {node[0] for pair in channel.passed for node in pair} | {channel.a[0], channel.b[0]}
    return sum(wired.places[place_id].spec.kind not in DEAF_KINDS for place_id in places) - 1
