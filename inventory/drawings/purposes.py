"""What a hole of the panel is for: what is wired behind it, and what the brief asks of it."""

from dataclasses import dataclass

from calc.rig.brief import Segment
from calc.rig.wiring import Node, Wired, follow, never
from inventory.drawings.tape import NO_TAPE, Tape, tape

NO_POWER = "no PoE"


@dataclass(frozen=True, slots=True, kw_only=True)
class Purpose:
    """What a hole is for, in words; everything is empty where neither wiring nor brief says anything."""

    segments: tuple[str, ...] = ()
    """``VLAN 20 sound``; several make a trunk."""
    short: str = ""
    """The name of the one segment, for the strip under the hole."""
    tape: Tape = NO_TAPE
    """The colour of the lead behind it."""
    universes: str = ""
    place: str = ""
    """What is at the far end of the wiring behind it, with the labels around it."""
    port: str = ""
    power: str = ""
    """``PoE, class 4``, or that there is none; empty where the question does not arise."""
    leads_nowhere: bool = False

    @property
    def network(self) -> str:
        """Return what runs over it: ``VLAN 20 sound``, ``trunk: VLAN 10 lighting, VLAN 20 sound``."""
        joined = ", ".join(self.segments)
        return f"trunk: {joined}" if len(self.segments) > 1 else joined or self.universes


def purpose_of(wired: Wired, node: Node, source: Node | None) -> Purpose:
    """Return what a hole is for; ``source`` is the powered port behind it, if there is one."""
    behind = next(iter(wired.through.get(node, ())), None)
    run = follow(wired, behind, never) if behind is not None else None
    end = node if run is None else run.end
    reached = {node, end}
    if run is not None:
        reached |= {run.start, *(each for passed in run.passed for each in passed)}
    universes = _universes(wired) if wired.ports[node].carries == "dmx" else []
    segments = [segment for segment in _segments(wired) if reached & _nodes(wired, segment)]
    leads_nowhere = run is not None and run.ending == "open"
    return Purpose(
        segments=tuple(_named(segment) for segment in segments),
        short=segments[0].name if len(segments) == 1 else "trunk" if segments else "",
        tape=tape(run.joints[0].link.colour) if run is not None and run.joints else NO_TAPE,
        universes="" if leads_nowhere else _told(universes),
        place="" if leads_nowhere else wired.paths[end[0]],
        port="" if leads_nowhere else end[1],
        power=_power(wired, node, source, leads_nowhere=leads_nowhere),
        leads_nowhere=leads_nowhere,
    )


def _segments(wired: Wired) -> list[Segment]:
    return [segment for _, brief in wired.briefs for segment in brief.segments]


def _nodes(wired: Wired, segment: Segment) -> set[Node | None]:
    return {wired.node(end) for end in segment.ports}


def _named(segment: Segment) -> str:
    return segment.name if segment.vlan is None else f"VLAN {segment.vlan} {segment.name}"


def _universes(wired: Wired) -> list[int]:
    return sorted({universe.number for _, brief in wired.briefs for universe in brief.universes})


def _told(universes: list[int]) -> str:
    """Return the universes of the brief: the number where there is one, else that the line carries one of them."""
    if len(universes) < 2:
        return "".join(f"universe {number}" for number in universes)
    in_a_row = universes == list(range(universes[0], universes[-1] + 1))
    return f"one of universes {f'{universes[0]}-{universes[-1]}' if in_a_row else ', '.join(map(str, universes))}"


def _power(wired: Wired, node: Node, source: Node | None, *, leads_nowhere: bool) -> str:
    if source is not None:
        poe = wired.ports[source].poe
        known = None if poe is None else poe.poe_class
        return "PoE, class not known" if known is None else f"PoE, class {known}"
    return NO_POWER if wired.ports[node].carries == "ethernet" and not leads_nowhere else ""
