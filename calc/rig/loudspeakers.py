"""What hangs on each output of an amplifier: the loudspeakers, and the leads on the way to each."""

from collections.abc import Iterator
from dataclasses import dataclass

from calc.assumptions import loudspeaker_lead_mm2, loudspeaker_ohm
from calc.given import Given
from calc.loudspeakers import over_lead, parallel_ohm
from calc.rig.cables import COPPER_OHM_MM2_PER_M
from calc.rig.inputs import Input, as_input
from calc.rig.kinds import PASSING_KINDS
from calc.rig.wiring import Joint, Node, Place, Wired, fits

SPEAKER = "speaker-"
"""How the codes of connectors for loudspeakers begin."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One loudspeaker, or a part that several leads leave from, with what is further on."""

    node: Node
    place: Place
    lead_ohm: Given
    """Resistance of the lead to it, out and back. [Ω]"""
    joint: Joint
    ohm: Given | None
    """Its own nominal impedance; None for a part that has none. [Ω]"""
    beyond: tuple["Stage", ...]

    def seen_ohm(self, end: str) -> float | None:
        """Return the impedance of it and all beyond, leads left out, at one end of what is not known. [Ω]"""
        own = [] if self.ohm is None else [getattr(self.ohm, end)]
        further = [ohm for stage in self.beyond if (ohm := stage.seen_ohm(end)) is not None]
        return parallel_ohm([*own, *further]) if own or further else None

    def walk(self) -> Iterator["Stage"]:
        """Return it and every stage beyond."""
        yield self
        for stage in self.beyond:
            yield from stage.walk()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One output of an amplifier, with all that hangs on it."""

    output: Node
    amplifier: Place
    first: Stage

    @property
    def speakers(self) -> tuple[Stage, ...]:
        return tuple(stage for stage in self.first.walk() if stage.ohm is not None)

    @property
    def load(self) -> Given:
        """Return the impedance of all loudspeakers together. [Ω]"""
        ohms = [stage.ohm for stage in self.speakers if stage.ohm is not None]
        low, high = (parallel_ohm([getattr(ohm, end) for ohm in ohms]) for end in ("low", "high"))
        known = max((ohm.provenance for ohm in ohms), key=("measured", "label", "data sheet", "assumed").index)
        return Given(low, high, known, "sound.impedance_ohm")

    @property
    def loss_db(self) -> Given:
        """Return what the leads lose on the way to the loudspeaker that gets least. [dB]"""
        return Given(
            _most_lost_db(self.first, "low", "high"), _most_lost_db(self.first, "high", "low"), "assumed", "cable"
        )

    def inputs(self, wired: Wired) -> tuple[Input, ...]:
        """Return the numbers that the load and the loss hang on."""
        return tuple(
            one
            for stage in self.first.walk()
            for one in (
                *([as_input(stage.place.path, stage.ohm)] if stage.ohm is not None else []),
                Input(name=f"lead to {stage.place.path}: ohm", value=stage.lead_ohm.high, provenance="assumed"),
            )
        )


def _most_lost_db(stage: Stage, lead_end: str, load_end: str) -> float:
    seen = stage.seen_ohm(load_end)
    if seen is None:
        return 0.0
    here = over_lead(seen, getattr(stage.lead_ohm, lead_end)).loss_db
    return here + max((_most_lost_db(one, lead_end, load_end) for one in stage.beyond), default=0.0)


def lines(wired: Wired) -> tuple[Line, ...]:
    """Return the outputs of amplifiers with loudspeakers on them, as far as sheets say which is which."""
    return wired.once(_lines)


def _lines(wired: Wired) -> tuple[Line, ...]:
    found = []
    for node, port in wired.ports.items():
        place = wired.place_of(node)
        if not port.connector.startswith(SPEAKER) or wired.through.get(node) or _is_loudspeaker(place):
            continue
        for joint in wired.joints_at.get(node, ())[:1]:
            first = _stage(wired, node, joint, {node})
            if first is not None and _is_told(place, first):
                found.append(Line(output=node, amplifier=place, first=first))
    return tuple(found)


def _is_told(place: Place, first: Stage) -> bool:
    """Tell whether a sheet says which end drives the other: an amplifier's, or a loudspeaker's."""
    speakers = [stage for stage in first.walk() if stage.ohm is not None]
    return bool(speakers) and (_drives(place) or any(_is_loudspeaker(stage.place) for stage in speakers))


def _is_loudspeaker(place: Place) -> bool:
    return place.spec.sound is not None and place.spec.sound.impedance_ohm is not None


def _stage(wired: Wired, near: Node, joint: Joint, seen: set[Node]) -> Stage | None:
    node = joint.other(near)
    if node in seen:
        return None
    onward = [one for one in wired.through.get(node, ()) if one not in seen]
    seen |= {node, *onward}
    place = wired.place_of(node)
    beyond = [_stage(wired, one, further, seen) for one in onward for further in wired.joints_at.get(one, ())[:1]]
    is_speaker = _is_loudspeaker(place) or not (_drives(place) or place.spec.kind in PASSING_KINDS)
    return Stage(
        node=node,
        place=place,
        lead_ohm=_lead_ohm(wired, joint),
        joint=joint,
        ohm=loudspeaker_ohm(place.spec) if is_speaker else None,
        beyond=tuple(stage for stage in beyond if stage is not None),
    )


def _drives(place: Place) -> bool:
    return place.spec.sound is not None and place.spec.sound.least_ohm is not None


def _lead_ohm(wired: Wired, joint: Joint) -> Given:
    """Return the resistance of a lead, out and back; nothing for a lead that nobody named. [Ω]"""
    if joint.cable is None or fits(wired)[joint.number].way == "direct":
        return Given.known(0.0, "data sheet", "cable.length_m")
    length_m = joint.cable.cable.length_m if joint.cable.cable is not None else None
    if length_m is None:
        return Given.known(0.0, "data sheet", "cable.length_m")
    area = loudspeaker_lead_mm2(joint.cable)
    thick, thin = (2 * length_m * COPPER_OHM_MM2_PER_M / end for end in (area.high, area.low))
    return Given(thick, thin, area.provenance, area.name)
