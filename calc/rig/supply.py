"""The volts of a supply where they are known: at an outlet, through what it feeds, and across an inlet.

A number at a three-phase outlet may be the voltage between its lines or to neutral; ``calc.voltages`` tells them apart.
"""

from dataclasses import dataclass
from math import sqrt

from calc.connectors import connector
from calc.rig.kit import Port, PortPower
from calc.rig.wiring import Hop, Node, Wired
from calc.rig.wiring.power import inlets_of, power_feeds
from calc.voltages import VoltageSystem, accepted_v, systems_of, voltage_system

NOMINAL_V = {"iec": 230.0, "north_america": 120.0}
"""Line to neutral, at an outlet of which nothing is stated. [V]"""
THREE_PHASES = 3
DEEPEST = 64
"""Longer than any chain of distribution; one that long is a ring."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What a mains outlet gives, or what an inlet is made for where nothing feeds it."""

    volts: float
    """Across a single-phase load there; between line and neutral of three phases. [V]"""
    between_lines: float | None
    """Of three phases; None for a single-phase supply. [V]"""
    is_stated: bool
    """Whether it is typed, or fixed by the connector; otherwise it is the nominal voltage of the rule set."""

    def met_by(self, port: Port) -> tuple[float, ...]:
        """Return the volts that the label of an inlet is about, between lines first where it may be either. [V]

        One number at a three-phase inlet names a system: 400 V is between its lines, 230 V to neutral.
        """
        coupler = connector(port.connector)
        if coupler.phases != THREE_PHASES or self.between_lines is None:
            return (self.volts,)
        number = _one_number(port.power) if port.power is not None else None
        named = systems_of(number, THREE_PHASES) if number is not None else ()
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
    for inlet in inlets_of(wired, outlet) if depth < DEEPEST else ():
        hop = power_feeds(wired).hops.get(inlet)
        if hop is None or wired.ports[inlet].carries != "mains":
            continue
        above = supply_at(wired, hop.source, depth + 1) if hop.is_fed else _made_for(wired, inlet)
        return _passed_on(wired, outlet, above)
    return _by_connector(wired, outlet)


def _passed_on(wired: Wired, outlet: Node, above: Supply) -> Supply:
    """Return what an outlet gives of the supply of its inlet: between line and neutral, unless it has three phases."""
    if connector(wired.ports[outlet].connector).phases == THREE_PHASES:
        return above
    return Supply(volts=above.volts, between_lines=None, is_stated=above.is_stated)


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
    return _of_system(systems[0], made_for.phases, is_stated=len(systems) == 1)


def _supply(wired: Wired, node: Node, volts: float, *, is_stated: bool) -> Supply:
    phases = connector(wired.ports[node].connector).phases
    if phases != THREE_PHASES:
        return Supply(volts=volts, between_lines=None, is_stated=is_stated)
    systems = systems_of(volts, THREE_PHASES)
    if systems:
        return _of_system(systems[0], phases, is_stated=is_stated)
    return Supply(volts=volts / sqrt(3), between_lines=volts, is_stated=is_stated)


def _of_system(system: VoltageSystem, phases: int | None, *, is_stated: bool) -> Supply:
    to_neutral, between = system.line_to_neutral_v, system.line_to_line_v
    if phases == THREE_PHASES:
        return Supply(volts=to_neutral or 0.0, between_lines=between, is_stated=is_stated)
    single = between if system.lines == 2 or to_neutral is None else to_neutral
    if system.lines == THREE_PHASES and between is not None:
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
