"""The holes of a kit's panel: numbered, with what goes in, what is behind, and what is wrong with them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from calc.connectors import connector
from calc.rig.kit import Port
from calc.rig.poe_budget import budgets
from calc.rig.wiring import CUT_DAMAGE, Node, Place, Wired, exposed, follow, has_power, poe_feeds
from calc.vocabulary import SEVERITIES
from inventory.drawings.purposes import Purpose, purpose_of
from inventory.drawings.symbols import symbol_of
from inventory.drawings.tape import NO_TAPE, Tape, tape

MAINS = "mains"
NOT_UNDER_LOAD = "not under load"
KIND_WORDS = {"8p8c": "8P8C (RJ45)", "8p8c-rugged": "8P8C (RJ45)", "lc-duplex": "fibre", "lc-duplex-rugged": "fibre"}
CARRIES_WORDS = {"dmx": "DMX", "usb": "USB", "dc": "DC"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One source of power over Ethernet behind some holes."""

    position: int
    label: str
    budget_w: float | None
    allotted_w: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One port on the outside."""

    number: int
    node: Node
    name: str
    """What is written at the port."""
    of: str
    """The position that has it, with the positions around."""
    port: Port
    symbol: str
    behind: Node | None
    """The port inside that it is joined to."""
    device: Node | None
    """What goes in, by a drawn link or by the plug map."""
    goes_in: str
    """The same in words; empty: nothing."""
    planned: bool
    """A drawn link says so; otherwise the plug map proposes it."""
    label: str
    """What is written on the lead."""
    lead: str
    """The lead: its label and its spec."""
    tape: Tape
    source: Source | None
    watts: float | None
    """What the source sets aside for what is linked to this hole; None: not known, or nothing. [W]"""
    damage: frozenset[str]
    not_under_load: bool
    severity: str | None
    """The worst finding about this hole, or about what is right behind it."""
    purpose: Purpose

    @property
    def is_dead(self) -> bool:
        return bool(self.damage & CUT_DAMAGE)

    @property
    def group(self) -> str:
        """What brackets hold together: the source behind, couplers that must not be parted under load, or one kind."""
        if self.source is not None:
            return f"source {self.source.position}"
        if self.not_under_load:
            return NOT_UNDER_LOAD
        return CARRIES_WORDS.get(self.port.carries, KIND_WORDS.get(self.port.connector, self.port.carries))


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A device that no link fixes, and the hole that the plug map gives it."""

    device: Node
    hole: Node


def holes(
    wired: Wired,
    *,
    packed: Wired | None = None,
    proposals: Iterable[Proposal] = (),
    marks: Mapping[Node, str] | None = None,
) -> tuple[Hole, ...]:
    """Return the holes of a kit as planned, in the order of the case's ports, then of the other positions.

    A kit that is packed in it has a lid of its own: only those of its holes stand here that this kit plugs into.

    Args:
        wired: The kit as planned.
        packed: The kit as it is packed, for damage; None leaves it out.
        proposals: Where the plug map puts devices that no link fixes.
        marks: Port → severity of the worst finding about it.
    """
    proposed = {proposal.hole: proposal.device for proposal in proposals}
    shown = [node for node in exposed(wired) if node in proposed or _is_own(wired, node)]
    case_first = sorted(shown, key=lambda node: wired.places[node[0]].position.role != "case")
    sources = _sources_by_hole(wired)
    return tuple(
        _hole(wired, number, node, packed, proposed.get(node), sources.get(node), marks or {})
        for number, node in enumerate(case_first, start=1)
    )


def _is_own(wired: Wired, node: Node) -> bool:
    """Tell whether a hole is of the kit itself, or of a kit packed in it and joined to something of its own."""
    return not _is_of_inner(wired, wired.places[node[0]]) or any(
        joint.within[-1:] and joint.within[-1] in wired.kits for joint in wired.joints_at.get(node, ())
    )


def _is_of_inner(wired: Wired, place: Place) -> bool:
    return place.kit not in wired.kits or place.position.nested is not None


def _hole(
    wired: Wired,
    number: int,
    node: Node,
    packed: Wired | None,
    proposed: Node | None,
    source: Node | None,
    marks: Mapping[Node, str],
) -> Hole:
    port = wired.ports[node]
    joints = wired.joints_at.get(node, ())
    device = joints[0].other(node) if joints else proposed
    behind = next(iter(wired.through.get(node, ())), None)
    damage = packed.damage(node) if packed is not None and node in packed.ports else frozenset()
    mains = device is None and _takes_mains(wired, node, behind)
    about_it = [marks[each] for each in (node, behind, source) if each is not None and each in marks]
    return Hole(
        number=number,
        node=node,
        name=port.name,
        of=wired.paths[node[0]],
        port=port,
        symbol=symbol_of(port.connector, port.side),
        behind=behind,
        device=device,
        goes_in=wired.paths[device[0]] if device is not None else MAINS if mains else "",
        planned=bool(joints) or mains,
        label=joints[0].link.label if joints else "",
        lead=_lead(joints[0].link.label, joints[0].cable.name if joints[0].cable else "") if joints else "",
        tape=tape(joints[0].link.colour) if joints else NO_TAPE,
        source=_source(wired, source[0]) if source is not None else None,
        watts=_watts_by_hole(wired).get(node),
        damage=damage,
        not_under_load=port.carries == "mains" and connector(port.connector).breaking_capacity is False,
        severity=max(about_it, key=SEVERITIES.index, default=None),
        purpose=purpose_of(wired, node, source),
    )


def _lead(label: str, cable: str) -> str:
    return ", ".join(part for part in (label, cable) if part)


def _sources_by_hole(wired: Wired) -> dict[Node, Node]:
    """Return the powered port behind each hole, whatever is plugged into the hole."""
    found: dict[Node, Node] = {}
    for sources in poe_feeds(wired).sources.values():
        for source in sources:
            run = follow(wired, source, has_power)
            for node in (source, run.end, *(end for passage in run.passed for end in passage)):
                if wired.ports[node].face == "outside":
                    found[node] = source
    return found


def _watts_by_hole(wired: Wired) -> dict[Node, float]:
    """Return what is set aside at each hole, where that is known."""
    return wired.once(_set_aside)


def _set_aside(wired: Wired) -> dict[Node, float]:
    asks = [ask for budget in budgets(wired).values() for ask in budget.asks]
    return {ask.feed.hole(wired): ask.allotted.high for ask in asks if ask.allotted.low == ask.allotted.high}


def _takes_mains(wired: Wired, node: Node, behind: Node | None) -> bool:
    """Tell whether this hole waits for mains from the venue: what is behind it draws from there."""
    if wired.ports[node].carries != "mains":
        return False
    end = follow(wired, behind or node, has_power).end
    power = wired.ports[end].power
    return power is not None and power.role == "load"


def _source(wired: Wired, position: int) -> Source:
    budget = budgets(wired)[position]
    return Source(
        position=position,
        label=budget.place.label,
        budget_w=budget.available_w[0] if budget.is_known else None,
        allotted_w=budget.high_w if budget.low_w == budget.high_w else None,
    )
