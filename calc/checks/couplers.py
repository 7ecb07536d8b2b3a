"""Mains couplers and cords: what they carry, what protects them, and what can be touched.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import inf

from calc.checking.asking import ask_demand, ask_of_lead
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged
from calc.checking.registry import check
from calc.connectors import connector, rating_a
from calc.given import Given
from calc.rig.cables import cord_a
from calc.rig.demand import demand
from calc.rig.inputs import Input, as_input, port_reading
from calc.rig.kinds import PASSING_KINDS
from calc.rig.kit import Port
from calc.rig.lines import line_a, line_load
from calc.rig.subjects import about_port, name_of
from calc.rig.supply import DEEPEST, label_of, supply_of
from calc.rig.wiring import Hop, Joint, Lead, Node, Wired, fits, hops_over, inlet_of, outlets_of, power_feeds

FUSED_PLUGS = frozenset({"bs1363"})
"""Plugs with a fuse in them, so that they may be on a larger circuit. Source: BS 1363-1."""
VOLTS = "IEC 60038"
NOMINAL_ROUNDING = 0.01
"""Nominal volts are round numbers: 400 V between phases is 230.9 V to neutral, and called 230 V (IEC 60038)."""
COUPLERS = "IEC 60320, 60309, 60364-4-43; NEC 240"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One coupler or cord on the way, and what it carries."""

    name: str
    rated_a: float
    """What it carries at most: so much is certainly too much for it beyond that."""
    node: Node
    """The port to point at."""
    sure_a: float | None = None
    """What it carries at least, where the tables leave that open; None: ``rated_a``."""
    lead: Lead | None = None
    """The cable that it is."""

    def carries(self, current_a: float) -> bool:
        """Tell whether it is rated for a current."""
        return current_a <= self.rated_a


@check("mains-voltage", "stop", VOLTS)
def mains_voltage(wired: Wired) -> Iterator[Draft]:
    """An inlet is not made for the volts that it meets; without a feed, for those that its own connector brings."""
    for hop in power_feeds(wired).hops.values():
        port = wired.ports[hop.load]
        label = label_of(port.power)
        if port.carries != "mains" or label is None or wired.ports[hop.source].carries != "mains":
            continue
        coupler = connector(port.connector)
        if not hop.is_fed and not coupler.systems.get(wired.place_of(hop.load).kit.rules):
            continue
        supply = supply_of(wired, hop)
        offered = supply.met_by(port)
        if any(_is_made_for(label, volts) for volts in offered):
            continue
        volts = offered[0]
        limit = label[0] if volts < label[0] else label[1]
        yield judged(
            about_port(wired, hop.load),
            f"Do not plug {name_of(wired, hop.load)} in: it takes {label[0]:g} to {label[1]:g} V "
            f"and meets {volts:g} V.",
            against(volts, limit, "V", at_least=volts < limit),
            inputs=(
                port_reading(wired, hop.load, "power", "volts_min"),
                port_reading(wired, hop.load, "power", "volts_max"),
                Input(
                    name="volts of the supply", value=volts, provenance="data sheet" if supply.is_stated else "assumed"
                ),
            ),
        )


def _is_made_for(label: tuple[float, float], volts: float) -> bool:
    return label[0] * (1 - NOMINAL_ROUNDING) <= volts <= label[1] * (1 + NOMINAL_ROUNDING)


@check("coupler-overload", "stop", COUPLERS)
def coupler_overload(wired: Wired) -> Iterator[Draft]:
    """The load through a coupler, a cord, or what passes it on, is above its rating, whatever will feed it."""
    yield from _one_a_place(_overloaded(wired))


def _overloaded(wired: Wired) -> Iterator[Draft]:
    for hop, joint in mains_joints(wired):
        va = demand(wired).through_joint[joint.number]
        yield from _judge_part(wired, hop, va, list(_parts(wired, hop, joint)), hops_over(wired, joint))
    for hop in power_feeds(wired).hops.values():
        if wired.ports[hop.load].carries == "mains":
            parts = list(_own_parts(wired, hop))
            va = demand(wired).of_inlet[hop.load]
            yield from _judge_part(wired, hop, va, parts, [hop])


def _one_a_place(drafts: Iterable[Draft]) -> Iterator[Draft]:
    """Return of each place what is farthest beyond its rating: inlet, lead and label of one box are one cause."""
    worst: dict[int | None, Draft] = {}
    for draft in drafts:
        if draft.code is not None:
            yield draft
            continue
        known = worst.get(draft.subject.position)
        if known is None or (draft.margin or 0.0) < (known.margin or 0.0):
            worst[draft.subject.position] = draft
    yield from worst.values()


def _judge_part(wired: Wired, hop: Hop, va: Given, parts: list[Part], hops: list[Hop]) -> Iterator[Draft]:
    part = min(parts, key=lambda part: part.rated_a, default=None)
    if part is None:
        return
    loads = [one.load for one in hops]
    current = line_a(wired, loads, supply_of(wired, hop).volts)
    carries = current.agrees(part.carries)
    breaker_a = _breaker_a(wired, hop.source)
    if carries or (breaker_a is not None and breaker_a <= part.rated_a):
        yield from _ask_rating(wired, parts, min(current.high, inf if breaker_a is None else breaker_a))
        return  # a breaker that is no larger is judged by itself
    if carries is None:
        asked = ask_demand(wired, hops, f"{part.name} carries it", against(current, part.rated_a, "A"))
        if asked is not None:
            yield asked
        return
    yield judged(
        about_port(wired, part.node),
        f"Take load off {name_of(wired, part.node)}: {current.low:.1f} A{line_load(wired, loads).where} "
        f"go through {part.name}, rated {part.rated_a:g} A.",
        against(current, part.rated_a, "A"),
        inputs=(
            as_input(name_of(wired, hop.load), va),
            Input(name=part.name, value=part.rated_a),
            Input(name="rules", value=wired.place_of(hop.load).kit.rules),
        ),
    )


def _ask_rating(wired: Wired, parts: list[Part], current_a: float) -> Iterator[Draft]:
    """Ask what a cable carries of a size that the region's tables do not have, if they leave it open for a current."""
    for part in parts:
        if part.lead is not None and part.sure_a is not None and part.sure_a < current_a <= part.rated_a:
            compared = Compared(low=part.sure_a, high=part.rated_a, unit="A", limit=current_a, at_least=True)
            yield ask_of_lead(wired, part.lead, "cable.rated_a", f"{part.name} carries {current_a:.1f} A", compared)


def _own_parts(wired: Wired, hop: Hop) -> Iterator[Part]:
    """Return what of a place itself limits what goes in at an inlet: its label, its cable and, unlinked, its inlet."""
    place, rules = wired.place_of(hop.load), wired.place_of(hop.load).kit.rules
    port = wired.ports[hop.load]
    if not hop.run.joints:
        rated = rating_a(port.connector, rules)
        if rated is not None:
            yield Part(name=f"the {connector(port.connector).name}", rated_a=rated, node=hop.load)
    if place.spec.kind not in PASSING_KINDS:
        return
    label = place.spec.power.rated_a if place.spec.power is not None else None
    if label is not None:
        yield Part(name=f"the {place.spec.name}", rated_a=label, node=hop.load)
    yield from _own_cable(wired, hop)


def _own_cable(wired: Wired, hop: Hop) -> Iterator[Part]:
    place = wired.place_of(hop.load)
    lead = Lead(spec=place.spec, at=hop.load, position=place.id)
    if place.spec.kind in PASSING_KINDS:
        yield from _cable(wired, lead, f"the cable of the {place.spec.name}", hop.load)


def _cable(wired: Wired, lead: Lead, name: str, node: Node) -> Iterator[Part]:
    """Return a cable as a part, if anything is known of what it carries."""
    rules = wired.place_of(node).kit.rules
    carries = cord_a(lead.sheet, rules, connector(wired.ports[node].connector).lines)
    if carries is not None:
        sure_a = None if carries.settled else carries.low
        yield Part(name=name, rated_a=carries.high, node=node, sure_a=sure_a, lead=lead)


def mains_joints(wired: Wired) -> Iterator[tuple[Hop, Joint]]:
    """Return every link that carries mains, once, with an inlet that it feeds."""
    seen: set[int] = set()
    for hop in power_feeds(wired).hops.values():
        for joint in hop.run.joints:
            if joint.number not in seen and wired.ports[hop.load].carries == "mains":
                seen.add(joint.number)
                yield hop, joint


def _parts(wired: Wired, hop: Hop, joint: Joint) -> Iterator[Part]:
    """Return the couplers and the cord of a link that have a rating under the kit's rules."""
    rules = wired.place_of(hop.load).kit.rules
    for node, port in halves(wired, joint):
        rated = rating_a(port.connector, rules)
        if rated is not None:
            yield Part(name=f"the {connector(port.connector).name}", rated_a=rated, node=node)
    if joint.cable is not None:
        lead = Lead(spec=joint.cable, at=joint.b, position=joint.link.cable)
        yield from _cable(wired, lead, f"the {joint.cable.name}", joint.b)


def halves(wired: Wired, joint: Joint) -> Iterator[tuple[Node, Port]]:
    """Return the ports at both ends of a link, and the ends of its cable with the port that they go into."""
    yield from ((node, wired.ports[node]) for node in (joint.a, joint.b))
    ends = fits(wired)[joint.number].cable_ends
    if ends is not None:
        yield from ((joint.a, ends[0]), (joint.b, ends[1]))


EVERYDAY_CIRCUIT_A = {"iec": 16.0, "north_america": 20.0}
"""Behind a breaker of this size leads and strips of household couplers are used everywhere. [A]
Source: IEC 60364-4-43, 433.3.1, where the load cannot overload them; NFPA 70, 210.21(B) and 240.5, from memory."""


@check("unprotected-reduction", "stop", COUPLERS)
def unprotected_reduction(wired: Wired) -> Iterator[Draft]:
    """A thinner part hangs on a larger breaker, with no breaker or fuse of its own size between.

    Each is told where the way gets thin: a breaker there protects all of that size behind it.
    """
    thin: dict[Node, Reduction] = {}
    for hop, joint in mains_joints(wired):
        breaker = _breaker_above(wired, hop.source)
        own = _own_cable(wired, hop) if hop.load in (joint.a, joint.b) else ()
        parts = [*_parts(wired, hop, joint), *own]
        part = min(parts, key=lambda part: part.rated_a, default=None)
        if breaker is None or part is None:
            continue
        outlet, breaker_a = breaker
        if not _is_protected(wired, hop, joint, part.rated_a, breaker_a):
            known = thin.get(hop.load)
            if known is None or part.rated_a < known.part.rated_a:
                thin[hop.load] = Reduction(hop=hop, part=part, outlet=outlet, breaker_a=breaker_a)
            continue
        open_parts = [one for one in parts if one.sure_a is not None]
        if not all(_is_protected(wired, hop, joint, one.sure_a or 0.0, breaker_a) for one in open_parts):
            yield from _ask_rating(wired, open_parts, breaker_a)
    for found in thin.values():
        if not _is_thin_before(wired, thin, found):
            yield _unprotected(wired, found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reduction:
    """A part that is thinner than the breaker before it."""

    hop: Hop
    part: Part
    outlet: Node
    """The outlet of the breaker."""
    breaker_a: float


def _is_thin_before(wired: Wired, thin: Mapping[Node, Reduction], found: Reduction) -> bool:
    """Tell whether the way to a part is as thin before it, behind the same breaker."""
    hop = found.hop
    for _ in range(DEEPEST):
        inlet = inlet_of(wired, hop.source) if hop.is_fed and hop.source != found.outlet else None
        if inlet is None:
            return False
        before = thin.get(inlet)
        if before is not None and before.part.rated_a <= found.part.rated_a:
            return True
        hop = power_feeds(wired).hops[inlet]
    return False


def _unprotected(wired: Wired, found: Reduction) -> Draft:
    part, where = found.part, name_of(wired, found.hop.load)
    return judged(
        about_port(wired, found.hop.load),
        f"Put a breaker or fuse of {part.rated_a:g} A in front of {where}: {part.name} is rated {part.rated_a:g} A "
        f"and the breaker lets {found.breaker_a:g} A through.",
        against(found.breaker_a, part.rated_a, "A"),
        inputs=(
            port_reading(wired, found.outlet, "power", "breaker_a"),
            Input(name=part.name, value=part.rated_a),
        ),
    )


def _breaker_a(wired: Wired, outlet: Node) -> float | None:
    power = wired.ports[outlet].power
    return power.breaker_a if power is not None and power.role == "source" else None


def _breaker_above(wired: Wired, outlet: Node) -> tuple[Node, float] | None:
    """Return the nearest breaker that protects what is plugged into an outlet, with its outlet; None if not known."""
    for _ in range(DEEPEST):
        breaker_a = _breaker_a(wired, outlet)
        if breaker_a is not None:
            return outlet, breaker_a
        sheet = wired.place_of(outlet).spec.power
        inlet = inlet_of(wired, outlet)
        if inlet is None or (sheet is not None and sheet.output_va is not None):
            return None  # what supplies by itself limits its own current
        hop = power_feeds(wired).hops[inlet]
        if not hop.is_fed:
            return None
        outlet = hop.source
    return None


def _is_protected(wired: Wired, hop: Hop, joint: Joint, rated_a: float, breaker_a: float) -> bool:
    """Tell whether a part needs no protection of its own: by its size, by a fuse, or as everyday practice."""
    sheet = joint.cable.cable if joint.cable is not None else None
    has_fuse = (sheet is not None and sheet.fuse_a is not None) or any(
        port.connector in FUSED_PLUGS for _, port in halves(wired, joint)
    )
    onward = [node for node in outlets_of(wired, hop.load) if wired.ports[node].carries == "mains"]
    behind_a = [_breaker_a(wired, node) for node in onward]
    lines = connector(wired.ports[joint.b].connector).lines
    # Breakers behind protect what is in front of them, if all of them together let no more through.
    by_breakers = bool(behind_a) and sum(ampere if ampere is not None else inf for ampere in behind_a) / lines
    is_everyday = breaker_a <= EVERYDAY_CIRCUIT_A[wired.place_of(hop.load).kit.rules]
    return rated_a >= breaker_a or has_fuse or is_everyday or 0 < by_breakers <= rated_a
