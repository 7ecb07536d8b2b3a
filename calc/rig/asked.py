"""What the briefs ask, put on the graph: whose ports, in which networks."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from calc.rig.brief import ADDRESS_SERVERS, Segment
from calc.rig.ends import End
from calc.rig.kit import Kit
from calc.rig.wiring import Network, Node, Wired, fabric_groups, fabric_reached


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedSegment:
    """A segment with its ports and the networks that they are in. Kits that mean the same segment share it."""

    segment: Segment
    kits: tuple[int | None, ...]
    """Ids of the kits whose briefs have it; None is the show's own."""
    nodes: frozenset[Node]
    networks: tuple[Network, ...]

    @property
    def name(self) -> str:
        vlan = self.segment.vlan
        return self.segment.name if vlan is None else f"{self.segment.name} (VLAN {vlan})"


def asked_segments(wired: Wired) -> tuple[AskedSegment, ...]:
    """Return the segments of all briefs, in their order; the same name, VLAN and block are one segment.

    A brief's only segment, if it lists no port, has every network of its kit.
    """
    return wired.once(_asked_segments)


def _asked_segments(wired: Wired) -> tuple[AskedSegment, ...]:
    found: dict[tuple[object, ...], AskedSegment] = {}
    for kit, brief in wired.briefs:
        for segment in brief.segments:
            nodes = nodes_of(wired, segment.ports)
            alone = not segment.ports and len(brief.segments) == 1
            networks = _networks_of_kit(wired, kit) if alone else networks_of(wired, nodes)
            key = (segment.name, segment.vlan, segment.block)
            known = found.get(key)
            found[key] = AskedSegment(
                segment=segment if known is None else _as_one(known.segment, segment),
                kits=((*known.kits,) if known else ()) + (kit.id if kit else None,),
                nodes=nodes | (known.nodes if known else frozenset()),
                networks=tuple(dict.fromkeys((*(known.networks if known else ()), *networks))),
            )
    return tuple(found.values())


def _as_one(one: Segment, other: Segment) -> Segment:
    """Return a segment that two kits have: what one of them waits for from elsewhere, the other may give it."""
    stated = (one.addresses_from, other.addresses_from)
    return replace(one, addresses_from=next((who for who in ADDRESS_SERVERS if who in stated), None))


def nodes_of(wired: Wired, ends: Iterable[End]) -> frozenset[Node]:
    """Return the ports that ends name, without those of positions that are empty in this view."""
    return frozenset(node for node in map(wired.node, ends) if node is not None)


def networks_of(wired: Wired, nodes: Iterable[Node]) -> tuple[Network, ...]:
    """Return the networks that these ports are in, or lead to."""
    behind = {fabric_reached(wired, node) for node in nodes}
    return tuple(network for network in fabric_groups(wired) if behind & set(network))


def _networks_of_kit(wired: Wired, kit: Kit | None) -> tuple[Network, ...]:
    return tuple(
        network
        for network in fabric_groups(wired)
        if kit is None or any(wired.places[place_id].kit is kit for place_id, _ in network)
    )
