"""Mains cords and drums: volts lost, faults that no breaker sees, and cable left on the drum.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import inf

from calc.assumptions import breaker_curves
from calc.checking.asking import ask_demand, ask_of_lead
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.checks.circuits import Breaker, breakers
from calc.errors import LEAST_ABOVE_ZERO
from calc.given import Given, total, widest
from calc.load_volts import at_current, at_worst_leg
from calc.mains import loop_limit_ohm
from calc.rig.cables import DROP_C, FAULT_C, MAINS, conductor_ohm
from calc.rig.demand import demand, own_va
from calc.rig.inputs import Input, as_input, port_reading
from calc.rig.lines import line_a, line_load, scaled
from calc.rig.subjects import about_port, name_of
from calc.rig.supply import DEEPEST, Supply, label_of, supply_at, supply_of
from calc.rig.wiring import Hop, Lead, Node, PowerPath, Wired, hops_over, inlet_of, leads_to, power_feeds, power_paths
from calc.rules import rule_set

DROP = "IEC 60364-5-52; NEC 210.19"
LOOP = "IEC 60364-4-41"
DRUMS = "IEC 61242"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """What the cords to one inlet lose, at full load."""

    path: PowerPath
    supply: Supply
    lost: Given
    """Along the way, as a share of what the supply gives. [-]"""

    @property
    def percent(self) -> Compared:
        """Return the loss against no limit yet. [%]"""
        return Compared(low=self.lost.low * 100, high=self.lost.high * 100, unit="%")


@check("cord-drop", ("caution", "stop"), DROP)
def cord_drop(wired: Wired) -> Iterator[Draft]:
    """Cords alone lose more than the stricter guidance for the whole way: caution; too few volts at the load: stop.

    The guidance is for all the way from where the installation begins, and the venue's part of it is not known. So what
    the cords lose is held against the stricter figure, which leaves the venue the rest up to the other one; beyond that
    one, the cords alone have used up all there is. Neither is a stop: it is guidance, and many loads run on less.
    Everything behind one supply is told once, at the end that loses most.
    """
    by_origin: dict[Node, list[Drop]] = {}
    for path in power_paths(wired):
        draws = own_va(wired, wired.place_of(path.load), path.load).high > 0
        if wired.ports[path.load].carries == "mains" and draws:
            lost = total([_lost_share(wired, hop) for hop in path.hops], "cable.length_m")
            drop = Drop(path=path, supply=supply_of(wired, path.hops[-1]), lost=lost)
            by_origin.setdefault(path.origin, []).append(drop)
    for drops in by_origin.values():
        yield from _worst_of([draft for drop in drops for draft in _judge_drop(wired, drop)])


def _worst_of(drafts: list[Draft]) -> Iterator[Draft]:
    """Return the worst of what was found behind one supply, with how many more there are; else what is asked."""
    found = [draft for draft in drafts if draft.code is None]
    if not found:
        yield from drafts
        return
    worst = max(found, key=lambda draft: (draft.severity == "stop", -(draft.margin or 0.0)))
    more = len(found) - 1
    others = f" So do the cords to {more} more {'inlet' if more == 1 else 'inlets'} there." if more else ""
    yield replace(worst, message=f"{worst.message}{others}")


def _lost_share(wired: Wired, hop: Hop) -> Given:
    """Return what is lost between an inlet and what feeds it, as a share of the volts there. [-]

    A cord of several lines loses them on the line that carries most, and along the neutral by what the others do not
    cancel; any other one out and back.
    """
    between = leads_to(wired, hop)
    if not between:
        return Given.known(0.0, "data sheet", "cable.length_m")
    volts, crossing = supply_of(wired, hop).volts, [hop.load]
    if hop.run.joints:
        crossing = [one.load for one in hops_over(wired, hop.run.joints[-1])]
    each = [scaled(va, 1 / volts) for va in line_load(wired, crossing).each]
    ohm = total([conductor_ohm(lead, DROP_C) for lead in between], "cable.length_m")
    settled = ohm.settled and all(current.settled for current in each)
    return Given(
        _share(volts, [current.low for current in each], ohm.low),
        _share(volts, [current.high for current in each], ohm.high),
        "unknown" if not settled else ohm.provenance,
        "cable.length_m" if all(current.settled for current in each) else "power.rated_a",
    )


def _share(volts: float, each_a: Sequence[float], ohm: float) -> float:
    if ohm < LEAST_ABOVE_ZERO or not each_a:
        return 0.0
    if inf in each_a:
        return inf
    if len(each_a) == 1:
        lost = at_current(volts, each_a[0], 1000, ohm)
    else:
        lost = at_worst_leg(volts, tuple(each_a), 1000, ohm)
    return (lost.lost_v or 0.0) / volts


def _judge_drop(wired: Wired, drop: Drop) -> Iterator[Draft]:
    rules = rule_set(wired.place_of(drop.path.load).kit.rules)
    loss = drop.percent
    most = rules.drop_limit_percent if loss.low > rules.drop_limit_percent else rules.drop_caution_percent
    percent = replace(loss, limit=most)
    arriving = _arriving(wired, drop)
    if arriving.limit is not None and arriving.high < arriving.limit:
        yield _dropped(wired, drop, arriving, "stop")
        return
    if percent.is_within is False:
        yield _dropped(wired, drop, percent, "caution")
    if percent.is_within is None or (arriving.limit is not None and arriving.is_within is None):
        asked = _ask_about_drop(wired, drop.path, percent if percent.is_within is None else arriving)
        if asked is not None:
            yield asked


def _arriving(wired: Wired, drop: Drop) -> Compared:
    """Return the volts that arrive, in the terms of the inlet's label, against the least that it takes. [V]"""
    port = wired.ports[drop.path.load]
    label = label_of(port.power)
    offered = supply_of(wired, drop.path.hops[0]).met_by(port)
    volts = next((one for one in offered if label is not None and label[0] <= one <= label[1]), offered[0])
    least = label[0] if label is not None and label[0] <= volts else None  # otherwise the voltage itself is wrong
    left_low, left_high = (max(0.0, volts * (1 - share)) for share in (drop.lost.high, drop.lost.low))
    return Compared(low=left_low, high=left_high, unit="V", limit=least, at_least=True)


def _dropped(wired: Wired, drop: Drop, compared: Compared, severity: str) -> Draft:
    """Return the finding of what is lost at least, in percent, or of the volts that arrive at most."""
    where, volts, share = name_of(wired, drop.path.load), drop.supply.volts, drop.lost.low
    lost = f"at full load they lose {share * 100:.1f} %, {volts * share:.1f} V of {volts:g} V"
    if share >= 1:
        lost = f"at full load they would lose more than the {volts:g} V that there are"
    why = f"{compared.limit:g} % are good practice for the whole way, the venue's part included"
    if severity == "stop":
        why = f"{compared.high:.0f} V arrive, and it takes {compared.limit:g} V at least"
    known = "data sheet" if drop.supply.is_stated else "assumed"
    return judged(
        about_port(wired, drop.path.load),
        f"Use thicker or shorter cords to {where}: {lost}; {why}.",
        compared,
        severity=severity,
        inputs=(
            Input(name="volts of the supply", value=volts, provenance=known),
            *_lead_inputs(wired, drop.path.hops),
        ),
    )


def _lead_inputs(wired: Wired, hops: Iterable[Hop]) -> tuple[Input, ...]:
    return tuple(given for hop in hops for given in MAINS.inputs(wired, leads_to(wired, hop)))


def _ask_about_drop(wired: Wired, path: PowerPath, compared: Compared) -> Draft | None:
    decides = f"enough volts arrive at {name_of(wired, path.load)}"
    asked = ask_demand(wired, path.hops[-1:], decides, compared)
    if asked is not None:
        return asked
    between = [lead for hop in path.hops for lead in leads_to(wired, hop)]
    ohms = [conductor_ohm(lead, DROP_C) for lead in between]
    least_known = widest(ohms)
    if least_known is None:
        return None
    return ask_of_lead(wired, between[ohms.index(least_known)], least_known.name, decides, compared)


@check("loop-too-long", ("stop", "caution"), LOOP)
def loop_too_long(wired: Wired) -> Iterator[Draft]:
    """The cords behind a breaker alone are so long that it would not disconnect a fault at once.

    A residual current device of 30 mA does that instead (IEC 60364-4-41, 411.4.5), there or anywhere before it; behind
    a larger one it is a caution. Each breaker is told once, at the end that is farthest away, and only for what no
    other breaker behind it disconnects.
    """
    for breaker in breakers(wired):
        rcd_ma = _least_rcd_ma(wired, breaker)
        if rcd_ma is not None and 0 < rcd_ma <= RCD_FOR_FAULTS_MA:
            continue
        behind = [(path, hops) for path in power_paths(wired) if (hops := _up_to(wired, path, breaker))]
        if behind:
            path, hops = max(behind, key=lambda one: _loop_ohm(wired, one[1]).low)
            yield from _judge_loop(wired, breaker, path, hops, "caution" if rcd_ma else "stop")


RCD_FOR_FAULTS_MA = 30.0
"""A residual current device that protects people disconnects a fault to earth whatever the cord's length. [mA]"""


def _least_rcd_ma(wired: Wired, breaker: Breaker) -> float | None:
    """Return the most sensitive device in front of a breaker's outlets, for the one where it is least so. [mA]"""
    each = [
        min((ma for ma in _rcds_before(wired, outlet) if ma is not None and ma > 0), default=None)
        for outlet in breaker.outlets
    ]
    known = [ma for ma in each if ma is not None]
    return max(known) if len(known) == len(each) else None


def _rcds_before(wired: Wired, outlet: Node) -> Iterator[float | None]:
    """Return what is stated of residual current devices at an outlet and on the way up from it. [mA]"""
    node: Node | None = outlet
    for _ in range(DEEPEST):
        if node is None:
            return
        power = wired.ports[node].power
        yield power.rcd_ma if power is not None else None
        inlet = inlet_of(wired, node)
        hop = power_feeds(wired).hops[inlet] if inlet is not None else None
        node = hop.source if hop is not None and hop.is_fed else None


def _loop_ohm(wired: Wired, hops: tuple[Hop, ...]) -> Given:
    """Return the resistance of the cords, out and back. [Ω]"""
    ohms = [conductor_ohm(lead, FAULT_C) for hop in hops for lead in leads_to(wired, hop)]
    return total([*ohms, *ohms], "cable.length_m")


def _up_to(wired: Wired, path: PowerPath, breaker: Breaker) -> tuple[Hop, ...]:
    """Return the hops of a path between its inlet and the breaker; none if another breaker or no way leads there."""
    for number, hop in enumerate(path.hops, start=1):
        if hop.is_fed and hop.source in breaker.outlets:
            return path.hops[:number]
        power = wired.ports[hop.source].power
        if hop.is_fed and power is not None and power.breaker_a is not None:
            return ()
    return ()


def _judge_loop(
    wired: Wired, breaker: Breaker, path: PowerPath, hops: tuple[Hop, ...], severity: str
) -> Iterator[Draft]:
    loop, outlet = _loop_ohm(wired, hops), breaker.outlets[0]
    volts = supply_at(wired, outlet).volts
    curves = breaker_curves(breaker.curve, breaker.place.kit.rules)
    limits = sorted(loop_limit_ohm(breaker.rated_a, curve, volts) for curve in curves)
    if not limits or loop.low <= limits[0]:
        return
    if loop.low <= limits[-1]:
        yield undecided(
            about_port(wired, outlet),
            f"Enter the curve of the breaker of {breaker.name}: only then is it known whether it disconnects a fault "
            f"at {name_of(wired, path.load)}.",
            unlocks=f"ports.{outlet[1]}.power.curve",
            compared=Compared(low=limits[0], high=limits[-1], unit="Ω", limit=loop.low, at_least=True),
        )
        return
    yield judged(
        about_port(wired, path.load),
        f"Use thicker or shorter cords to {name_of(wired, path.load)}: a fault there meets {loop.low:.2f} Ω "
        f"before the supply's own, and {breaker.name} disconnects at once up to {limits[-1]:.2f} Ω.",
        Compared(low=loop.low, high=loop.high, unit="Ω", limit=limits[-1]),
        severity=severity,
        inputs=(
            port_reading(wired, outlet, "power", "breaker_a"),
            port_reading(wired, outlet, "power", "curve"),
            *_lead_inputs(wired, hops),
        ),
    )


@check("drum-coiled", "caution", DRUMS)
def drum_coiled(wired: Wired) -> Iterator[Draft]:
    """More goes through a drum than it carries while cable is left on it."""
    for hop in power_feeds(wired).hops.values():
        if wired.ports[hop.load].carries != "mains":
            continue
        for lead in leads_to(wired, hop):
            if lead.spec is not None and lead.spec.kind == "drum":
                yield from _judge_drum(wired, hop, lead)


def _judge_drum(wired: Wired, hop: Hop, lead: Lead) -> Iterator[Draft]:
    name = lead.spec.name if lead.spec is not None else "the drum"
    rated = lead.sheet.coiled_a
    va = demand(wired).of_inlet[hop.load]
    current = line_a(wired, [hop.load], supply_of(wired, hop).volts)
    if current.high == 0 or (rated is not None and current.high <= rated):
        return
    if rated is None:
        decides = "it carries the load without being unwound"
        yield ask_of_lead(wired, lead, "cable.coiled_a", decides, against(current, None, "A"))
    elif current.low > rated:
        unwound = f", unwound {lead.sheet.rated_a:g} A" if lead.sheet.rated_a is not None else ""
        yield judged(
            about_port(wired, hop.load),
            f"Unwind {name} to {name_of(wired, hop.load)} fully: {current.low:.1f} A go through it, and coiled it "
            f"carries {rated:g} A{unwound}.",
            against(current, rated, "A"),
            inputs=(as_input(name_of(wired, hop.load), va), Input(name=f"{name}: coiled_a", value=rated)),
        )
    else:
        decides = f"{name} carries it without being unwound"
        asked = ask_demand(wired, [hop], decides, against(current, rated, "A"))
        if asked is not None:
            yield asked
