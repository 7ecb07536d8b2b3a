"""Fibre runs: reach, and one kind of glass all the way."""

from collections.abc import Iterator
from math import inf

from calc.channel import (
    FIBRE_APPLICATIONS,
    FIBRE_WAVELENGTH_NM,
    FIBRES,
    fibre_loss_db,
    fibre_loss_limit_db,
    fibre_reach_m,
)
from calc.checking.asking import ask_of_lead
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged
from calc.checking.registry import check
from calc.errors import BadInput
from calc.rig.inputs import Input, port_speed
from calc.rig.subjects import about_port, name_of
from calc.rig.wiring import TWO_ENDED_KINDS, Channel, Lead, Node, Wired, channels, leads

IEEE = "IEEE 802.3"
CORE_UM = {"OM1": 62.5, "OM2": 50.0, "OM3": 50.0, "OM4": 50.0, "OS": 9.0, "OS1": 9.0, "OS2": 9.0}
"""Nominal core of each kind, from memory. [µm]"""
SINGLE_MODE_UM = 9.0
APPLICATIONS_OF_SPEED = {
    speed: tuple(name for name in FIBRE_APPLICATIONS if name.startswith(prefix))
    for speed, prefix in ((1000.0, "1000BASE"), (10_000.0, "10GBASE"), (25_000.0, "25GBASE"))
}


@check("fibre-too-long", ("stop", "caution"), f"{IEEE}, ANSI/TIA-568")
def fibre_too_long(wired: Wired) -> Iterator[Draft]:
    """A fibre run is longer than any application of its speed reaches: stop; it may lose too much light: caution."""
    for channel, between in fibre_channels(wired):
        kinds = {str(lead.sheet.category) for lead in between} & set(FIBRES)
        best_m = min((_reach_m(wired, channel, kind) for kind in kinds), default=inf)
        length_m = sum(lead.sheet.length_m or 0.0 for lead in between)
        unmeasured = [lead for lead in between if lead.spec is not None and lead.sheet.length_m is None]
        inputs = _inputs(between)
        if length_m > best_m:
            yield judged(
                about_port(wired, channel.a),
                f"Use a shorter run or other fibre from {name_of(wired, channel.a)} to "
                f"{name_of(wired, channel.b)}: {length_m:g} m, and nothing reaches beyond {best_m:g} m on it.",
                against(length_m, best_m, "m"),
                inputs=inputs,
            )
        elif unmeasured and best_m < inf:
            compared = Compared(low=length_m, high=inf, unit="m", limit=best_m)
            yield ask_of_lead(
                wired, unmeasured[0], "cable.length_m", "the light reaches the other end", compared, inputs
            )
        elif len(kinds) == 1:
            yield from _dim(wired, channel, kinds.pop(), length_m, inputs)


def _dim(wired: Wired, channel: Channel, kind: str, length_m: float, inputs: tuple[Input, ...]) -> Iterator[Draft]:
    """Find a run that may lose more light than every application that reaches so far allows.

    A caution: the figures are the most that sound, clean glass may lose, and a meter may find less.
    """
    mated, expanded = _connections(wired, channel)
    budgets = [
        (fibre_loss_limit_db(kind, application), _loss_db(kind, application, length_m, mated, expanded))
        for application in _applications(wired, channel)
        if 0 < _reach_of(kind, application) >= length_m
    ]
    limit_db, loss_db = max(budgets, key=lambda budget: budget[0] - budget[1], default=(inf, 0.0))
    if loss_db > limit_db:
        yield judged(
            about_port(wired, channel.a),
            f"Measure the light from {name_of(wired, channel.a)} to {name_of(wired, channel.b)}, or take out "
            f"connections: {mated + expanded} of them and {length_m:g} m may lose {loss_db:.2f} dB of {limit_db:g}.",
            against(loss_db, limit_db, "dB"),
            severity="caution",
            inputs=(
                *inputs,
                Input(name="physical-contact pairs between the ends", value=mated),
                Input(name="expanded-beam pairs between the ends", value=expanded),
            ),
        )


def _connections(wired: Wired, channel: Channel) -> tuple[int, int]:
    """Return how many mated pairs lie between the ends of a run: those of physical contact, and expanded beams."""
    mated = expanded = 0
    for into, out in channel.passed:
        beams = [_is_expanded(wired, node) for node in (into, out)]
        if wired.place_of(into).spec.kind not in TWO_ENDED_KINDS:
            expanded += sum(beams)
            mated += not all(beams)
    for joint in channel.joints:
        if all(wired.place_of(node).spec.kind in TWO_ENDED_KINDS for node in (joint.a, joint.b)):
            expanded += _is_expanded(wired, joint.a)
            mated += not _is_expanded(wired, joint.a)
    return mated, expanded


def _is_expanded(wired: Wired, node: Node) -> bool:
    return wired.ports[node].connector.startswith("expanded-beam")


def _loss_db(kind: str, application: str, length_m: float, mated: int, expanded: int) -> float:
    wavelength_nm = FIBRE_WAVELENGTH_NM[application, CORE_UM[kind] == SINGLE_MODE_UM]
    loss_db = fibre_loss_db(length_m, kind, wavelength_nm, mated_pairs=mated, expanded_beam_pairs=expanded)
    return round(loss_db, 6)  # a sum of decimals must not tip a limit that it reaches exactly


@check("fibre-type-mismatch", ("stop", "caution"), IEEE)
def fibre_type_mismatch(wired: Wired) -> Iterator[Draft]:
    """Two kinds of glass meet in one run: stop for single-mode on multimode, caution for two sizes of core.

    So do optics of two rates: fibre ports, unlike copper ones, do not agree on one.
    """
    for channel, between in fibre_channels(wired):
        rates = [wired.ports[node].speed_mbps for node in (channel.a, channel.b)]
        if channel.complete and None not in rates and rates[0] != rates[1]:
            yield Draft(
                subject=about_port(wired, channel.a),
                severity="stop",
                message=f"Use optics of one rate at {name_of(wired, channel.a)} and {name_of(wired, channel.b)}: "
                f"{' and '.join(f'{rate:g} Mb/s' for rate in rates)} do not link, as fibre ports agree on nothing.",
                inputs=tuple(port_speed(wired, node) for node in (channel.a, channel.b)),
            )
        known = [lead for lead in between if lead.sheet.category in CORE_UM]
        cores = {CORE_UM[str(lead.sheet.category)] for lead in known}
        unnamed = [lead for lead in between if lead.sheet.category is None and lead.spec is not None]
        if len(cores) > 1:
            kinds = " and ".join(sorted({str(lead.sheet.category) for lead in known}))
            yield Draft(
                subject=about_port(wired, channel.a),
                severity="stop" if SINGLE_MODE_UM in cores else "caution",
                message=f"Use one kind of fibre from {name_of(wired, channel.a)} to {name_of(wired, channel.b)}: "
                f"{kinds} meet in it.",
                inputs=_inputs(between),
            )
        elif known and unnamed:
            yield ask_of_lead(
                wired, unnamed[0], "cable.category", "one kind of fibre goes all the way", inputs=_inputs(between)
            )


def fibre_channels(wired: Wired) -> tuple[tuple[Channel, tuple[Lead, ...]], ...]:
    """Return every fibre run that has a cable in it, with its cables."""
    return wired.once(_fibre_channels)


def _fibre_channels(wired: Wired) -> tuple[tuple[Channel, tuple[Lead, ...]], ...]:
    with_leads = ((channel, leads(wired, channel)) for channel in channels(wired) if channel.carries == "fibre")
    return tuple((channel, between) for channel, between in with_leads if between)


def _reach_m(wired: Wired, channel: Channel, kind: str | None) -> float:
    """Return the furthest that any application of the run's speed reaches on that kind of fibre. [m]"""
    reaches = (_reach_of(str(kind), application) for application in _applications(wired, channel))
    return max(reaches, default=inf)


def _applications(wired: Wired, channel: Channel) -> tuple[str, ...]:
    stated = [wired.ports[node].speed_mbps for node in (channel.a, channel.b)]
    speed = min((speed for speed in stated if speed is not None), default=None)
    return FIBRE_APPLICATIONS if speed is None else APPLICATIONS_OF_SPEED.get(speed, FIBRE_APPLICATIONS)


def _reach_of(kind: str, application: str) -> float:
    try:
        return fibre_reach_m(kind, application)
    except BadInput:  # the standard does not run this application on this fibre
        return 0.0


def _inputs(between: tuple[Lead, ...]) -> tuple[Input, ...]:
    return tuple(
        Input(
            name=f"lead {number}: {field}",
            value=getattr(lead.sheet, field),
            provenance="unknown" if getattr(lead.sheet, field) is None else "data sheet",
        )
        for number, lead in enumerate(between, start=1)
        for field in ("length_m", "category")
    )
