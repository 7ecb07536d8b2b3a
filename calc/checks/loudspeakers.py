"""Loudspeakers: what an output of an amplifier has to drive, and what the leads lose on the way."""

from collections.abc import Iterator

from calc.checking.compared import against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.loudspeakers import MOST_LOSS_DB
from calc.rig.inputs import reading
from calc.rig.loudspeakers import Line, Stage, lines
from calc.rig.subjects import about, about_port, listed, name_of
from calc.rig.wiring import Wired

IMPEDANCE = "IEC 60268-3, IEC 60268-5"


@check("speaker-load", "stop", IMPEDANCE)
def speaker_load(wired: Wired) -> Iterator[Draft]:
    """The loudspeakers on one output of an amplifier are together below the least impedance that it drives."""
    for line in lines(wired):
        sheet = line.amplifier.spec.sound
        least_ohm = sheet.least_ohm if sheet is not None else None
        names = _names(line.speakers)
        inputs = (reading(line.amplifier, "sound", "least_ohm"), *line.inputs(wired))
        compared = against(line.load, least_ohm, "Ω", at_least=True)
        output = name_of(wired, line.output)
        if least_ohm is None and len(line.speakers) > 1:
            yield undecided(
                about(line.amplifier),
                f"Enter the least load impedance of {line.amplifier.path}: {names} together are {_ohms(line)} on "
                f"{output}.",
                unlocks="sound.least_ohm",
                compared=compared,
                inputs=inputs,
            )
        elif compared.is_within is False:
            yield judged(
                about_port(wired, line.output),
                f"Take loudspeakers off {output} or spread them over two outputs: {names} together are {_ohms(line)}, "
                f"and it drives {least_ohm:g} Ω at least.",
                compared,
                inputs=inputs,
            )
        elif least_ohm is not None and compared.is_within is None:
            open_one = next(one for one in line.speakers if one.ohm is not None and not one.ohm.settled)
            yield undecided(
                about(open_one.place),
                f"Enter the nominal impedance of {open_one.place.path}: only then is it known whether {output}, which "
                f"drives {least_ohm:g} Ω at least, may have {names} on it.",
                unlocks="sound.impedance_ohm",
                compared=compared,
                inputs=inputs,
            )


def _ohms(line: Line) -> str:
    load = line.load
    return f"{load.low:.3g} Ω" if load.settled else f"{load.low:.3g} to {load.high:.3g} Ω"


def _names(speakers: tuple[Stage, ...]) -> str:
    return listed([stage.place.path for stage in speakers])


@check("speaker-lead-thin", "caution", "Kirchhoff; 1 dB is common practice")
def speaker_lead_thin(wired: Wired) -> Iterator[Draft]:
    """The leads from an amplifier lose more than 1 dB on the way to a loudspeaker."""
    for line in lines(wired):
        loss = line.loss_db
        compared = against(loss, MOST_LOSS_DB, "dB")
        output, last = name_of(wired, line.output), line.speakers[-1]
        if compared.is_within is False:
            yield judged(
                about_port(wired, last.node),
                f"Use a thicker or shorter lead from {output} to {last.place.path}: {loss.low:.1f} dB are lost in it, "
                f"and {MOST_LOSS_DB:g} dB is the most that nobody hears.",
                compared,
                inputs=line.inputs(wired),
            )
        elif compared.is_within is None:
            yield _ask(line, output)


def _ask(line: Line, output: str) -> Draft:
    """Return the finding that asks for the conductors of a lead or, where they are known, for an impedance."""
    rest = f"only then is it known whether more than {MOST_LOSS_DB:g} dB are lost from {output} on"
    compared = against(line.loss_db, MOST_LOSS_DB, "dB")
    open_lead = next((stage for stage in line.first.walk() if not stage.lead_ohm.settled), None)
    if open_lead is not None and open_lead.joint.cable is not None:
        return undecided(
            about(open_lead.place, open_lead.node[1]),
            f"Enter the conductor area of the {open_lead.joint.cable.name} at {open_lead.place.path}: {rest}.",
            unlocks="cable.area_mm2",
            compared=compared,
            of_spec=open_lead.joint.cable.id,
        )
    speaker = next(stage for stage in line.speakers if stage.ohm is not None and not stage.ohm.settled)
    return undecided(
        about(speaker.place),
        f"Enter the nominal impedance of {speaker.place.path}: {rest}.",
        unlocks="sound.impedance_ohm",
        compared=compared,
    )
