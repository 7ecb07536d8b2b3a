"""Direct current: is the output enough, and do the volts fit?"""

from collections.abc import Iterator
from math import inf

from calc.assumptions import efficiency
from calc.checking.asking import field_words
from calc.checking.compared import Compared, against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.given import Given, total, widest
from calc.load_volts import LoadVolts, at_constant_power
from calc.poe import class_limits
from calc.rig.cables import MAINS, conductor_ohm
from calc.rig.demand import demand
from calc.rig.inputs import Input, as_input, port_reading, reading
from calc.rig.poe_budget import Ask, ask
from calc.rig.subjects import about, about_port, name_of
from calc.rig.supply import label_of
from calc.rig.wiring import Hop, Lead, Node, Place, Wired, leads, poe_feeds, power_feeds

SHEET = "data sheet"


@check("splitter-overloaded", "stop", SHEET)
def splitter_overloaded(wired: Wired) -> Iterator[Draft]:
    """What hangs on an output of direct current draws more than it gives, or than its own feed leaves for it."""
    for place_id, outlets in power_feeds(wired).outlets.items():
        place = wired.places[place_id]
        fed: list[Hop] = []
        for outlet in outlets:
            hops = power_feeds(wired).by_source.get(outlet, [])
            if wired.ports[outlet].carries == "mains" or not hops:
                continue
            fed += hops
            yield from _one_output(wired, outlet, hops)
        if fed:
            yield from _all_outputs(wired, place, fed)


def _one_output(wired: Wired, outlet: Node, hops: list[Hop]) -> Iterator[Draft]:
    power = wired.ports[outlet].power
    if power is not None and power.watts is not None:
        limit = Given.known(power.watts, SHEET, f"ports.{outlet[1]}.power.watts")
        yield from _judge(wired, wired.place_of(outlet), outlet[1], hops, limit)


def _all_outputs(wired: Wired, place: Place, hops: list[Hop]) -> Iterator[Draft]:
    """Judge all outputs of a place together: by its sheet, and by the class that feeds it."""
    rated = reading(place, "power", "output_w")
    limits = []
    if isinstance(rated.value, float | int):
        limits.append(Given.known(rated.value, rated.provenance, "power.output_w"))
    limits += [_left_by_class(wired, place, one) for one in _asks(wired, place)]
    stated = [wired.ports[hop.source].power for hop in hops]
    if not limits and any(power is None or power.watts is None for power in stated):
        yield undecided(
            about(place),
            f"Enter the output of {place.path}: only then is it known whether it is enough for what it feeds.",
            unlocks="power.output_w",
            compared=against(_drawn(wired, hops), None, "W"),
        )
    if limits:
        tightest = min(limits, key=lambda limit: limit.low)
        yield from _judge(wired, place, None, hops, tightest)


def _asks(wired: Wired, place: Place) -> list[Ask]:
    return [ask(wired, feed) for feed in poe_feeds(wired).by_device.get(place.id, ())]


def _left_by_class(wired: Wired, place: Place, one: Ask) -> Given:
    """Return what a splitter has for its output: what arrives by its class, less what converting takes. [W]"""
    share = efficiency(place.spec)
    least, most = (0.0 if granted is None else class_limits(granted).device_w for granted in one.granted)
    name = f"ports.{one.feed.device[1]}.poe.class" if least != most else "power.efficiency"
    return Given(least * share.low, most * share.high, share.provenance, name)


def _judge(wired: Wired, place: Place, port: str | None, hops: list[Hop], limit: Given) -> Iterator[Draft]:
    parts = {hop.load: demand(wired).of_inlet[hop.load] for hop in hops}
    drawn = _drawn(wired, hops)
    if drawn.high <= limit.low:
        return
    inputs = (
        as_input(place.path, limit),
        *(as_input(name_of(wired, node), given) for node, given in parts.items()),
    )
    where = place.path if port is None else f"{place.path} {port}"
    if drawn.low > limit.high:
        yield judged(
            about(place, port),
            f"Feed less from {where}, or use a stronger one: {drawn.low:g} W hang on it, "
            f"and it gives {limit.high:g} W.",
            against(drawn, limit.high, "W"),
            inputs=inputs,
        )
        return
    open_part = widest((*parts.values(), limit))
    node = next((node for node, given in parts.items() if given is open_part), None)
    yield undecided(
        about(place, port) if node is None else about_port(wired, node),
        f"Enter {field_words((open_part or limit).name)} of {(wired.place_of(node) if node else place).path}: "
        f"only then is it known whether {where} gives enough.",
        unlocks=(open_part or limit).name,
        compared=against(drawn, limit, "W"),
        inputs=inputs,
    )


def _drawn(wired: Wired, hops: list[Hop]) -> Given:
    """Return what all that hangs on an output draws. [W]"""
    return total([demand(wired).of_inlet[hop.load] for hop in hops], "power.max_w")


@check("dc-mismatch", "stop", SHEET)
def dc_mismatch(wired: Wired) -> Iterator[Draft]:
    """The volts of an output are outside the range of what it feeds."""
    for hop in power_feeds(wired).hops.values():
        if not hop.is_fed or "mains" in (wired.ports[hop.load].carries, wired.ports[hop.source].carries):
            continue
        given, taken = _given_volts(wired, hop.source), _range(wired, hop.load)
        if given == (None, None) and taken == (None, None):
            continue
        yield from _compare(wired, hop, given, taken)


def _compare(
    wired: Wired, hop: Hop, given: tuple[float | None, float | None], taken: tuple[float | None, float | None]
) -> Iterator[Draft]:
    inputs = (
        *(port_reading(wired, hop.load, "power", field) for field in ("volts_min", "volts_max")),
        Input(name=f"{name_of(wired, hop.source)}: volts", value=given[1], provenance=SHEET if given[1] else "unknown"),
    )
    if given[0] is None or given[1] is None:
        least, most = taken
        limit = None if None not in taken else least if most is None else most
        yield undecided(
            about_port(wired, hop.source),
            f"Enter the volts of {name_of(wired, hop.source)}: only then is it known whether they suit "
            f"{name_of(wired, hop.load)}.",
            unlocks="power.output_volts",
            compared=Compared(low=0.0, high=inf, unit="V", limit=limit, at_least=most is None),
            inputs=inputs,
        )
        return
    too_high = taken[1] is not None and given[1] > taken[1]
    too_low = taken[0] is not None and given[0] < taken[0]
    if taken == (None, None):
        yield undecided(
            about_port(wired, hop.load),
            f"Enter the volts that {name_of(wired, hop.load)} takes: {given[1]:g} V come from "
            f"{name_of(wired, hop.source)}.",
            unlocks=f"ports.{hop.load[1]}.power.volts_max",
            compared=Compared(low=given[0], high=given[1], unit="V"),
            inputs=inputs,
        )
    elif too_high or too_low:
        value, limit = (given[1], taken[1]) if too_high else (given[0], taken[0])
        yield judged(
            about_port(wired, hop.load),
            f"Unplug {name_of(wired, hop.load)} from {name_of(wired, hop.source)}: {value:g} V come out of it, "
            f"and {limit:g} V is the {'most' if too_high else 'least'} that it takes.",
            against(value, limit, "V", at_least=not too_high),
            inputs=inputs,
        )


@check("dc-drop", "stop", "IEC 60228; Ohm's law")
def dc_drop(wired: Wired) -> Iterator[Draft]:
    """A lead of stated length and conductors leaves too few volts at what it feeds.

    The load is taken as one that draws the same watts at whatever volts arrive, as converters and supplies do.
    """
    for hop in power_feeds(wired).hops.values():
        between = [lead for lead in leads(wired, hop.run) if _is_measured(lead)]
        if not hop.is_fed or wired.ports[hop.load].carries != "dc" or not between:
            continue
        given, taken = _given_volts(wired, hop.source)[0], label_of(wired.ports[hop.load].power)
        watts = demand(wired).of_inlet[hop.load]
        if given is None or taken is None or not watts.settled or given < taken[0]:
            continue
        ohm = total([conductor_ohm(lead, DC_C) for lead in between], "cable.length_m")
        left = at_constant_power(given, watts.high, 1000, ohm.low)
        if left.at_load_v is not None and left.at_load_v >= taken[0]:
            continue
        yield _too_few_volts(wired, hop, left, taken[0], between)


DC_C = 20.0
"""A lead for some watts stays at the temperature of the room. [°C]"""


def _is_measured(lead: Lead) -> bool:
    return bool(lead.sheet.length_m) and (lead.sheet.area_mm2 is not None or lead.sheet.awg is not None)


def _too_few_volts(wired: Wired, hop: Hop, left: LoadVolts, least_v: float, between: list[Lead]) -> Draft:
    arrives = 0.0 if left.at_load_v is None else left.at_load_v
    what = left.why or f"{arrives:.1f} V of {left.supply_v:g} V arrive there"
    return judged(
        about_port(wired, hop.load),
        f"Use a thicker or shorter lead to {name_of(wired, hop.load)}: {_begun_small(what)}, "
        f"and it takes {least_v:g} V at least.",
        against(arrives, least_v, "V", at_least=True),
        inputs=(
            as_input(name_of(wired, hop.load), demand(wired).of_inlet[hop.load]),
            *MAINS.inputs(wired, between),
        ),
    )


def _begun_small(sentence: str) -> str:
    """Return a sentence as the rest of another one."""
    return sentence[:1].lower() + sentence[1:].removesuffix(".")


def _given_volts(wired: Wired, outlet: Node) -> tuple[float | None, float | None]:
    """Return the volts of an output: the range of its port, or the one figure of the sheet. [V]"""
    low, high = _range(wired, outlet)
    sheet = wired.place_of(outlet).spec.power
    rated = sheet.output_volts if sheet is not None else None
    if low is None and high is None:
        return rated, rated
    return low if low is not None else high, high if high is not None else low


def _range(wired: Wired, node: Node) -> tuple[float | None, float | None]:
    power = wired.ports[node].power
    return (None, None) if power is None else (power.volts_min, power.volts_max)
