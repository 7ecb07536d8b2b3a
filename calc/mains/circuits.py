"""Loads spread over the circuits of a venue."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain
from math import ceil, floor, gcd, lcm, sqrt

from calc.errors import BadInput, require_items, require_kind, require_number, require_one_of
from calc.mains.leakage import leakage_limit_ma
from calc.mains.power import continuous_limit_a, current_a
from calc.solve.spread import Bin, Item, Packing, pack
from calc.vocabulary import RULE_SETS

LEGS = ("L1", "L2", "L3")

_FINEST = 10**9
_GRID = 10**6
"""Where whole numbers would need finer steps than the finest, a step is a millionth of a VA, mA or A."""
_NOISE_DIGITS = 9
"""Digits of a VA or mA that still count: a load a millionth over is over, 1.1 · 100 for 110 is a rounding error.

Of the quantity and not of the step, which may be as coarse as a whole load.
"""


@dataclass(frozen=True, slots=True)
class Load:
    """What is to be plugged in."""

    name: str
    va: float
    """Worst case. [VA]"""
    leakage_ma: float
    """Protective-conductor current. [mA]"""
    zone: str | None = None
    """Where it is used; None: it reaches every circuit."""


@dataclass(frozen=True, slots=True)
class Circuit:
    """One breaker of the venue and what is behind it."""

    name: str
    breaker_a: float
    volts: float
    """Between its line conductors, or between line and neutral where it has one leg only. [V]

    A three-phase circuit is rated line to line: 400, not 230 (IEC 60038)."""
    leg: str
    """``"L1"``, ``"L2"``, ``"L3"``, two of them (``"L1-L2"``), or all three: ``"L1-L2-L3"``."""
    rcd_ma: float | None
    """Rated residual current of the device in front; None: no such device. [mA]"""
    zone: str | None = None
    already_used_a: float = 0
    """What the venue draws from it, on each of its legs. [A]

    Not known: spread twice, with 0 and with the limit; what differs is undecided."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitLoad:
    """One circuit as spread, beside its limits."""

    loads: tuple[str, ...]
    va: float
    current_a: float
    """In each line conductor, with what the venue draws. [A]"""
    limit_a: float
    leakage_ma: float
    leakage_limit_ma: float | None
    """None: no residual-current device."""

    @property
    def margin_a(self) -> float:
        """What is left, negative where the venue alone draws too much. [A]"""
        return self.limit_a - self.current_a


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Which load goes onto which circuit."""

    placed: dict[str, str]
    """Load → circuit."""
    unplaced: list[str]
    per_circuit: dict[str, CircuitLoad]
    per_leg_a: dict[str, float]
    """Of the legs that the circuits have, with what the venue draws. [A]"""
    proven: bool
    """No other spread places more VA, nor as much with a smaller difference between the legs."""


def spread(loads: Sequence[Load], circuits: Sequence[Circuit], rules: str = "north_america") -> Spread:
    """Return the spread that places most VA and, of those, has the least difference between fullest and emptiest leg.

    No circuit goes above its continuous limit or, behind a residual-current device, above 30 % of its rated current in
    leakage. A load with a zone goes only onto circuits of that zone. Where two legs feed a circuit its current counts
    on both. A load on a three-phase circuit is taken as balanced: a third of its VA on each leg, so that the line
    current is VA / (√3 · volts). Currents add as if in phase. A search that takes too long gives the best it found,
    ``proven`` False.

    Args:
        loads: Names are unique. [-]
        circuits: Names are unique. [-]
        rules: Name of the rule set, for the continuous limit. [-]

    Raises:
        BadInput: a name twice, a negative load or leakage, a circuit without rating or volts, a leg that is none, or
            unknown rules.

    Source: NFPA 70 210.20(A); IEC 60898-1 from memory; BS 7671:2018 531.3.2. Balance between legs: common practice.
    Figures for planning: local codes and a licensed electrician decide.
    """
    require_one_of("rules", rules, RULE_SETS)
    loads, circuits = require_items("loads", loads, Load), require_items("circuits", circuits, Circuit)
    _require_usable(loads, circuits)
    legs = [leg for leg in LEGS if any(leg in _legs(circuit) for circuit in circuits)]
    packing = _packing(loads, circuits, legs, rules)
    on = {load.name: circuits[place] for load, place in zip(loads, packing.bins, strict=True) if place is not None}
    per_circuit = {circuit.name: _circuit_load(circuit, loads, on, rules) for circuit in circuits}
    per_leg_a = {
        leg: sum(per_circuit[circuit.name].current_a for circuit in circuits if leg in _legs(circuit)) for leg in legs
    }
    return Spread(
        placed={name: circuit.name for name, circuit in on.items()},
        unplaced=[load.name for load in loads if load.name not in on],
        per_circuit=per_circuit,
        per_leg_a=per_leg_a,
        proven=packing.proven,
    )


def _require_usable(loads: Sequence[Load], circuits: Sequence[Circuit]) -> None:
    for argument, things in (("loads", loads), ("circuits", circuits)):
        names = [require_kind("name", thing.name, str) for thing in things]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise BadInput(argument, twice, "names that occur once")
    for load in loads:
        require_number("va", load.va, least=0)
        require_number("leakage_ma", load.leakage_ma, least=0)
    for circuit in circuits:
        require_number("breaker_a", circuit.breaker_a, above=0)
        require_number("volts", circuit.volts, above=0)
        require_number("already_used_a", circuit.already_used_a, least=0)
        if circuit.rcd_ma is not None:
            require_number("rcd_ma", circuit.rcd_ma, above=0)
        _legs(circuit)


def _legs(circuit: Circuit) -> tuple[str, ...]:
    legs = tuple(circuit.leg.split("-")) if isinstance(circuit.leg, str) else ()
    if not legs or len(set(legs)) != len(legs) or not set(legs) <= set(LEGS):
        raise BadInput("leg", circuit.leg, "L1, L2, L3, two different ones such as L1-L2, or L1-L2-L3")
    return legs


def _is_three_phase(circuit: Circuit) -> bool:
    return len(_legs(circuit)) == len(LEGS)


def _unbalanced_legs(circuit: Circuit) -> tuple[str, ...]:
    """Return the legs that the circuit loads more than others; three phases load all alike, which no balance feels."""
    return () if _is_three_phase(circuit) else _legs(circuit)


def _packing(loads: Sequence[Load], circuits: Sequence[Circuit], legs: Sequence[str], rules: str) -> Packing:
    """Put the question in whole numbers: every decimal as it was typed, so that an exact fit fits."""
    va, leakage_ma = [_exact(load.va) for load in loads], [_exact(load.leakage_ma) for load in loads]
    house_a = [
        sum((_exact(circuit.already_used_a) for circuit in circuits if leg in _unbalanced_legs(circuit)), Fraction())
        for leg in legs
    ]
    volts = [_exact(circuit.volts) for circuit in circuits]
    load_a = [[load_va / across for across in volts] for load_va in va]
    per_va, per_ma = _steps_per_unit(va), _steps_per_unit(leakage_ma)
    per_a = _steps_per_unit([*house_a, *chain.from_iterable(load_a)])
    # The square root of 3 has no end of digits: loads meant to fill three phases exactly are each rounded up by a step.
    rounding_up = len(loads) if per_va == _GRID else 0
    items = [
        Item(
            size=_up(va[index], per_va),
            leakage=_up(leakage_ma[index], per_ma),
            steps=tuple(
                round(amperes * per_a) if load.zone is None or load.zone == circuit.zone else None
                for circuit, amperes in zip(circuits, load_a[index], strict=True)
            ),
        )
        for index, load in enumerate(loads)
    ]
    bins = [
        Bin(
            room=_down(_free_va(circuit, rules), per_va) + (rounding_up if _is_three_phase(circuit) else 0),
            leakage_room=None if circuit.rcd_ma is None else _down(_exact(leakage_limit_ma(circuit.rcd_ma)), per_ma),
            legs=tuple(legs.index(leg) for leg in _unbalanced_legs(circuit)),
        )
        for circuit in circuits
    ]
    return pack(items, bins, [round(amperes * per_a) for amperes in house_a])


def _free_va(circuit: Circuit, rules: str) -> Fraction:
    limit_a = _exact(continuous_limit_a(circuit.breaker_a, rules))
    va_per_a = _exact(circuit.volts) * (_exact(sqrt(3)) if _is_three_phase(circuit) else 1)
    return (limit_a - _exact(circuit.already_used_a)) * va_per_a


def _exact(number: float) -> Fraction:
    return Fraction(str(float(number)))


def _steps_per_unit(quantities: Sequence[Fraction]) -> Fraction:
    """Return the coarsest step that makes all of them whole, or the grid where that is too fine."""
    steps = lcm(*(quantity.denominator for quantity in quantities))
    if steps > _FINEST:
        return Fraction(_GRID)
    return Fraction(steps, gcd(*(int(quantity * steps) for quantity in quantities)) or 1)


def _up(quantity: Fraction, per_unit: Fraction) -> int:
    return ceil(round(quantity, _NOISE_DIGITS) * per_unit)


def _down(quantity: Fraction, per_unit: Fraction) -> int:
    return floor(round(quantity, _NOISE_DIGITS) * per_unit)


def _circuit_load(circuit: Circuit, loads: Sequence[Load], on: Mapping[str, Circuit], rules: str) -> CircuitLoad:
    here = [load for load in loads if on.get(load.name) is circuit]
    va = sum(load.va for load in here)
    return CircuitLoad(
        loads=tuple(load.name for load in here),
        va=va,
        current_a=circuit.already_used_a + current_a(va, circuit.volts, phases=3 if _is_three_phase(circuit) else 1),
        limit_a=continuous_limit_a(circuit.breaker_a, rules),
        leakage_ma=sum(load.leakage_ma for load in here),
        leakage_limit_ma=None if circuit.rcd_ma is None else leakage_limit_ma(circuit.rcd_ma),
    )
