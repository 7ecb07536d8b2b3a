"""Segments: who separates them, who gives addresses on them, and what collides."""

from collections.abc import Iterator, Mapping
from functools import partial
from ipaddress import ip_network
from itertools import combinations

from calc.addressing import overlaps
from calc.checking.compared import against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.checks.network import BRIDGING
from calc.rig.asked import AskedSegment, asked_segments
from calc.rig.inputs import Input, reading
from calc.rig.kit import Kit
from calc.rig.subjects import Subject, about, about_kit, about_port, listed, name_of
from calc.rig.wiring import (
    Fabric,
    Network,
    Node,
    Place,
    Wired,
    channels,
    fabric_groups,
    fabric_of,
    fabric_reached,
    places_in,
    runs_by_port,
)

PRIVATE_ADDRESSES = "RFC 1918, RFC 4632"
ADDRESS_SERVER = "RFC 2131, RFC 3927"
SERVING_KINDS = ("router", "access-point", "computer")
"""Kinds that may give addresses without anybody saying so."""


@check("vlan-unmanaged", "stop", BRIDGING)
def vlan_unmanaged(wired: Wired) -> Iterator[Draft]:
    """Ports of separate segments are switched together by gear that can't keep VLANs apart."""
    segments_of: dict[Fabric, dict[str, AskedSegment]] = {}
    for asked in asked_segments(wired):
        for fabric in map(partial(fabric_reached, wired), asked.nodes):
            if fabric is not None:
                segments_of.setdefault(fabric, {})[asked.name] = asked
    for fabric in sorted(segments_of):
        names = " and ".join(sorted(segments_of[fabric]))
        place = wired.places[fabric[0]]
        separates = _separates(place)
        if len(segments_of[fabric]) < 2 or separates:
            continue
        inputs = (reading(place, "network", "vlans"), Input(name="segments", value=names))
        if separates is None:
            yield undecided(
                about(place),
                f"Say whether {place.path} keeps VLANs apart: it carries {names}.",
                unlocks="network.vlans",
                inputs=inputs,
            )
        else:
            yield Draft(
                subject=about(place),
                message=f"Change {place.path} for gear that keeps VLANs apart, or give each its own: it joins {names}.",
                inputs=inputs,
            )


def _separates(place: Place) -> bool | None:
    sheet = place.spec.network
    if sheet is None:
        return None
    return False if sheet.managed is False else sheet.vlans


@check("vlan-differs", "stop", BRIDGING)
def vlan_differs(wired: Wired) -> Iterator[Draft]:
    """The ports at the two ends of a run are in different segments, or one segment has two VLAN numbers."""
    named: dict[Node, set[str]] = {}
    for asked in asked_segments(wired):
        for node in asked.nodes:
            named.setdefault(node, set()).add(asked.name)
    for channel in channels(wired):
        on_the_way = [channel.a, *(node for pair in channel.passed for node in pair), channel.b]
        said = [node for node in on_the_way if node in named]
        apart = next((node for node in said[1:] if named[node] != named[said[0]]), None)
        if apart is not None:
            yield _apart(wired, (said[0], apart), named)


def _apart(wired: Wired, ends: tuple[Node, Node], named: Mapping[Node, set[str]]) -> Draft:
    first, second = ends
    lost = " and ".join(sorted(named[first] ^ named[second]))
    return Draft(
        subject=about_port(wired, first),
        message=f"Put {name_of(wired, first)} and {name_of(wired, second)} into the same segments: a lead joins them, "
        f"and {lost} is at one end only.",
        inputs=tuple(Input(name=name_of(wired, node), value=" and ".join(sorted(named[node]))) for node in ends),
    )


@check("address-pool-short", "stop", PRIVATE_ADDRESSES)
def address_pool_short(wired: Wired) -> Iterator[Draft]:
    """More people are to be on the air than the largest block of the brief has addresses for."""
    for kit, brief in wired.briefs:
        blocks = [segment for segment in brief.segments if segment.block is not None]
        if brief.radio is None or not blocks:
            continue
        largest = max(blocks, key=lambda segment: _addresses(str(segment.block)))
        clients, addresses = brief.radio.clients, _addresses(str(largest.block))
        if clients <= addresses:
            continue
        yield judged(
            about_kit(wired, kit),
            f"Give {largest.name} a larger block: {clients} are to be on the air, and {largest.block} has {addresses} "
            "addresses for them.",
            against(addresses, clients, "addresses", at_least=True),
            inputs=(Input(name="clients", value=clients), Input(name="block", value=largest.block)),
        )


def _addresses(block: str) -> int:
    """Return how many devices a block has addresses for: all but its own, the one for everybody and the gateway's."""
    return max(0, ip_network(block).num_addresses - 3)


@check("address-overlap", "stop", PRIVATE_ADDRESSES)
def address_overlap(wired: Wired) -> Iterator[Draft]:
    """Two segments that are joined or planned together share addresses, or one shares them with the venue."""
    with_block = [(asked, asked.segment.block) for asked in asked_segments(wired) if asked.segment.block]
    for (one, block), (other, further) in combinations(with_block, 2):
        together = set(one.kits) & set(other.kits) or set(one.networks) & set(other.networks)
        if together and overlaps(block, further):
            yield Draft(
                subject=_about(wired, other),
                message=f"Give {other.name} other addresses than {one.name}: {further} and {block} overlap.",
                inputs=(Input(name=one.name, value=block), Input(name=other.name, value=further)),
            )
    for taken in dict.fromkeys(block for _, brief in wired.briefs for block in brief.venue_blocks):
        for asked, block in with_block:
            if overlaps(taken, block):
                yield Draft(
                    subject=_about(wired, asked),
                    message=f"Give {asked.name} other addresses than the venue: {block} and {taken} overlap.",
                    inputs=(Input(name="venue", value=taken), Input(name=asked.name, value=block)),
                )


@check("dhcp-two", "stop", ADDRESS_SERVER)
def dhcp_two(wired: Wired) -> Iterator[Draft]:
    """More than one server gives addresses on a segment, or in a network of which no segment is stated."""
    for asked in asked_segments(wired):
        servers = _servers(wired, asked)
        beyond = asked.segment.addresses_from == "elsewhere"
        if len(servers) + beyond > 1:
            yield _too_many(wired, asked.name, servers, beyond)
    covered = {network for asked in asked_segments(wired) for network in asked.networks}
    for network in fabric_groups(wired):
        servers = [place for place in places_in(wired, network) if _serves(place)]
        if network not in covered and len(servers) > 1:
            yield _too_many(wired, f"the network of {servers[0].path}", servers, beyond=False)


def _too_many(wired: Wired, name: str, servers: list[Place], beyond: bool) -> Draft:
    others = [place.path for place in servers[1:]] or ["one beyond this rig"]
    return judged(
        about(servers[-1]),
        f"Let one thing give addresses in {name}: {servers[0].path} does, and so does {listed(others)}.",
        against(len(servers) + beyond, 1, "servers"),
        inputs=(
            Input(name="segment", value=name),
            *(reading(place, "network", "dhcp_server") for place in servers),
        ),
    )


@check("dhcp-none", "stop", ADDRESS_SERVER)
def dhcp_none(wired: Wired) -> Iterator[Draft]:
    """A segment is to get its addresses from this rig, and nothing in its network gives any."""
    for asked in asked_segments(wired):
        if asked.segment.addresses_from != "here" or not asked.networks or _servers(wired, asked):
            continue
        unsaid = [place for network in asked.networks for place in places_in(wired, network) if _serves(place) is None]
        inputs = tuple(reading(place, "network", "dhcp_server") for place in unsaid)
        if unsaid:
            yield undecided(
                about(unsaid[0]),
                f"Say whether {unsaid[0].path} gives addresses: {asked.name} waits for them.",
                unlocks="network.dhcp_server",
                inputs=inputs,
            )
        else:
            yield judged(
                _about(wired, asked),
                f"Add something that gives addresses to {asked.name}, or set them by hand: nothing there does.",
                against(0, 1, "servers", at_least=True),
                inputs=(Input(name="segment", value=asked.name),),
            )


def _serves(place: Place) -> bool | None:
    sheet = place.spec.network
    stated = sheet.dhcp_server if sheet is not None else None
    return False if stated is None and place.spec.kind not in SERVING_KINDS else stated


def _servers(wired: Wired, asked: AskedSegment) -> list[Place]:
    """Return what gives addresses on a segment.

    Where a network has several segments, a server reaches those that list its port, or the port that it is plugged
    into; a server that none of them lists reaches them all.
    """
    return [
        place
        for network in asked.networks
        for place in places_in(wired, network)
        if _serves(place) and _reaches(wired, place, asked, network)
    ]


def _reaches(wired: Wired, place: Place, asked: AskedSegment, network: Network) -> bool:
    doors = _doors(wired, place, network)
    listing = [other for other in asked_segments(wired) if other.nodes & doors]
    return not listing or asked in listing


def _doors(wired: Wired, place: Place, network: Network) -> frozenset[Node]:
    """Return the ports of a place in a network, and the ports at the far ends of their runs."""
    own = [node for node, _ in wired.nodes_of(place) if fabric_of(wired, node) in network]
    runs = [runs_by_port(wired)[node] for node in own if node in runs_by_port(wired)]
    return frozenset(own) | {end for run in runs for end in (run.a, run.b)}


@check("twin-config", "stop", BRIDGING)
def twin_config(wired: Wired) -> Iterator[Draft]:
    """Two kits set up from one configuration meet in one network: same addresses, same servers, same names."""
    for network in fabric_groups(wired):
        first: dict[str, Kit] = {}
        told: set[int] = set()
        for place in places_in(wired, network):
            configuration = place.kit.brief.configuration if place.kit.brief is not None else None
            if configuration is None:
                continue
            twin = first.setdefault(configuration.mark, place.kit)
            if twin.id != place.kit.id and place.kit.id not in told:
                told.add(place.kit.id)
                yield Draft(
                    subject=about_kit(wired, place.kit),
                    message=f"Set up {place.kit.name} anew before it is joined to {twin.name}: "
                    f"both hold the configuration {configuration.mark}.",
                    inputs=(Input(name="configuration", value=configuration.mark),),
                )


def _about(wired: Wired, asked: AskedSegment) -> Subject:
    """Return the subject of a finding about a segment: the kit that has it."""
    kit = next((kit for kit, _ in wired.briefs if kit is not None and kit.id in asked.kits), None)
    return about_kit(wired, kit)
