"""Lighting control sent to groups over the network: what floods a port, what the air takes, what a universe holds."""

from collections.abc import Iterator
from math import fsum, inf

from calc.checking.compared import against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.dmx import SLOTS_LIMIT, radio_airtime, sacn_bit_rate_mbps
from calc.rig.brief import Universe
from calc.rig.inputs import Input, port_speed, reading
from calc.rig.subjects import about, about_kit, about_port, counted, name_of
from calc.rig.wiring import (
    Channel,
    Network,
    Node,
    Place,
    Wired,
    channels,
    fabric_groups,
    fabric_of,
    far_end,
    is_within,
    places_in,
)

E131 = "ANSI E1.31, RFC 4541"
FLOOD_CAUTION_SHARE = 0.75
"""How full a port may be planned. Source: common practice."""
AIRTIME_CAUTION = 0.35
AIRTIME_STOP = 0.70
"""Share of all the time there is. Source: common practice."""
USUAL_BASIC_RATE_MBPS = 6.0
"""The lowest rate that every OFDM station must know, and sends to groups at. Source: IEEE 802.11."""


@check("universe-overfull", "stop", "ANSI E1.11")
def universe_overfull(wired: Wired) -> Iterator[Draft]:
    """More than 512 slots are asked of one universe."""
    for kit, brief in wired.briefs:
        for universe in brief.universes:
            if universe.slots > SLOTS_LIMIT:
                yield judged(
                    about_kit(wired, kit),
                    f"Move fixtures from universe {universe.number} to another: {universe.slots} slots are "
                    f"asked of it, and it has {SLOTS_LIMIT}.",
                    against(universe.slots, SLOTS_LIMIT, "slots"),
                    inputs=(Input(name=f"universe {universe.number}, slots", value=universe.slots),),
                )


@check("multicast-flood", ("stop", "caution"), E131)
def multicast_flood(wired: Wired) -> Iterator[Draft]:
    """Groups are sent to every port of gear that does not snoop: caution above 75 % of the slowest, stop above it."""
    for network in fabric_groups(wired) if _universes(wired) else ():
        universes = _universes(wired, network)
        load_mbps = fsum(_mbps(universe) for universe in universes)
        flooded = [
            (speed, node, place)
            for place in places_in(wired, network)
            if snoops(place) is not True
            for speed, node in _slowest_ends(wired, place, network)
        ]
        speed, node, place = min(flooded, key=lambda end: end[:2], default=(inf, None, None))
        if node is not None and place is not None and load_mbps > FLOOD_CAUTION_SHARE * speed:
            yield _flooded(wired, universes, load_mbps, speed, node, place)


def _flooded(
    wired: Wired, universes: list[Universe], load_mbps: float, speed_mbps: float, node: Node, place: Place
) -> Draft:
    inputs = (
        Input(name="universes", value=len(universes)),
        Input(name="on the wire, Mb/s", value=load_mbps),
        port_speed(wired, node),
        reading(place, "network", "snooping"),
    )
    if snoops(place) is None:
        return undecided(
            about(place),
            f"Say whether {place.path} snoops on groups: {counted(len(universes), 'universe')} would fill "
            f"{name_of(wired, node)}.",
            unlocks="network.snooping",
            inputs=inputs,
        )
    is_over = load_mbps > speed_mbps
    limit_mbps = speed_mbps if is_over else FLOOD_CAUTION_SHARE * speed_mbps
    return judged(
        about_port(wired, node),
        f"Put gear that snoops on groups, with a querier, in place of {place.path}: it sends "
        f"{counted(len(universes), 'universe')}, {load_mbps:.3g} Mb/s, to every port, and {name_of(wired, node)} "
        f"{'carries' if is_over else 'is planned for'} {limit_mbps:g} Mb/s{'' if is_over else ', 75 % of its rate'}.",
        against(load_mbps, limit_mbps, "Mb/s"),
        severity="stop" if is_over else "caution",
        inputs=inputs,
    )


def snoops(place: Place) -> bool | None:
    """Tell whether a place sends groups only to who listens; what is not managed never does."""
    sheet = place.spec.network
    if sheet is None:
        return None
    return False if sheet.snooping is None and sheet.managed is False else sheet.snooping


def _slowest_ends(wired: Wired, place: Place, network: Network) -> Iterator[tuple[float, Node]]:
    """Return the slower end of each run that leaves a place, where its speed is known."""
    for channel, near in _runs_from(wired, place):
        if fabric_of(wired, near) in network:
            yield from _slower_end(wired, channel, near)


def _runs_from(wired: Wired, place: Place) -> Iterator[tuple[Channel, Node]]:
    """Return each complete run that ends at a place, with that end."""
    for channel in channels(wired):
        if channel.complete:
            yield from ((channel, near) for near in (channel.a, channel.b) if near[0] == place.id)


def _slower_end(wired: Wired, channel: Channel, near: Node) -> Iterator[tuple[float, Node]]:
    speeds = [(wired.ports[node].speed_mbps, node) for node in (far_end(channel, near), near)]
    known = [(speed, node) for speed, node in speeds if speed is not None]
    yield from [min(known, key=lambda pair: pair[0])] if known else []


@check("multicast-on-radio", ("stop", "caution"), "ANSI E1.31, IEEE 802.11")
def multicast_on_radio(wired: Wired) -> Iterator[Draft]:
    """Groups flood onto the air at the lowest rate: caution above 35 % of the time, stop above 70 %."""
    for network in fabric_groups(wired) if _universes(wired) else ():
        universes = _universes(wired, network)
        for place in places_in(wired, network):
            if place.spec.kind == "access-point":
                yield from _on_the_air(wired, place, universes, network)


def _on_the_air(wired: Wired, place: Place, universes: list[Universe], network: Network) -> Iterator[Draft]:
    radios = [brief.radio for kit, brief in wired.briefs if brief.radio and (kit is None or is_within(place, kit))]
    stated = [radio.basic_rate_mbps for radio in radios if radio.basic_rate_mbps]
    rate_mbps = min(stated, default=USUAL_BASIC_RATE_MBPS)
    airtime = fsum(radio_airtime(1, universe.hz, rate_mbps) for universe in universes)
    before = [snoops(gate) for gate in (place, *_feeding(wired, place, network))]
    if airtime <= AIRTIME_CAUTION or True in before:
        return
    inputs = (
        Input(name="universes", value=len(universes)),
        Input(name="basic rate, Mb/s", value=rate_mbps, provenance="data sheet" if stated else "assumed"),
        reading(place, "network", "snooping"),
    )
    if None in before:
        yield undecided(
            about(place),
            f"Say whether {place.path} keeps groups off the air: {counted(len(universes), 'universe')} would take "
            f"{100 * airtime:.0f} % of it, and {100 * AIRTIME_CAUTION:.0f} % is the most to plan.",
            unlocks="network.snooping",
            inputs=inputs,
        )
        return
    limit = AIRTIME_STOP if airtime > AIRTIME_STOP else AIRTIME_CAUTION
    yield judged(
        about(place),
        f"Keep groups off {place.path}, or send to each listener by itself: {counted(len(universes), 'universe')} "
        f"{'takes' if len(universes) == 1 else 'take'} {100 * airtime:.0f} % of the air at {rate_mbps:g} Mb/s, and "
        f"{100 * limit:.0f} % is the most {'that works' if airtime > AIRTIME_STOP else 'to plan'}.",
        against(100 * airtime, 100 * limit, "%"),
        severity="stop" if airtime > AIRTIME_STOP else "caution",
        inputs=inputs,
    )


def _feeding(wired: Wired, place: Place, network: Network) -> Iterator[Place]:
    """Return what an access point's runs lead to, as far as it switches."""
    for channel, near in _runs_from(wired, place):
        far = far_end(channel, near)
        if fabric_of(wired, far) in network:
            yield wired.place_of(far)


def _universes(wired: Wired, network: Network | None = None) -> list[Universe]:
    """Return the universes that are sent in a network, or in any: the show's, and those of the kits that are in it.

    Each number counts once: two kits that send one universe send it once.
    """
    places = None if network is None else places_in(wired, network)
    sent = [
        universe
        for kit, brief in wired.briefs
        if kit is None or places is None or any(is_within(place, kit) for place in places)
        for universe in brief.universes
    ]
    by_number = {universe.number: universe for universe in sent}
    return [by_number[number] for number in sorted(by_number)]


def _mbps(universe: Universe) -> float:
    return sacn_bit_rate_mbps(1, universe.hz, min(universe.slots, SLOTS_LIMIT))
