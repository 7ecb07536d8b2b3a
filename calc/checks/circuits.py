"""Breakers inside a kit: load, leakage, inrush, and the neutral.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

from calc.assumptions import breaker_curves, inrush_a, leakage_ma, residual_for_tripping_ma, third_harmonic
from calc.checking.asking import ask_demand
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.checks.couplers import mains_joints
from calc.connectors import connector, rating_a
from calc.given import Given, total, widest
from calc.mains import continuous_limit_a, inrush_group, leakage_steps_ma
from calc.rig.demand import consumers, demand
from calc.rig.inputs import Input, as_input, port_reading
from calc.rig.lines import line_a, line_load
from calc.rig.neutrals import neutral_a
from calc.rig.subjects import about, about_port, name_of
from calc.rig.supply import supply_at, supply_of
from calc.rig.wiring import Hop, Node, Place, Wired, fed_by, outlets_of, power_feeds
from calc.rules import rule_set

CIRCUITS = "NEC 210; IEC 60898"
SUPPLIES = "supplies"


@dataclass(frozen=True, slots=True, kw_only=True)
class Breaker:
    """One breaker of a distribution unit, with the outlets behind it."""

    place: Place
    outlets: tuple[Node, ...]
    rated_a: float
    curve: str | None
    hops: tuple[Hop, ...]
    """What is plugged into its outlets."""

    @property
    def name(self) -> str:
        return f"{self.place.path} {', '.join(outlet[1] for outlet in self.outlets)}"


def breakers(wired: Wired) -> tuple[Breaker, ...]:
    """Return the breakers of all distribution units; outlets of one group share one."""
    return wired.once(_breakers)


def _breakers(wired: Wired) -> tuple[Breaker, ...]:
    found = []
    for place_id, outlets in power_feeds(wired).outlets.items():
        groups: dict[str, list[Node]] = {}
        for node in outlets:
            port = wired.ports[node]
            if port.carries == "mains" and port.power is not None and port.power.breaker_a is not None:
                groups.setdefault(port.group if port.group is not None else f"port {port.name}", []).append(node)
        found += [_breaker(wired, place_id, nodes) for nodes in groups.values()]
    return tuple(found)


def _breaker(wired: Wired, place_id: int, outlets: list[Node]) -> Breaker:
    powers = [power for power in (wired.ports[node].power for node in outlets) if power is not None]
    curves = {power.curve for power in powers}
    return Breaker(
        place=wired.places[place_id],
        outlets=tuple(outlets),
        rated_a=min(power.breaker_a for power in powers if power.breaker_a is not None),
        curve=curves.pop() if len(curves) == 1 else None,
        hops=tuple(hop for node in outlets for hop in power_feeds(wired).by_source.get(node, ())),
    )


@check("circuit-overload", ("stop", "caution"), CIRCUITS)
def circuit_overload(wired: Wired) -> Iterator[Draft]:
    """What is plugged behind a breaker is beyond its limit: stop; beyond good headroom: caution.

    One appliance alone needs no headroom: a tent heater of 13 A is sold with a plug of 16 A, and nothing joins it.
    """
    for breaker in breakers(wired):
        if not _shares_overload(wired, breaker):
            yield from _overload(wired, breaker)


@check("same-breaker", ("stop", "caution"), CIRCUITS)
def same_breaker(wired: Wired) -> Iterator[Draft]:
    """Outlets that look separate share a breaker: each alone would do, together they are beyond its limit."""
    for breaker in breakers(wired):
        if _shares_overload(wired, breaker):
            yield from _overload(wired, breaker)


def _shares_overload(wired: Wired, breaker: Breaker) -> bool:
    used = {hop.source for hop in breaker.hops}
    limit_a = _limits_a(breaker)[0]
    alone = [_current(wired, breaker, [hop for hop in breaker.hops if hop.source == outlet]) for outlet in used]
    return len(used) > 1 and all(one.high <= limit_a for one in alone)


def _limits_a(breaker: Breaker) -> tuple[float, float]:
    """Return where good headroom ends and where the breaker's limit is; the same where the limit has headroom. [A]"""
    rules = breaker.place.kit.rules
    limit_a = continuous_limit_a(breaker.rated_a, rules)
    share = rule_set(rules).headroom_caution_share
    return (limit_a if share is None else share * limit_a), limit_a


def _current(wired: Wired, breaker: Breaker, hops: list[Hop]) -> Given:
    return line_a(wired, [hop.load for hop in hops], supply_at(wired, breaker.outlets[0]).volts)


def _overload(wired: Wired, breaker: Breaker) -> Iterator[Draft]:
    caution_a, limit_a = _limits_a(breaker)
    if len({hop.load[0] for hop in consumers(wired, breaker.hops)}) == 1:
        caution_a = limit_a
    current = _current(wired, breaker, list(breaker.hops))
    if current.high <= caution_a:
        return
    if current.low <= caution_a or current.low <= limit_a < current.high:
        compared = against(current, limit_a if current.high > limit_a else caution_a, "A")
        asked = ask_demand(wired, breaker.hops, f"{breaker.name} carries it", compared)
        if asked is not None:
            yield asked
        return
    is_stop, where = current.low > limit_a, line_load(wired, [hop.load for hop in breaker.hops]).where
    beyond = limit_a if is_stop else caution_a
    yield judged(
        about_port(wired, breaker.outlets[0]),
        f"Move load from {breaker.name} to another breaker: {current.low:.1f} A{where} behind "
        f"{breaker.rated_a:g} A, where {beyond:g} A are {'the limit' if is_stop else 'good headroom'}.",
        against(current, beyond, "A"),
        severity="stop" if is_stop else "caution",
        inputs=(
            port_reading(wired, breaker.outlets[0], "power", "breaker_a"),
            *(as_input(name_of(wired, hop.load), demand(wired).of_inlet[hop.load]) for hop in breaker.hops),
        ),
    )


@check("leakage-high", ("caution", "stop"), "IEC 60364-5-53")
def leakage_high(wired: Wired) -> Iterator[Draft]:
    """Standing leakage behind a residual-current device is above good practice, or so high that it may trip.

    Where nobody has said what protects the outlets, the usual device of the kit's rules is assumed to stand in front of
    all that come first on the way in. That is at most a caution: the device may be another one, or there may be none,
    and a rig that holds in practice is not stopped for what is only assumed. Zero states that there is no device: then
    nothing can trip, and nothing is said.
    """
    covered, protected = _behind_devices(wired)
    for place_id, outlets in power_feeds(wired).outlets.items():
        place, by_rating = wired.places[place_id], dict[float | None, list[Node]]()
        for node in outlets:
            if _may_trip(wired, node) and (_rating_ma(wired, node) is not None or node not in covered):
                by_rating.setdefault(_rating_ma(wired, node), []).append(node)
        for rating_ma, nodes in by_rating.items():
            yield from _leakage(wired, place, nodes, set() if rating_ma is not None else protected)


def _rating_ma(wired: Wired, outlet: Node) -> float | None:
    power = wired.ports[outlet].power
    return power.rcd_ma if power is not None else None


def _may_trip(wired: Wired, outlet: Node) -> bool:
    """Tell whether there is, or may be, a residual-current device at an outlet."""
    return wired.ports[outlet].carries == "mains" and _rating_ma(wired, outlet) != 0


def _behind_devices(wired: Wired) -> tuple[set[Node], set[Node]]:
    """Return the outlets behind others that have or may have a device, and the inlets behind stated devices."""
    covered: set[Node] = set()
    protected: set[Node] = set()
    for outlet in chain.from_iterable(power_feeds(wired).outlets.values()):
        if not _may_trip(wired, outlet):
            continue
        for hop in fed_by(wired, outlet):
            covered.update(outlets_of(wired, hop.load))
            if _rating_ma(wired, outlet) is not None:
                protected.add(hop.load)
    return covered, protected


def _leakage(wired: Wired, place: Place, outlets: list[Node], judged_elsewhere: set[Node]) -> Iterator[Draft]:
    device = residual_for_tripping_ma(place.spec, outlets[0][1], place.kit.rules)
    hops = [hop for node in outlets for hop in power_feeds(wired).by_source.get(node, ())]
    loads = [hop.load for hop in consumers(wired, hops) if hop.load not in judged_elsewhere]
    places = {node[0]: wired.place_of(node) for node in loads}
    parts = {other.path: leakage_ma(other.spec) for other in places.values()}
    leaking = total(parts.values(), "power.leakage_ma")
    steps = leakage_steps_ma(device.high, place.kit.rules)
    if leaking.high <= steps.caution_above_ma:
        return
    is_assumed, word = device.provenance == "assumed", rule_set(place.kit.rules).residual_device_word
    is_stop = leaking.high >= steps.stop_from_ma and not is_assumed
    limit = steps.stop_from_ma if is_stop else steps.caution_above_ma
    yield judged(
        about_port(wired, outlets[0]),
        f"Spread the loads of {place.path} over more {word}s{', or enter which it has' if is_assumed else ''}: "
        f"{leaking.high:g} mA leak behind {'an assumed' if is_assumed else 'one of'} {device.high:g} mA, where "
        f"{limit:g} mA {'may trip it' if is_stop else 'is good practice'}.",
        against(leaking, limit, "mA"),
        severity="stop" if is_stop else "caution",
        value=leaking.high,
        inputs=(as_input(place.path, device), *(as_input(name, given) for name, given in parts.items())),
    )


@check("inrush-group", "caution", "IEC 60898")
def inrush_in_groups(wired: Wired) -> Iterator[Draft]:
    """What one breaker switches on together may trip it at once; says how many at a time."""
    for breaker in breakers(wired):
        loads = consumers(wired, breaker.hops)
        curves = breaker_curves(breaker.curve, breaker.place.kit.rules)
        if len(loads) < 2 or not curves:
            continue
        places = {hop.load[0]: wired.place_of(hop.load) for hop in loads}
        peaks = {place_id: inrush_a(place.spec) for place_id, place in places.items()}
        unsaid = next((place_id for place_id, peak in peaks.items() if not peak.settled), None)
        inputs = tuple(as_input(places[place_id].path, peak) for place_id, peak in peaks.items())
        if unsaid is not None:
            yield undecided(
                about(places[unsaid]),
                f"Enter the inrush of {places[unsaid].spec.name}: only then is it known how many may be switched on "
                f"together behind {breaker.name}.",
                unlocks="power.inrush_a",
                compared=Compared(low=len(loads), high=len(loads), unit=SUPPLIES),
                inputs=inputs,
            )
            continue
        worst = max(peak.high for peak in peaks.values())
        groups = {inrush_group(breaker.rated_a, curve, worst, SHORT_PULSE_MS) or 0 for curve in curves}
        yield from _inrush(wired, breaker, len(loads), groups, inputs)


SHORT_PULSE_MS = 1.0
"""Taken for every pulse: how long it lasts only matters with the pulse factor of a breaker's own data sheet. [ms]"""


def _inrush(wired: Wired, breaker: Breaker, loads: int, groups: set[int], inputs: tuple[Input, ...]) -> Iterator[Draft]:
    if min(groups) >= loads:
        return
    if max(groups) >= loads:
        outlet = breaker.outlets[0]
        yield undecided(
            about_port(wired, outlet),
            f"Enter the curve of the breaker of {breaker.name}: only then is it known whether {loads} supplies may be "
            "switched on together.",
            unlocks=f"ports.{outlet[1]}.power.curve",
            compared=Compared(low=min(groups), high=max(groups), unit=SUPPLIES, limit=loads, at_least=True),
            inputs=inputs,
        )
        return
    at_a_time = min(groups)
    yield judged(
        about_port(wired, breaker.outlets[0]),
        f"Switch on behind {breaker.name} in groups of {max(at_a_time, 1)}: {loads} together may trip it.",
        against(loads, at_a_time, SUPPLIES),
        inputs=(port_reading(wired, breaker.outlets[0], "power", "breaker_a"), *inputs),
    )


@check("neutral-overload", "stop", "IEC 60364-5-52")
def neutral_overload(wired: Wired) -> Iterator[Draft]:
    """What the legs do not cancel, and triplen harmonics, put more in the neutral than the coupler carries."""
    for hop, joint in mains_joints(wired):
        kind = connector(wired.ports[joint.b].connector)
        rated = rating_a(kind.code, wired.place_of(hop.load).kit.rules)
        if not (kind.lines > 1 and kind.neutral) or rated is None:
            continue
        volts = supply_of(wired, hop).volts
        current = neutral_a(wired, hop.load, volts)
        if current.high <= rated or current.low <= line_a(wired, [hop.load], volts).low > rated:
            continue  # where a line carries no less, that is judged
        compared, loads = against(current, rated, "A"), [one.load for one in consumers(wired, [hop])]
        if current.low <= rated:
            yield from _ask_harmonic(wired, loads, hop, compared)
            continue
        yield judged(
            about_port(wired, hop.load),
            f"Take load off {name_of(wired, hop.load)} or use a larger feed: {current.low:.1f} A at least go "
            f"through its neutral, rated {rated:g} A.",
            compared,
            inputs=tuple(
                as_input(wired.place_of(node).path, third_harmonic(wired.place_of(node).spec)) for node in loads
            ),
        )


def _ask_harmonic(wired: Wired, loads: list[Node], hop: Hop, compared: Compared) -> Iterator[Draft]:
    shares = {node: third_harmonic(wired.place_of(node).spec) for node in loads}
    open_share = widest(shares.values())
    decides = f"the neutral of {name_of(wired, hop.load)} carries it"
    if open_share is None:
        asked = ask_demand(wired, [hop], decides, compared)
        if asked is not None:
            yield asked
        return
    node = next(node for node, share in shares.items() if share is open_share)
    yield undecided(
        about(wired.place_of(node)),
        f"Enter the third harmonic of {wired.place_of(node).spec.name}: only then is it known whether {decides}.",
        unlocks="power.third_harmonic",
        compared=compared,
    )
