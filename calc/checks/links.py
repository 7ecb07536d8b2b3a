"""Do the two ends of a link fit together, and do they carry the same thing?"""

from collections.abc import Iterator

from calc.checking.compared import against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.connectors import connector
from calc.rig.inputs import Input
from calc.rig.kit import Port
from calc.rig.subjects import about, about_port, name_of
from calc.rig.wiring import Channel, Node, Wired, channels, fits

REGISTER = "connector register, by the standard of each connector"
DRAWN = "the kit's own wiring"
SHEETS = "data sheets of both ends"
SCHEMES = "ANSI/TIA-568 (T568A, T568B); data sheets of both ends"
POWER = ("mains", "dc")


@check("link-dangling", "stop", DRAWN)
def link_dangling(wired: Wired) -> Iterator[Draft]:
    """A link end names a port that what is in the position has not."""
    for dangling in wired.dangling:
        place = dangling.place
        yield Draft(
            subject=about(place, dangling.port),
            message=f"Connect {place.path} again: {place.spec.name} has no port {dangling.port}.",
            inputs=(Input(name="spec", value=place.spec.name),),
        )


@check("port-used-twice", "stop", DRAWN)
def port_used_twice(wired: Wired) -> Iterator[Draft]:
    """Two links end on one port: on site, for in a kit nobody can draw that."""
    for node, joints in wired.joints_at.items():
        if len(joints) > 1:
            far_ends = [name_of(wired, joint.other(node)) for joint in joints]
            yield judged(
                about_port(wired, node),
                f"Find another port for one of them: {' and '.join(far_ends)} are all to go into "
                f"{name_of(wired, node)}.",
                against(len(joints), 1, "connections"),
                inputs=(Input(name="links", value=len(joints)),),
            )


@check("connector-mismatch", "stop", REGISTER)
def connector_mismatch(wired: Wired) -> Iterator[Draft]:
    """The two ends of a link are of two families, or its named cable does not fit one of them."""
    for joint in wired.joints:
        fit = fits(wired)[joint.number]
        if fit.misfit is None:
            continue
        near, far = fit.misfit, joint.other(fit.misfit)
        with_what = joint.cable.name if joint.cable else "a lead"
        yield Draft(
            subject=about_port(wired, near),
            message=f"Use an adapter or another cable between {name_of(wired, far)} and {name_of(wired, near)}: "
            f"{with_what} does not join them, because {fit.because}.",
            inputs=(_half(wired, near), _half(wired, far), Input(name="cable", value=with_what)),
        )


@check("carries-mismatch", ("stop", "caution"), SHEETS)
def carries_mismatch(wired: Wired) -> Iterator[Draft]:
    """The connectors mate but carry different signals: stop if power is involved, else caution."""
    for joint in wired.joints:
        a, b = wired.ports[joint.a], wired.ports[joint.b]
        if a.carries == b.carries or fits(wired)[joint.number].way == "apart":
            continue
        yield Draft(
            subject=about_port(wired, joint.b),
            severity="stop" if _gives_power(a) or _gives_power(b) else "caution",
            message=f"Take out the lead between {name_of(wired, joint.a)} and {name_of(wired, joint.b)}: "
            f"the first is for {a.carries}, the second for {b.carries}.",
            inputs=(
                Input(name=name_of(wired, joint.a), value=a.carries),
                Input(name=name_of(wired, joint.b), value=b.carries),
            ),
        )


@check("pinout-differs", ("stop", "caution"), SCHEMES)
def pinout_differs(wired: Wired) -> Iterator[Draft]:
    """Both ends carry the same but are wired by different schemes: stop if power is involved, else caution."""
    for joint in wired.joints:
        ends = ((joint.a, wired.ports[joint.a]), (joint.b, wired.ports[joint.b]))
        if ends[0][1].carries in POWER:
            yield from _compare_pinouts(wired, ends)
    for channel in channels(wired):
        yield from _compare_pinouts(wired, _ends_that_say(wired, channel))


def _ends_that_say(wired: Wired, channel: Channel) -> tuple[tuple[Node, Port], ...]:
    """Return the two ends of a run, or the parts of it that state a wiring scheme where an end does not."""
    nodes = [node for joint in channel.joints for node in (joint.a, joint.b)]
    stated = [node for node in nodes if wired.ports[node].pinout is not None]
    differing = [node for node in stated if wired.ports[node].pinout != wired.ports[stated[0]].pinout]
    pair = (stated[0], differing[0]) if differing else (channel.a, channel.b)
    return tuple((node, wired.ports[node]) for node in pair) if differing or channel.complete else ()


def _compare_pinouts(wired: Wired, ends: tuple[tuple[Node, Port], ...]) -> Iterator[Draft]:
    if not ends or ends[0][1].carries != ends[1][1].carries:
        return
    (one, a), (other, b) = ends
    if a.pinout == b.pinout:
        return
    inputs = tuple(
        Input(name=name_of(wired, node), value=port.pinout, provenance="data sheet" if port.pinout else "unknown")
        for node, port in ends
    )
    if a.pinout is None or b.pinout is None:
        silent = one if a.pinout is None else other
        yield undecided(
            about_port(wired, silent),
            f"Say how {name_of(wired, silent)} is wired: the other end follows {a.pinout or b.pinout}.",
            unlocks=f"ports.{silent[1]}.pinout",
            inputs=inputs,
        )
        return
    yield Draft(
        subject=about_port(wired, other),
        severity="stop" if _gives_power(a) or _gives_power(b) else "caution",
        message=f"Use an adapter between {name_of(wired, one)} ({a.pinout}) and {name_of(wired, other)} ({b.pinout}): "
        "they are wired differently.",
        inputs=inputs,
    )


def _gives_power(port: Port) -> bool:
    sheets = (port.power, port.poe)
    return port.carries in POWER or any(sheet is not None and sheet.role == "source" for sheet in sheets)


def _half(wired: Wired, node: Node) -> Input:
    port = wired.ports[node]
    return Input(name=name_of(wired, node), value=f"{connector(port.connector).name}, {port.side}")
