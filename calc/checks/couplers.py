"""Mains couplers and cords: what they carry, what protects them, and what can be touched.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from calc.checking.asking import ask_demand
from calc.checking.compared import against
from calc.checking.drafts import Draft, judged
from calc.checking.registry import check
from calc.connectors import connector, rating_a
from calc.rig.demand import amperes, demand, labelled_volts, outlet_volts
from calc.rig.inputs import Input, as_input, port_reading
from calc.rig.kit import Port
from calc.rig.subjects import about_port, name_of
from calc.rig.wiring import Hop, Joint, Node, Wired, fits, outlets_of, power_feeds
from calc.rules import cord_rated_a

NOMINAL_ROUNDING = 0.01
"""Nominal volts are round numbers: 400 V between phases is 230.9 V to neutral, and called 230 V (IEC 60038)."""
COUPLERS = "IEC 60320, 60309, 60364-4-43; NEC 240"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One coupler or cord on the way, and what it carries."""

    name: str
    rated_a: float
    node: Node
    """The port to point at."""

    def carries(self, current_a: float) -> bool:
        """Tell whether it is rated for a current."""
        return current_a <= self.rated_a


@check("mains-voltage", "stop", COUPLERS)
def mains_voltage(wired: Wired) -> Iterator[Draft]:
    """An inlet is not rated for the volts of its outlet; one that states no volts is taken as rated for them."""
    for hop in power_feeds(wired).hops.values():
        port = wired.ports[hop.load]
        if port.carries != "mains" or port.power is None or wired.ports[hop.source].carries != "mains":
            continue
        offered = labelled_volts(wired, hop.source, hop.load)
        broken = [_broken_limit(port.power.volts_min, volts, port.power.volts_max) for volts in offered]
        volts, limit = offered[0], broken[0]
        if limit is None or None in broken:
            continue
        yield judged(
            about_port(wired, hop.load),
            f"Do not plug {name_of(wired, hop.load)} in: it is rated to {limit:g} V and meets {volts:g} V.",
            against(volts, limit, "V", at_least=volts < limit),
            inputs=(
                port_reading(wired, hop.load, "power", "volts_min"),
                port_reading(wired, hop.load, "power", "volts_max"),
                Input(name="volts of the supply", value=volts, provenance=_volts_provenance(wired, hop.source)),
            ),
        )


def _broken_limit(low: float | None, volts: float, high: float | None) -> float | None:
    if low is not None and volts < low * (1 - NOMINAL_ROUNDING):
        return low
    return high if high is not None and volts > high * (1 + NOMINAL_ROUNDING) else None


def _volts_provenance(wired: Wired, outlet: Node) -> str:
    power = wired.ports[outlet].power
    stated = power is not None and power.role == "source" and power.volts_max is not None
    return "data sheet" if stated else "assumed"


@check("coupler-overload", "stop", COUPLERS)
def coupler_overload(wired: Wired) -> Iterator[Draft]:
    """The load through a coupler or a cord is above its rating."""
    for hop, joint in mains_joints(wired):
        part = min(_parts(wired, hop, joint), key=lambda part: part.rated_a, default=None)
        if part is None:
            continue
        va = demand(wired).through_joint[joint.number]
        current = amperes(va, outlet_volts(wired, hop.source), wired.ports[joint.b].connector)
        carries = current.agrees(part.carries)
        if carries:
            continue
        if carries is None:
            compared = against(current, part.rated_a, "A")
            asked = ask_demand(wired, _hops_over(wired, joint), f"{part.name} carries it", compared)
            if asked is not None:
                yield asked
            continue
        yield judged(
            about_port(wired, part.node),
            f"Take load off {name_of(wired, part.node)}: {current.low:.1f} A go through {part.name}, "
            f"rated {part.rated_a:g} A. An electrician decides.",
            against(current, part.rated_a, "A"),
            inputs=(
                as_input(name_of(wired, hop.load), va),
                Input(name=part.name, value=part.rated_a),
                Input(name="rules", value=wired.place_of(hop.load).kit.rules),
            ),
        )


def mains_joints(wired: Wired) -> Iterator[tuple[Hop, Joint]]:
    """Return every link that carries mains, once, with an inlet that it feeds."""
    seen: set[int] = set()
    for hop in power_feeds(wired).hops.values():
        for joint in hop.run.joints:
            if joint.number not in seen and wired.ports[hop.load].carries == "mains":
                seen.add(joint.number)
                yield hop, joint


def _hops_over(wired: Wired, joint: Joint) -> list[Hop]:
    return [hop for hop in power_feeds(wired).hops.values() if any(one is joint for one in hop.run.joints)]


def _parts(wired: Wired, hop: Hop, joint: Joint) -> Iterator[Part]:
    """Return the couplers and the cord of a link that have a rating under the kit's rules."""
    rules = wired.place_of(hop.load).kit.rules
    for node, port in halves(wired, joint):
        rated = rating_a(port.connector, rules)
        if rated is not None:
            yield Part(name=f"the {connector(port.connector).name}", rated_a=rated, node=node)
    rated = _cord_a(wired, joint, rules)
    if rated is not None and joint.cable is not None:
        yield Part(name=f"the {joint.cable.name}", rated_a=rated, node=joint.b)


def halves(wired: Wired, joint: Joint) -> Iterator[tuple[Node, Port]]:
    """Return the ports at both ends of a link, and the ends of its cable with the port that they go into."""
    yield from ((node, wired.ports[node]) for node in (joint.a, joint.b))
    ends = fits(wired)[joint.number].cable_ends
    if ends is not None:
        yield from ((joint.a, ends[0]), (joint.b, ends[1]))


def _cord_a(wired: Wired, joint: Joint, rules: str) -> float | None:
    """Return what the cord of a link carries: its fuse, its rating, or what the rules give for its gauge. [A]"""
    sheet = joint.cable.cable if joint.cable is not None else None
    if sheet is None:
        return None
    loaded = 3 if connector(wired.ports[joint.b].connector).phases == 3 else 2
    by_gauge = None
    if sheet.area_mm2 is not None:
        by_gauge = cord_rated_a(rules, area_mm2=sheet.area_mm2, loaded_conductors=loaded)
    elif sheet.awg is not None:
        by_gauge = cord_rated_a(rules, awg=sheet.awg, loaded_conductors=loaded)
    known = [rated for rated in (sheet.rated_a, sheet.fuse_a, by_gauge) if rated is not None]
    return min(known, default=None)


@check("unprotected-reduction", "stop", COUPLERS)
def unprotected_reduction(wired: Wired) -> Iterator[Draft]:
    """A thinner part that feeds several outlets hangs on a larger breaker, with no breaker or fuse between."""
    for hop, joint in mains_joints(wired):
        breaker_a = _breaker_a(wired, hop.source)
        outlets = [node for node in outlets_of(wired, hop.load) if wired.ports[node].carries == "mains"]
        if breaker_a is None or not outlets or _is_protected(wired, outlets, joint):
            continue
        part = min(_parts(wired, hop, joint), key=lambda part: part.rated_a, default=None)
        if part is None or part.rated_a >= breaker_a:
            continue
        yield judged(
            about_port(wired, hop.load),
            f"Put a breaker or fuse of {part.rated_a:g} A in front of {name_of(wired, hop.load)}: "
            f"{part.name} is rated {part.rated_a:g} A and the breaker lets {breaker_a:g} A through. "
            "An electrician decides.",
            against(breaker_a, part.rated_a, "A"),
            inputs=(
                port_reading(wired, hop.source, "power", "breaker_a"),
                Input(name=part.name, value=part.rated_a),
            ),
        )


def _breaker_a(wired: Wired, outlet: Node) -> float | None:
    power = wired.ports[outlet].power
    return power.breaker_a if power is not None and power.role == "source" else None


def _is_protected(wired: Wired, outlets: Iterable[Node], joint: Joint) -> bool:
    fuse = joint.cable.cable.fuse_a if joint.cable is not None and joint.cable.cable is not None else None
    return fuse is not None or any(_breaker_a(wired, outlet) is not None for outlet in outlets)
