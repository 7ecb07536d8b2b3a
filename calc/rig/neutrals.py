"""What goes through the neutral of a feed: what its lines do not cancel, and the third harmonics of three phases."""

from collections.abc import Iterable
from math import hypot, inf

from calc.assumptions import third_harmonic
from calc.connectors import connector
from calc.given import Given, total
from calc.mains import neutral_current_a, phase_current_a
from calc.rig.behind import by_line, head_of, lines_of
from calc.rig.demand import between, own
from calc.rig.lines import LineLoad, line_load, scaled, spread
from calc.rig.wiring import Node, Wired


def neutral_a(wired: Wired, load: Node, volts: float) -> Given:
    """Return the current in the neutral of an inlet of several lines, by the legs of what is behind it. [A]

    Where a leg is not written, the lines may cancel all but the third harmonics. Those of split phase cancel as well.

    Args:
        wired: The graph.
        load: The inlet.
        volts: Between line and neutral. [V]
    """
    head, lines = head_of(wired, load), lines_of(wired, load)
    lined = line_load(wired, [head])
    uneven = _uneven_a(lined, volts)
    if len(lines) < 3:
        return uneven
    thirds = spread(by_line(wired, [head]), lines, lambda nodes: _third_va(wired, nodes))
    third = scaled(total(thirds.each, "power.third_harmonic"), 1 / volts)
    provenance = total([uneven, third], "").provenance
    return between(hypot(uneven.low, third.low), hypot(uneven.high, third.high), provenance, third.name)


def _uneven_a(lined: LineLoad, volts: float) -> Given:
    """Return what the loads to neutral do not cancel of each other, harmonics left out. [A]"""
    each = [scaled(va, 1 / volts) for va in lined.to_neutral]
    provenance, name = total(each, "").provenance, lined.worst.name
    if not lined.is_told or not each:
        return Given.known(0.0, provenance, name)
    if not all(current.settled for current in each):
        return between(0.0, max(current.high for current in each), provenance, name)
    amounts = [current.low for current in each]
    if len(amounts) < 3:
        return Given.known(abs(amounts[0] - sum(amounts[1:])), provenance, name)
    left = neutral_current_a(*amounts)
    return Given.known(left, provenance, name)


def _third_va(wired: Wired, nodes: Iterable[Node]) -> Given:
    """Return the third harmonic of what is behind some inlets, as a part of their apparent power. [VA]"""
    parts = []
    for node in dict.fromkeys(nodes):
        if connector(wired.ports[node].connector).neutral is False:
            continue
        va, share = own(wired, node), third_harmonic(wired.place_of(node).spec)
        low, high = va.low * _of_effective(share.low), va.high * _of_effective(share.high) if va.high < inf else inf
        parts.append(between(low, high, total([va, share], "").provenance, share.name))
    return total(parts, "power.third_harmonic")


def _of_effective(third: float) -> float:
    """Return the third harmonic as a share of the effective current. [-]"""
    return third / phase_current_a(1.0, third)
