"""The wiring of a kit as a graph for layout: the case wall with its holes, boxes with ports, leads between them."""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from calc.rig.wiring import Joint, Node, Place, Wired, natural, poe_feeds
from inventory.drawings.holes import Hole
from inventory.drawings.svg import shortened, width_of

HOLE_STEP = 34.0
WALL_WIDTH = 24.0
PORT = 8.0
LINE = 14.0
LABEL_LETTERS = 26
OPTIONS = {
    "elk.algorithm": "layered",
    "elk.direction": "RIGHT",
    "elk.edgeRouting": "ORTHOGONAL",
    "elk.padding": "[top=28,left=60,bottom=12,right=12]",
    "elk.spacing.nodeNode": "22",
    "elk.spacing.edgeNode": "14",
    "elk.spacing.edgeEdge": "10",
    "elk.spacing.edgeLabel": "2",
    "elk.layered.spacing.nodeNodeBetweenLayers": "44",
    "elk.layered.spacing.edgeNodeBetweenLayers": "16",
    "elk.layered.spacing.edgeEdgeBetweenLayers": "10",
    "elk.layered.edgeLabels.sideSelection": "ALWAYS_UP",
    "elk.layered.considerModelOrder.strategy": "PREFER_NODES",
    "elk.layered.thoroughness": "4",
}
BOX_OPTIONS = {
    "elk.nodeSize.constraints": "PORTS PORT_LABELS NODE_LABELS MINIMUM_SIZE",
    "elk.nodeSize.minimum": "(96,44)",
    "elk.nodeLabels.placement": "INSIDE H_CENTER V_CENTER",
    "elk.portLabels.placement": "INSIDE",
    "elk.spacing.portPort": "16",
    "elk.spacing.labelPortHorizontal": "6",
    "elk.spacing.portsSurrounding": "[top=12,left=8,bottom=12,right=8]",
}
WALL = "wall"


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One position that is wired: a box with the ports that are used."""

    place: Place
    ports: tuple[str, ...]
    outside: bool
    """Plugged in from outside, and wired to nothing else: only its name is drawn."""

    @property
    def key(self) -> str:
        return f"p{self.place.id}"

    @property
    def first_line(self) -> str:
        return shortened(self.place.label, LABEL_LETTERS)

    @property
    def second_line(self) -> str:
        return shortened(self.place.spec.name, LABEL_LETTERS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """One line of the drawing: a link, or the way from a hole to the port that sits in it."""

    key: str
    start: str
    """Name of a port of the layout: ``p4:1``, or of a hole, ``wall:3:out``."""
    end: str
    carries: str
    label: str
    spoken: str
    nodes: tuple[Node, ...]
    """The ports that it joins, for findings about them."""
    bead: str | None
    """The end from which power over Ethernet comes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WiringGraph:
    holes: tuple[Hole, ...]
    boxes: tuple[Box, ...]
    leads: tuple[Lead, ...]
    unwired: tuple[str, ...]
    """Positions that no link touches: they are named below the drawing."""

    def for_layout(self) -> dict[str, Any]:
        """Return the graph as the layout takes it. It holds sizes and names only, so equal wiring is laid out once."""
        children = [*([self._wall()] if self.holes else []), *(_box(box) for box in self.boxes)]
        edges = [
            {
                "id": lead.key,
                "sources": [lead.start],
                "targets": [lead.end],
                "labels": [_label(lead.label)] if lead.label else [],
            }
            for lead in self.leads
        ]
        return {"id": "kit", "layoutOptions": OPTIONS, "children": children, "edges": edges}

    def _wall(self) -> dict[str, Any]:
        ports = []
        for index, hole in enumerate(self.holes):
            middle = HOLE_STEP * (index + 0.5)
            for side, x in (("out", 0.0), ("in", WALL_WIDTH)):
                facing = "WEST" if side == "out" else "EAST"
                ports.append(
                    {
                        "id": f"{WALL}:{hole.number}:{side}",
                        "x": x,
                        "y": middle,
                        "layoutOptions": {"elk.port.side": facing},
                    }
                )
        return {
            "id": WALL,
            "width": WALL_WIDTH,
            "height": HOLE_STEP * len(self.holes),
            "ports": ports,
            "layoutOptions": {"elk.portConstraints": "FIXED_POS"},
        }


def graph(wired: Wired, holes: Sequence[Hole]) -> WiringGraph:
    """Return the wiring of a kit as planned."""
    at_hole = {end: hole for hole in holes for end in (hole.node, hole.behind) if end is not None}
    case = {hole.node[0] for hole in holes if wired.places[hole.node[0]].position.role == "case"}
    leads = [*_seated(wired, holes, case), *(_lead(wired, joint, at_hole, case) for joint in wired.joints)]
    used: dict[int, set[str]] = {}
    for lead in leads:
        for end in (lead.start, lead.end):
            key, port = end.split(":", 1)
            if key != WALL:
                used.setdefault(int(key[1:]), set()).add(port)
    outside = set(_only_outside(leads))
    boxes = tuple(
        Box(place=place, ports=tuple(sorted(used[place.id], key=natural)), outside=f"p{place.id}" in outside)
        for place in wired.places.values()
        if place.id in used
    )
    order = _distances(boxes, leads)
    return WiringGraph(
        holes=tuple(holes),
        boxes=boxes,
        leads=tuple(_directed(lead, order) for lead in leads),
        unwired=tuple(
            wired.paths[place.id]
            for place in wired.places.values()
            if place.id not in used and place.id not in case and place.id not in wired.cables_in_use
        ),
    )


def _seated(wired: Wired, holes: Iterable[Hole], case: set[int]) -> Iterator[Lead]:
    """Return a line from each hole that a port of some position, not of the case, sits in."""
    for hole in holes:
        if hole.node[0] not in case:
            yield Lead(
                key=f"s{hole.number}",
                start=f"{WALL}:{hole.number}:in",
                end=_port(hole.node),
                carries=hole.port.carries,
                label="",
                spoken=f"hole {hole.number} is {hole.of} {hole.name}",
                nodes=(hole.node,),
                bead=None,
            )


def _lead(wired: Wired, joint: Joint, at_hole: Mapping[Node, Hole], case: set[int]) -> Lead:
    ends = [_end(node, at_hole, case) for node in (joint.a, joint.b)]
    names = [f"{wired.paths[node[0]]} {node[1]}" for node in (joint.a, joint.b)]
    cable = joint.cable.name if joint.cable is not None else ""
    label = shortened(joint.link.label or cable, LABEL_LETTERS - 6)
    words = f"{names[0]} to {names[1]}"
    fed = next((feed for feed in poe_feeds(wired).all() if joint in feed.run.joints), None)
    bead = None
    if fed is not None:
        bead = ends[0] if _nearer_source(wired, fed.run.joints, fed.run.start, joint) == joint.a else ends[1]
    return Lead(
        key=f"k{joint.link.id}",
        start=ends[0],
        end=ends[1],
        carries=wired.ports[joint.a].carries,
        label=label,
        spoken=", ".join(part for part in (words, joint.link.label, cable, joint.link.colour) if part),
        nodes=(joint.a, joint.b),
        bead=bead,
    )


def _nearer_source(wired: Wired, joints: Sequence[Joint], device: Node, joint: Joint) -> Node:
    """Return the end of a joint on the side of the source, on a run that begins at the device."""
    at = device
    for passed in joints:
        far = passed.other(at)
        if passed is joint:
            return far
        at = next(iter(wired.through.get(far, ())), far)
    return joint.b


def _end(node: Node, at_hole: Mapping[Node, Hole], case: set[int]) -> str:
    hole = at_hole.get(node)
    if hole is None or hole.node[0] not in case:
        return _port(node)
    return f"{WALL}:{hole.number}:{'out' if node == hole.node else 'in'}"


def _port(node: Node) -> str:
    return f"p{node[0]}:{node[1]}"


def _only_outside(leads: Sequence[Lead]) -> Iterator[str]:
    """Return the boxes all of whose lines end outside the wall."""
    ends: dict[str, list[str]] = {}
    for lead in leads:
        for end, other in ((lead.start, lead.end), (lead.end, lead.start)):
            ends.setdefault(end.split(":", 1)[0], []).append(other)
    for key, others in ends.items():
        if key != WALL and all(other.startswith(f"{WALL}:") and other.endswith(":out") for other in others):
            yield key


def _distances(boxes: Sequence[Box], leads: Sequence[Lead]) -> dict[str, int]:
    """Return how far each box is from the wall, so that lines can be drawn from the outside in."""
    beside: dict[str, list[str]] = {}
    for lead in leads:
        start, end = (each.split(":", 1)[0] for each in (lead.start, lead.end))
        beside.setdefault(start, []).append(end)
        beside.setdefault(end, []).append(start)
    distance: dict[str, int] = {box.key: -1 for box in boxes if box.outside}
    for root in (WALL, *(box.key for box in boxes)):
        if root in distance or root not in beside:
            continue
        distance[root] = 0
        waiting = deque([root])
        while waiting:
            here = waiting.popleft()
            for other in beside[here]:
                if other not in distance:
                    distance[other] = distance[here] + 1
                    waiting.append(other)
    return distance


def _directed(lead: Lead, order: Mapping[str, int]) -> Lead:
    start, end = (each.split(":", 1)[0] for each in (lead.start, lead.end))
    if order[start] <= order[end]:
        return lead
    return Lead(
        key=lead.key,
        start=lead.end,
        end=lead.start,
        carries=lead.carries,
        label=lead.label,
        spoken=lead.spoken,
        nodes=lead.nodes,
        bead=lead.bead,
    )


def _box(box: Box) -> dict[str, Any]:
    if box.outside:
        port = {"id": f"{box.key}:{box.ports[0]}", "width": 1, "height": 1}
        more = [{"id": f"{box.key}:{name}", "width": 1, "height": 1} for name in box.ports[1:]]
        return {
            "id": box.key,
            "width": width_of(box.first_line) + 8,
            "height": 12.0 * len(box.ports),  # with the space between, as far apart as the holes
            "ports": [port, *more],
        }
    width = max(width_of(box.first_line), width_of(box.second_line, size=10))
    return {
        "id": box.key,
        "labels": [{"text": box.first_line, "width": width, "height": 2 * LINE}],
        "ports": [
            {
                "id": f"{box.key}:{name}",
                "width": PORT,
                "height": PORT,
                "layoutOptions": {"elk.port.borderOffset": str(-PORT / 2)},
                "labels": [_label(shortened(name, 14), size=10)],
            }
            for name in box.ports
        ],
        "layoutOptions": BOX_OPTIONS,
    }


def _label(words: str, size: float = 10) -> dict[str, Any]:
    return {"text": words, "width": width_of(words, size=size), "height": LINE}
