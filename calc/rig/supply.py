"""The volts of a supply where they are known: at an outlet, through what it feeds, and across an inlet.

A number at an outlet of several lines, three phases or split phase, may be the voltage between its lines or to neutral;
``calc.voltages`` tells them apart.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from calc.connectors import connector
from calc.rig.kit import Port, PortPower
from calc.rig.wiring import Hop, Node, Wired
from calc.rig.wiring.power import inlets_of, power_feeds
from calc.voltages import TOLERANCE, VoltageSystem, accepted_v, systems_of, voltage_system

NOMINAL_V = {"iec": 230.0, "north_america": 120.0}
"""Line to neutral, at an outlet of which nothing is stated. [V]"""
LINES_APART = {2: 2.0, 3: sqrt(3)}
"""Volts between two lines over those to neutral: of split phase and of three phases. [-]"""
DEEPEST = 64
"""Longer than any chain of distribution; one that long is a ring."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What a mains outlet gives, or what an inlet is made for where nothing feeds it."""

    volts: float
    """Across a single-phase load there; between line and neutral where there are several lines. [V]"""
    between_lines: float | None
    """Of three phases or split phase; None for a single-phase supply. [V]"""
    is_stated: bool
    """Whether it is typed, or fixed by the connector; otherwise it is the nominal voltage of the rule set."""

    def met_by(self, port: Port) -> tuple[float, ...]:
        """Return the volts that the label of an inlet is about, between lines first where it may be either. [V]

        One number at an inlet of several lines names a system: 400 V is between its lines, 230 V to neutral.
        """
        coupler = connector(port.connector)
        if coupler.lines == 1 or self.between_lines is None:
            return (self.volts,)
        number = _one_number(port.power) if port.power is not None else None
        named = _systems(number, coupler.lines) if number is not None else ()
        if not coupler.neutral:
            return (self.between_lines,)
        if number is None or not named:
            return (self.between_lines, self.volts)
        between, to_neutral = named[0].line_to_line_v or 0.0, named[0].line_to_neutral_v or 0.0
        is_between = abs(number - between) <= abs(number - to_neutral)
        return (self.between_lines,) if is_between else (self.volts,)


def supply_of(wired: Wired, hop: Hop) -> Supply:
    """Return the supply that an inlet meets; where nothing feeds it, what its label and connector are made for."""
    return supply_at(wired, hop.source) if hop.is_fed else _made_for(wired, hop.load)


def supply_at(wired: Wired, outlet: Node, depth: int = 0) -> Supply:
    """Return what a mains outlet gives: as typed, else as what feeds it, else as its connector or the rules have it."""
    power = wired.ports[outlet].power
    stated = _one_number(power) if power is not None and power.role == "source" else None
    if stated is not None:
        return _supply(wired, outlet, stated, is_stated=True)
    poles = [connector(wired.ports[inlet].connector).pole for inlet in inlets_of(wired, outlet)]
    for inlet, pole in zip(inlets_of(wired, outlet), poles, strict=True) if depth < DEEPEST else ():
        hop = power_feeds(wired).hops.get(inlet)
        if hop is None or wired.ports[inlet].carries != "mains" or pole in ("N", "E"):
            continue
        above = supply_at(wired, hop.source, depth + 1) if hop.is_fed else _made_for(wired, inlet)
        return _passed_on(wired, outlet, above if pole is None else _of_poles(above, poles))
    return _by_connector(wired, outlet)


def _of_poles(above: Supply, poles: Sequence[str | None]) -> Supply:
    """Return what single-pole inlets make together of the volts of one of them."""
    lines = len({pole for pole in poles if pole is not None and pole.startswith("L")})
    systems = _systems(above.volts, lines)
    return above if lines == 1 or not systems else _of_system(systems[0], lines, is_stated=above.is_stated)


def _passed_on(wired: Wired, outlet: Node, above: Supply) -> Supply:
    """Return what an outlet gives of the supply of its inlet: between line and neutral, unless it has several lines."""
    port = wired.ports[outlet]
    if connector(port.connector).lines > 1:
        return above
    leg = port.power.leg if port.power is not None else None
    is_between = "-" in leg if leg is not None else _is_made_for_two_lines(wired, outlet, above)
    volts = above.between_lines if is_between and above.between_lines is not None else above.volts
    return Supply(volts=volts, between_lines=None, is_stated=above.is_stated)


def _is_made_for_two_lines(wired: Wired, outlet: Node, above: Supply) -> bool:
    """Tell whether a single-phase outlet is shaped for the volts between two lines of what feeds its box."""
    if above.between_lines is None:
        return False
    names = connector(wired.ports[outlet].connector).systems.get(wired.place_of(outlet).kit.rules, ())
    between = [voltage_system(name).line_to_line_v for name in names if voltage_system(name).lines > 1]
    return any(volts is not None and abs(volts - above.between_lines) <= TOLERANCE * volts for volts in between)


def _made_for(wired: Wired, inlet: Node) -> Supply:
    """Return the supply that an inlet is labelled for, or that its connector fixes."""
    fixed = _by_connector(wired, inlet)
    power = wired.ports[inlet].power
    label = label_of(power)
    if label is None:
        return fixed
    nominal = fixed.volts if fixed.between_lines is None else fixed.between_lines
    if label[0] <= nominal <= label[1]:
        return fixed
    typed = power.volts_max if power is not None and power.volts_max is not None else label[1]
    return _supply(wired, inlet, typed, is_stated=True)


def _by_connector(wired: Wired, node: Node) -> Supply:
    rules = wired.place_of(node).kit.rules
    made_for = connector(wired.ports[node].connector)
    systems = [voltage_system(name) for name in made_for.systems.get(rules, ())]
    if not systems:
        return _supply(wired, node, NOMINAL_V[rules], is_stated=False)
    return _of_system(systems[0], made_for.lines, is_stated=len(systems) == 1)


def _supply(wired: Wired, node: Node, volts: float, *, is_stated: bool) -> Supply:
    lines = connector(wired.ports[node].connector).lines
    if lines == 1:
        return Supply(volts=volts, between_lines=None, is_stated=is_stated)
    systems = _systems(volts, lines)
    if systems:
        return _of_system(systems[0], lines, is_stated=is_stated)
    return Supply(volts=volts / LINES_APART[lines], between_lines=volts, is_stated=is_stated)


def _systems(volts: float, lines: int) -> tuple[VoltageSystem, ...]:
    """Return the systems with a neutral that a number at several lines may mean; two lines may be those of three."""
    named = systems_of(volts, lines) or (systems_of(volts, 3) if lines == 2 else ())
    return tuple(system for system in named if system.line_to_neutral_v is not None)


def _of_system(system: VoltageSystem, lines: int, *, is_stated: bool) -> Supply:
    to_neutral, between = system.line_to_neutral_v, system.line_to_line_v
    if lines > 1:
        return Supply(volts=to_neutral or 0.0, between_lines=between, is_stated=is_stated)
    single = between if system.lines == 2 or to_neutral is None else to_neutral
    if system.lines == 3 and between is not None:
        single = between  # a single-phase connector of a three-phase system is keyed for two of its lines
    return Supply(volts=single or 0.0, between_lines=None, is_stated=is_stated)


def label_of(power: PortPower | None) -> tuple[float, float] | None:
    """Return the volts that an inlet accepts by its label; None where it states none. [V]

    Source: a single number is a nominal voltage with its tolerance (IEC 60038); a range is what it says.
    """
    ends = [] if power is None else [volts for volts in (power.volts_min, power.volts_max) if volts is not None]
    return accepted_v(min(ends), max(ends)) if ends else None


def _one_number(power: PortPower) -> float | None:
    """Return the volts that are typed at an outlet; a range says what goes through it, not what comes out. [V]"""
    if None not in (power.volts_min, power.volts_max) and power.volts_min != power.volts_max:
        return None
    return power.volts_max if power.volts_max is not None else power.volts_min
