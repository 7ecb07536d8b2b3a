"""Fibre runs: reach, light, and one kind of glass all the way."""

from collections.abc import Iterator
from math import inf

from calc.channel import FIBRES, fibre_loss_db, fibre_loss_limit_db, fibre_reach_m, optics_of
from calc.checking.asking import ask_of_lead
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged
from calc.checking.registry import check
from calc.checks.optics import optics_apart
from calc.errors import BadInput
from calc.rig.fibre_runs import FibreRun, fibre_runs, is_in_cage
from calc.rig.inputs import Input, port_speed
from calc.rig.subjects import about_port, name_of
from calc.rig.wiring import TWO_ENDED_KINDS, Channel, Lead, Node, Wired

IEEE = "IEEE 802.3"
CORE_UM = {"OM1": 62.5, "OM2": 50.0, "OM3": 50.0, "OM4": 50.0, "OM5": 50.0, "OS": 9.0, "OS1": 9.0, "OS2": 9.0}
"""Nominal core of each kind, from memory. [µm]"""
SINGLE_MODE_UM = 9.0
LONG_WAVE_NM = {True: (1310, 1550), False: (850, 1300)}
"""Whether the glass is single-mode → the wavelengths that its loss is stated at. Source: ANSI/TIA-568, from memory."""


@check("fibre-too-long", ("stop", "caution"), f"{IEEE}, ANSI/TIA-568")
def fibre_too_long(wired: Wired) -> Iterator[Draft]:
    """A fibre run is longer than any application of its speed reaches: stop; it may lose too much light: caution."""
    for run in fibre_runs(wired):
        channel, between = run.channel, run.leads
        kinds = {str(lead.sheet.category) for lead in between} & set(FIBRES)
        best_m = min((_reach_m(run, kind) for kind in kinds), default=inf)
        if best_m == 0:  # nothing of that speed runs on it: ``fibre-type-mismatch`` tells
            continue
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
            yield from _dim(wired, run, kinds.pop(), length_m, inputs)


def _dim(wired: Wired, run: FibreRun, kind: str, length_m: float, inputs: tuple[Input, ...]) -> Iterator[Draft]:
    """Find a run that may lose more light than every application that reaches so far allows.

    A caution: the figures are the most that sound, clean glass may lose, and a meter may find less.
    """
    channel = run.channel
    mated, expanded = _connections(wired, channel)
    budgets = [
        (fibre_loss_limit_db(kind, application), _loss_db(kind, application, length_m, mated, expanded))
        for application in run.applications
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
        if wired.place_of(into).spec.kind not in TWO_ENDED_KINDS and not is_in_cage(wired, (into, out)):
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
    stated_nm = LONG_WAVE_NM[CORE_UM[kind] == SINGLE_MODE_UM]
    sent_nm = min(optics_of(application).sends_nm)
    wavelength_nm = min(stated_nm, key=lambda nm: abs(nm - sent_nm))
    loss_db = fibre_loss_db(length_m, kind, wavelength_nm, mated_pairs=mated, expanded_beam_pairs=expanded)
    return round(loss_db, 6)  # a sum of decimals must not tip a limit that it reaches exactly


@check("fibre-type-mismatch", ("stop", "caution"), IEEE)
def fibre_type_mismatch(wired: Wired) -> Iterator[Draft]:
    """Two kinds of glass meet in one run, or optics that do not belong together, or glass that they are not made for.

    A caution for two sizes of core, and for 1310 against 1550 nm; all else does not link.
    """
    yield from optics_apart(wired)
    for run in fibre_runs(wired):
        channel, between = run.channel, run.leads
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
        elif cores and run.applications and not any(_reach_m(run, str(lead.sheet.category)) for lead in known):
            yield _never_on(wired, run, str(known[0].sheet.category))
        elif known and unnamed:
            yield ask_of_lead(
                wired, unnamed[0], "cable.category", "one kind of fibre goes all the way", inputs=_inputs(between)
            )


def _never_on(wired: Wired, run: FibreRun, kind: str) -> Draft:
    a, b = run.channel.a, run.channel.b
    stated = [end.application for end in run.ends if end.application is not None]
    what = f"{stated[0]} is" if stated else f"optics of {optics_of(run.applications[0]).speed_mbps:g} Mb/s are"
    return Draft(
        subject=about_port(wired, a),
        severity="stop",
        message=f"Use other fibre or other optics from {name_of(wired, a)} to {name_of(wired, b)}: "
        f"{what} not made for {kind}.",
        inputs=(*_inputs(run.leads), port_speed(wired, a), port_speed(wired, b)),
    )


def _reach_m(run: FibreRun, kind: str) -> float:
    """Return the furthest that any application of the run reaches on that kind of fibre. [m]"""
    return max((_reach_of(kind, application) for application in run.applications), default=inf)


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
