"""Mains cords and drums: volts lost, faults that no breaker sees, and cable left on the drum.

Figures for planning; local codes, the venue's rules and a licensed electrician decide.
"""

from collections.abc import Iterable, Iterator
from math import inf

from calc.checking.asking import ask_demand, ask_of_lead
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged
from calc.checking.registry import check
from calc.checks.circuits import ELECTRICIAN, Breaker, breakers
from calc.conductors import drop_v
from calc.errors import LEAST_ABOVE_ZERO
from calc.given import Given, total, widest
from calc.mains import loop_limit_ohm
from calc.rig.cables import DROP_C, FAULT_C, MAINS, conductor_ohm
from calc.rig.demand import amperes, consumers, demand, outlet_volts
from calc.rig.inputs import Input, as_input, port_reading
from calc.rig.subjects import about_port, name_of
from calc.rig.wiring import Hop, Lead, PowerPath, Wired, leads, power_feeds, power_paths
from calc.rules import rule_set

DROP = "IEC 60364-5-52; NEC 210.19"
LOOP = "IEC 60364-4-41"
DRUMS = "IEC 61242"


@check("cord-drop", ("caution", "stop"), DROP)
def cord_drop(wired: Wired) -> Iterator[Draft]:
    """Cords alone lose more than the stricter guidance for the whole way: caution; too few volts at the load: stop.

    The guidance is for all the way from where the installation begins, and the venue's part of it is not known. So what
    the cords lose is held against the stricter figure, which leaves the venue the rest up to the other one; beyond that
    one, the cords alone have used up all there is. Neither is a stop: it is guidance, and many loads run on less.
    """
    for path in power_paths(wired):
        if wired.ports[path.load].carries != "mains" or not consumers(wired, path.hops[:1]):
            continue
        lost = total([_lost_v(wired, hop) for hop in path.hops], "cable.length_m")
        volts = outlet_volts(wired, path.origin)
        yield from _judge_drop(wired, path, lost, volts)


def _lost_v(wired: Wired, hop: Hop) -> Given:
    """Return the volts lost between an inlet and what feeds it. [V]"""
    joint = hop.run.joints[-1] if hop.run.joints else None
    if joint is None:
        return Given.known(0.0, "data sheet", "cable.length_m")
    through = demand(wired).through_joint[joint.number]
    current = amperes(through, outlet_volts(wired, hop.source), wired.ports[hop.load].connector)
    ohm = total([conductor_ohm(lead, DROP_C) for lead in leads(wired, hop.run)], "cable.length_m")
    if ohm.high < LEAST_ABOVE_ZERO:
        return Given.known(0.0, "data sheet", "cable.length_m")
    return Given(
        drop_v(current.low, 1000, ohm.low) if ohm.low >= LEAST_ABOVE_ZERO else 0.0,
        drop_v(current.high, 1000, ohm.high) if current.high < inf else inf,
        "unknown" if not (current.settled and ohm.settled) else ohm.provenance,
        through.name if not current.settled else "cable.length_m",
    )


def _judge_drop(wired: Wired, path: PowerPath, lost: Given, volts: float) -> Iterator[Draft]:
    rules = rule_set(wired.place_of(path.load).kit.rules)
    power = wired.ports[path.load].power
    least_v = power.volts_min if power is not None else None
    low, high = lost.low / volts * 100, lost.high / volts * 100
    most = rules.drop_limit_percent if low > rules.drop_limit_percent else rules.drop_caution_percent
    percent = Compared(low=low, high=high, unit="%", limit=most)
    arriving = Compared(low=volts - lost.high, high=volts - lost.low, unit="V", limit=least_v, at_least=True)
    if least_v is not None and arriving.high < least_v:
        yield _dropped(wired, path, arriving, volts)
        return
    if percent.is_within is False:
        yield _dropped(wired, path, percent, volts)
    if percent.is_within is None or (least_v is not None and arriving.is_within is None):
        asked = _ask_about_drop(wired, path, percent if percent.is_within is None else arriving)
        if asked is not None:
            yield asked


def _dropped(wired: Wired, path: PowerPath, compared: Compared, volts: float) -> Draft:
    """Return the finding of what is lost at least, in percent, or of the volts that arrive at most."""
    is_stop = compared.at_least
    lost_v = volts - compared.better_end if is_stop else volts * compared.better_end / 100
    what = "the load needs" if is_stop else "are good practice for the whole way, the venue's part included"
    return judged(
        about_port(wired, path.load),
        f"Use thicker or shorter cords to {name_of(wired, path.load)}: at full load they lose {lost_v:.1f} V "
        f"of {volts:g} V, and {volts - lost_v:.0f} V arrive; {compared.limit:g} {compared.unit} {what}. {ELECTRICIAN}",
        compared,
        severity="stop" if is_stop else "caution",
        inputs=(
            Input(name="volts of the supply", value=volts, provenance="assumed"),
            *_lead_inputs(wired, path.hops),
        ),
    )


def _lead_inputs(wired: Wired, hops: Iterable[Hop]) -> tuple[Input, ...]:
    return tuple(given for hop in hops for given in MAINS.inputs(wired, leads(wired, hop.run)))


def _ask_about_drop(wired: Wired, path: PowerPath, compared: Compared) -> Draft | None:
    decides = f"enough volts arrive at {name_of(wired, path.load)}"
    asked = ask_demand(wired, path.hops[-1:], decides, compared)
    if asked is not None:
        return asked
    between = [lead for hop in path.hops for lead in leads(wired, hop.run)]
    ohms = [conductor_ohm(lead, DROP_C) for lead in between]
    least_known = widest(ohms)
    if least_known is None:
        return None
    return ask_of_lead(wired, between[ohms.index(least_known)], least_known.name, decides, compared)


@check("loop-too-long", "stop", LOOP)
def loop_too_long(wired: Wired) -> Iterator[Draft]:
    """The cords behind a breaker alone are so long that it would not disconnect a fault at once."""
    for breaker in breakers(wired):
        for path in power_paths(wired):
            behind = _up_to(path, breaker)
            if behind and breaker.curve is not None:
                yield from _judge_loop(wired, breaker, path, behind)


def _up_to(path: PowerPath, breaker: Breaker) -> tuple[Hop, ...]:
    """Return the hops of a path between its inlet and the breaker; none if it does not lead there."""
    for number, hop in enumerate(path.hops, start=1):
        if hop.is_fed and hop.source in breaker.outlets:
            return path.hops[:number]
    return ()


def _judge_loop(wired: Wired, breaker: Breaker, path: PowerPath, hops: tuple[Hop, ...]) -> Iterator[Draft]:
    ohms = [conductor_ohm(lead, FAULT_C) for hop in hops for lead in leads(wired, hop.run)]
    cords_ohm = total(ohms, "cable.length_m")
    loop_ohm = 2 * cords_ohm.low
    volts = outlet_volts(wired, breaker.outlets[0])
    limit = loop_limit_ohm(breaker.rated_a, str(breaker.curve), volts)
    if loop_ohm <= limit:
        return
    yield judged(
        about_port(wired, path.load),
        f"Use thicker or shorter cords to {name_of(wired, path.load)}: a fault there meets {loop_ohm:.2f} Ω "
        f"before the supply's own, and {breaker.name} disconnects at once up to {limit:.2f} Ω. {ELECTRICIAN}",
        Compared(low=loop_ohm, high=2 * cords_ohm.high, unit="Ω", limit=limit),
        inputs=(
            port_reading(wired, breaker.outlets[0], "power", "breaker_a"),
            port_reading(wired, breaker.outlets[0], "power", "curve"),
            *_lead_inputs(wired, hops),
        ),
    )


@check("drum-coiled", "stop", DRUMS)
def drum_coiled(wired: Wired) -> Iterator[Draft]:
    """More goes through a drum than it carries while cable is left on it."""
    for hop in power_feeds(wired).hops.values():
        if wired.ports[hop.load].carries != "mains":
            continue
        for lead in leads(wired, hop.run):
            if lead.spec is not None and lead.spec.kind == "drum":
                yield from _judge_drum(wired, hop, lead)


def _judge_drum(wired: Wired, hop: Hop, lead: Lead) -> Iterator[Draft]:
    name = lead.spec.name if lead.spec is not None else "the drum"
    rated = lead.sheet.coiled_a
    va = demand(wired).of_inlet[hop.load]
    current = amperes(va, outlet_volts(wired, hop.source), wired.ports[hop.load].connector)
    if current.high == 0 or (rated is not None and current.high <= rated):
        return
    if rated is None:
        decides = "it carries the load without being unwound"
        yield ask_of_lead(wired, lead, "cable.coiled_a", decides, against(current, None, "A"))
    elif current.low > rated:
        yield judged(
            about_port(wired, hop.load),
            f"Unwind {name} to {name_of(wired, hop.load)} fully, or use a stronger one: {current.low:.1f} A go "
            f"through it, and coiled it carries {rated:g} A.",
            against(current, rated, "A"),
            inputs=(as_input(name_of(wired, hop.load), va), Input(name=f"{name}: coiled_a", value=rated)),
        )
    else:
        decides = f"{name} carries it without being unwound"
        asked = ask_demand(wired, [hop], decides, against(current, rated, "A"))
        if asked is not None:
            yield asked
