"""Switching: rings, and groups that nobody keeps alive."""

from collections.abc import Iterable, Iterator

from calc.checking.compared import against
from calc.checking.drafts import Draft, judged, undecided
from calc.checking.registry import check
from calc.rig.inputs import Input, reading
from calc.rig.subjects import about, about_port, name_of
from calc.rig.wiring import Bridge, Fabric, Place, Wired, exposed, fabric_groups, fabric_reached, places_in, rings

BRIDGING = "IEEE 802.1Q"
GROUPS = "RFC 3376 8.4, RFC 4541"
QUERIER_KINDS = ("switch", "router")
GROUPS_DIE_AFTER_S = 260
"""2 x 125 s + 10 s without a query. Source: RFC 3376 8.4."""


@check("link-loop", "stop", BRIDGING)
def link_loop(wired: Wired) -> Iterator[Draft]:
    """Links make a ring through switching, and nothing in the ring is managed so as to break it."""
    for ring in rings(wired):
        places = [wired.places[place_id] for place_id in dict.fromkeys(_around(ring))]
        managed = {place.id: place.spec.network.managed if place.spec.network else None for place in places}
        if True in managed.values():
            continue
        last = ring[-1].channel
        inputs = tuple(reading(place, "network", "managed") for place in places)
        unsaid = next((place for place in places if managed[place.id] is None), None)
        names = ", ".join(place.path for place in places)
        if unsaid is not None:
            yield undecided(
                about(unsaid),
                f"Say whether {unsaid.path} is managed: connections make a ring through {names}.",
                unlocks="network.managed",
                inputs=inputs,
            )
            continue
        yield Draft(
            subject=about_port(wired, last.b),
            message=f"Unplug {name_of(wired, last.a)} from {name_of(wired, last.b)}: "
            f"it makes a ring through {names}, and nothing there breaks it.",
            inputs=inputs,
        )


def _around(ring: Iterable[Bridge]) -> Iterator[int]:
    for bridge in ring:
        yield from (bridge.a[0], bridge.b[0])


@check("loop-possible", "note", BRIDGING)
def loop_possible(wired: Wired) -> Iterator[Draft]:
    """A lead between two panel ports would make a ring through unmanaged switching."""
    open_ports: dict[Fabric, list[str]] = {}
    for node in exposed(wired):
        inward = None if wired.is_linked(node) else fabric_reached(wired, node)
        if inward is not None:
            open_ports.setdefault(inward, []).append(name_of(wired, node))
    for network in fabric_groups(wired):
        holes = [hole for fabric in network for hole in open_ports.get(fabric, ())]
        places = places_in(wired, network)
        if len(holes) < 2 or not all(_is_unmanaged(place) for place in places):
            continue
        yield Draft(
            subject=about(places[0]),
            message=f"Never join two of the panel's network ports with one lead: {holes[0]} and {holes[1]} "
            f"are switched together by {places[0].path}, which does not break rings.",
            inputs=(*(reading(place, "network", "managed") for place in places), Input(name="ports", value=len(holes))),
        )


def _asks(place: Place) -> bool | None:
    """Tell whether a place asks who listens to groups; what is not managed, or only joins ports, never does."""
    sheet = place.spec.network
    stated = sheet.querier if sheet is not None else None
    never_asks = place.spec.kind not in QUERIER_KINDS or _is_unmanaged(place)
    return False if stated is None and never_asks else stated


def _is_unmanaged(place: Place) -> bool:
    return place.spec.network is not None and place.spec.network.managed is False


@check("querier-missing", ("caution", "stop"), GROUPS)
def querier_missing(wired: Wired) -> Iterator[Draft]:
    """Something snoops on group traffic and nothing in its network asks who listens: it dies after 260 s."""
    for network in fabric_groups(wired):
        places = places_in(wired, network)
        snooping = [place for place in places if place.spec.network is not None and place.spec.network.snooping]
        queriers = [_asks(place) for place in places]
        if not snooping or True in queriers:
            continue
        inputs = tuple(reading(place, "network", "querier") for place in places)
        if None in queriers:
            unsaid = places[queriers.index(None)]
            yield undecided(
                about(unsaid),
                f"Say whether {unsaid.path} asks who listens to groups: {snooping[0].path} snoops on them.",
                unlocks="network.querier",
                inputs=inputs,
            )
            continue
        yield judged(
            about(snooping[0]),
            f"Switch on a querier in the network of {snooping[0].path}: without one, group traffic stops "
            f"{GROUPS_DIE_AFTER_S} s after it starts.",
            against(0, 1, "queriers", at_least=True),
            severity="stop" if any(brief.universes for _, brief in wired.briefs) else "caution",
            inputs=inputs,
        )
