"""A kit assembled for pages and drawings, and the drawings themselves.

A kit is always read anew. What is costly beyond that is kept by its content: where devices go with a check of the same
contents, the layout of a wiring by the graph that is laid out. So nothing here can be out of date.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.core.cache import caches
from django.core.cache.backends.base import BaseCache

from calc.rig.capability import NO_DATE, capability_of
from calc.rig.figures import figures
from calc.rig.kit import Kit as KitFacts
from calc.rig.wiring import Node, Wired, wire
from calc.vocabulary import SEVERITIES
from inventory.assembly import calculating, fingerprint, read_kits
from inventory.capability_document import CapabilityDocument, SubjectShape, capability_document
from inventory.drawings.graph import WiringGraph, graph
from inventory.drawings.holes import Hole, Proposal, holes
from inventory.drawings.layout import content_hash, lay_out
from inventory.drawings.panel import panel
from inventory.drawings.svg import Element, alone
from inventory.drawings.symbols import sprite
from inventory.drawings.wiring import wiring
from inventory.selectors.checks import CheckRead, FindingShape

Marks = Mapping[Node, str]
"""(position, port), or (position, ""), → severity of the worst finding about it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembled:
    """One kit as planned and as packed."""

    facts: KitFacts
    design: Wired
    packed: Wired
    offers: CapabilityDocument
    """What it offers as planned, with its plug map."""

    def path_of(self, subject: SubjectShape) -> str:
        """Return the label of the position that a row of the plug map names, with the labels around it."""
        return self.design.paths[_node(subject)[0]]

    def holes(self, marks: Marks | None = None) -> tuple[Hole, ...]:
        """Return the holes of the panel, with what the links and the plug map put into them."""
        rows = self.offers["plug_map"]["rows"]
        proposals = [Proposal(device=_node(row["device"]), hole=_node(row["hole"])) for row in rows if not row["fixed"]]
        return holes(self.design, packed=self.packed, proposals=proposals, marks=marks)


def kit_facts(kit_id: int) -> KitFacts | None:
    """Return the contents of a kit, or None when there is no such kit; four statements.

    Read the check that is shown beside it afterwards: what changes in between, the check then says to be under way.
    """
    return read_kits([kit_id]).get(kit_id)


def assembled(facts: KitFacts, check: CheckRead) -> Assembled:
    """Return a kit with its graph and its plug map; no statement.

    The plug map is the one that is kept with the check, if that was made of these contents; else it is worked out here.

    Raises:
        ContentsRefusedError: calculation does not take what is in it.
    """
    kept = check.capability if check.capability is not None and check.fingerprint == fingerprint(facts) else None
    with calculating(facts):
        # No drawing depends on the date, so both views are wired at a moment that never comes.
        design, packed = (wire([facts], view=view, as_of=NO_DATE) for view in ("design", "packed"))
        offers = capability_document(capability_of(design, figures(design, facts))) if kept is None else kept
        kit = Assembled(facts=facts, design=design, packed=packed, offers=offers)
        kit.holes()  # what nothing else asks of a connector is refused here too, and not while a page is written
    return kit


def marks_of(findings: list[FindingShape]) -> Marks:
    """Return where findings point: at ports, and at positions as wholes."""
    marks: dict[Node, str] = {}
    for finding in findings:
        subject = finding["subject"]
        if subject["position"] is None:
            continue
        node = (subject["position"], subject["port"] or "")
        marks[node] = max(marks.get(node, SEVERITIES[0]), finding["severity"], key=SEVERITIES.index)
    return marks


def panel_drawing(kit: Assembled, *, marks: Marks | None = None, linked: bool = False) -> Element:
    """Return the drawing of a kit's panel."""
    return panel(kit.holes(marks), name=kit.facts.name, linked=linked)


def wiring_graph(kit: Assembled) -> WiringGraph:
    """Return the wiring of a kit, not laid out yet."""
    return graph(kit.design, kit.holes())


def is_laid_out(wired: WiringGraph) -> bool:
    """Say whether the layout is there already, so that drawing it takes no time."""
    return content_hash(wired.for_layout()) in _layouts()


def wiring_drawing(wired: WiringGraph, *, name: str, marks: Marks | None = None) -> Element:
    """Return the drawing of a wiring; the first time, laying it out may take seconds.

    Raises:
        DrawingUnavailableError: it cannot be laid out here.
    """
    shape = wired.for_layout()
    key = content_hash(shape)
    laid: dict[str, Any] | None = _layouts().get(key)
    if laid is None:
        laid = lay_out(shape)
        _layouts().set(key, laid)
    return wiring(wired, laid, name=name, marks=marks)


def drawing_file(kit: Assembled, view: str, *, marks: Marks | None = None) -> str:
    """Return a drawing of the panel (``view="panel"``) or of the wiring as a file of its own.

    Raises:
        DrawingUnavailableError: the wiring cannot be laid out here.
    """
    svg = (
        panel_drawing(kit, marks=marks)
        if view == "panel"
        else wiring_drawing(wiring_graph(kit), name=kit.facts.name, marks=marks)
    )
    used = {use.get("href", "")[1:] for use in svg.iter("use")}
    return alone(svg, sprite(*used, "h-"))


def _node(subject: SubjectShape) -> Node:
    """Return the port that a row of a plug map names; its rows are always about ports."""
    return subject["position"] or 0, subject["port"] or ""


def _layouts() -> BaseCache:
    return caches["layouts"]
