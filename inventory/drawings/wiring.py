"""Draws a laid-out wiring: the wall, the boxes, the leads, and marks where findings point."""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from calc.rig.wiring import Node
from calc.vocabulary import SEVERITIES
from inventory.drawings.graph import HOLE_STEP, WALL, WALL_WIDTH, Box, Lead, WiringGraph
from inventory.drawings.svg import Element, drawing, element, number, text, use

STROKES = {"mains": "w4", "dc": "w25", "fibre": "w45"}
SHOWN = ("stop", "caution", "unknown")


def wiring(
    graph: WiringGraph, laid: Mapping[str, Any], *, name: str, marks: Mapping[Node, str] | None = None
) -> Element:
    """Return the drawing.

    Args:
        graph: The wiring.
        laid: The same, as the layout returned it.
        name: Whose wiring it is, for the title.
        marks: Port, or (position, ""), → severity of the worst finding about it.
    """
    known = marks or {}
    places = {child["id"]: child for child in laid["children"]}
    edges = {edge["id"]: edge for edge in laid.get("edges", ())}
    parts = [
        *(_lead(lead, edges[lead.key], known) for lead in graph.leads),
        *(_wall(graph, places[WALL]) if graph.holes else ()),
        *(_box(box, places[box.key], known) for box in graph.boxes),
    ]
    svg = drawing(
        parts,
        width=laid["width"],
        height=laid["height"],
        title=f"Wiring of {name}",
        description=". ".join(lead.spoken for lead in graph.leads) or "No links are drawn.",
    )
    svg.set("class", "wire")
    svg.set("width", number(laid["width"]))
    svg.set("height", number(laid["height"]))
    return svg


def _wall(graph: WiringGraph, at: Mapping[str, Any]) -> Iterator[Element]:
    x = at["x"] + WALL_WIDTH / 2
    yield element("path", cls="l w5", d=f"M{number(x)} {number(at['y'] - 14)}V{number(at['y'] + at['height'] + 4)}")
    yield text(x - 12, at["y"] - 6, "outside", "m end")
    yield text(x + 12, at["y"] - 6, "inside", "m")
    for index, hole in enumerate(graph.holes):
        y = at["y"] + HOLE_STEP * (index + 0.5)
        used = bool(hole.goes_in)
        yield element(
            "g",
            element("title", f"Hole {hole.number}, {hole.name}"),
            element("circle", cls="n fi" if used else "n", cx=x, cy=y, r=11),
            text(x, y + 4.3, str(hole.number), "nt fs" if used else "nt"),
            cls="hole-mark",
            id=f"w-h{hole.number}",
        )


def _box(box: Box, at: Mapping[str, Any], marks: Mapping[Node, str]) -> Element:
    x, y, width, height = at["x"], at["y"], at["width"], at["height"]
    title = element("title", f"{box.place.path}: {box.place.spec.name}")
    if box.outside:
        words = box.first_line
        return element(
            "g", title, text(x + width - 6, y + height / 2 + 4, words, "b end"), cls="place", id=f"w-{box.place.id}"
        )
    worst = _worst(marks, [(box.place.id, ""), *((box.place.id, name) for name in box.ports)])
    outline = "n nk" if worst == "unknown" else "n x" if worst == "stop" else "n"
    middle = x + width / 2
    parts = [
        title,
        element("rect", cls=outline, x=x, y=y, width=width, height=height),
        text(middle, y + height / 2 - 2, box.first_line, "b mid"),
        text(middle, y + height / 2 + 12, box.second_line, "s m mid"),
    ]
    parts += [part for port in at["ports"] for part in _port(box, port, at)]
    if worst is not None and worst in SHOWN:
        parts += _mark(worst, middle, y)
    return element("g", *parts, cls="place", id=f"w-{box.place.id}")


def _port(box: Box, port: Mapping[str, Any], at: Mapping[str, Any]) -> Iterator[Element]:
    x, y = at["x"] + port["x"], at["y"] + port["y"]
    yield element("rect", cls="fi", x=x, y=y, width=port["width"], height=port["height"])
    for label in port["labels"]:
        yield text(x + label["x"], y + label["y"] + 10, label["text"], "s")


def _lead(lead: Lead, edge: Mapping[str, Any], marks: Mapping[Node, str]) -> Element:
    points = [point for section in edge["sections"] for point in _points(section)]
    way = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)
    worst = _worst(marks, lead.nodes)
    stroke = "x" if worst == "stop" else "l nk" if worst == "unknown" else "l"
    parts = [
        element("title", lead.spoken),
        element("path", cls=f"{stroke} {STROKES.get(lead.carries, '')}".strip(), d=way),
    ]
    if lead.carries == "fibre":
        parts.append(element("path", cls="l2 w18", d=way))
    if lead.bead is not None:
        x, y = _inward(points if lead.bead == lead.start else points[::-1])
        parts.append(element("circle", cls="fi", cx=x, cy=y, r=4))
    parts += [text(label["x"], label["y"] + 10, label["text"], "s m") for label in edge.get("labels", ())]
    if worst is not None and worst in SHOWN:
        parts += _mark(worst, *_halfway(points))
    return element("g", *parts, cls="lead", id=f"w-{lead.key}")


def _mark(severity: str, x: float, y: float) -> Iterator[Element]:
    """Draw a severity on a line, at that spot."""
    yield element("rect", x=x - 8, y=y - 8, width=16, height=16, fill="var(--paper)")
    yield use(f"s-{severity}", x - 8, y - 8, 16, 16, cls=severity)


def _points(section: Mapping[str, Any]) -> Iterator[tuple[float, float]]:
    for point in (section["startPoint"], *section.get("bendPoints", ()), section["endPoint"]):
        yield point["x"], point["y"]


def _inward(points: list[tuple[float, float]]) -> tuple[float, float]:
    """Return a spot on the line a little way in from its first point."""
    (x, y), (to_x, to_y) = points[0], points[1]
    length = max(abs(to_x - x), abs(to_y - y)) or 1.0
    step = min(12.0, length / 2)
    return x + (to_x - x) / length * step, y + (to_y - y) / length * step


def _halfway(points: list[tuple[float, float]]) -> tuple[float, float]:
    """Return the middle of the longest piece of a line."""
    pieces = list(pairwise(points))
    (x, y), (to_x, to_y) = max(
        pieces, key=lambda piece: abs(piece[0][0] - piece[1][0]) + abs(piece[0][1] - piece[1][1])
    )
    return (x + to_x) / 2, (y + to_y) / 2


def _worst(marks: Mapping[Node, str], nodes: Any) -> str | None:
    return max((marks[node] for node in nodes if node in marks), key=SEVERITIES.index, default=None)
