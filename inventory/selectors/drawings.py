"""A kit assembled for pages and drawings, and the drawings themselves.

A kit is always read as it stands. What is costly beyond that is known by its content: where devices go by the contents
of the kit, the layout of its wiring by the graph that is laid out. So nothing here can be out of date, and nothing has
to be thrown away on an edit.
"""

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Any

from django.core.cache import caches
from django.core.cache.backends.base import BaseCache

from calc.rig.capability import NO_DATE
from calc.rig.kit import Kit as KitFacts
from calc.rig.plug_map import Plan, plan
from calc.rig.wiring import Node, Wired, poe_feeds, wire
from calc.vocabulary import SEVERITIES
from inventory.assembly import calculating, read_kits
from inventory.drawings.graph import WiringGraph, graph
from inventory.drawings.holes import Hole, Proposal, holes
from inventory.drawings.layout import content_hash, lay_out
from inventory.drawings.panel import panel
from inventory.drawings.svg import Element, alone
from inventory.drawings.symbols import sprite
from inventory.drawings.wiring import wiring
from inventory.selectors.checks import FindingShape

MOST_KITS_KEPT = 64

Marks = Mapping[Node, str]
"""(position, port), or (position, ""), → severity of the worst finding about it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembled:
    """One kit as planned and as packed."""

    facts: KitFacts
    design: Wired
    packed: Wired
    plan: Plan
    """Where devices go that no link fixes."""

    def holes(self, marks: Marks | None = None) -> tuple[Hole, ...]:
        """Return the holes of the panel, with what the links and the plug map put into them."""
        free = poe_feeds(self.design).free
        proposals = [Proposal(device=device, hole=free[source]) for device, source in self.plan.placed.items()]
        return holes(self.design, packed=self.packed, proposals=proposals, marks=marks)


_kept: OrderedDict[int, Assembled] = OrderedDict()
_guard = Lock()


def kit_facts(kit_id: int) -> KitFacts | None:
    """Return what is in a kit as it stands, or None when there is no such kit; four statements.

    Whoever shows a check beside it reads that afterwards: what changes in between, the check then says to be under way.
    """
    return read_kits([kit_id]).get(kit_id)


def assembled(facts: KitFacts) -> Assembled:
    """Return a kit with what hangs on its links worked out; no statement.

    Raises:
        ContentsRefusedError: calculation does not take what is in it.
    """
    with _guard:
        known = _kept.get(facts.id)
    if known is None or known.facts != facts:
        known = _assemble(facts)
        with _guard:
            _kept[facts.id] = known
            while len(_kept) > MOST_KITS_KEPT:
                _kept.popitem(last=False)
    return known


def assembled_kit(kit_id: int) -> Assembled | None:
    """Return a kit as it stands with what hangs on its links, or None when there is no such kit; four statements.

    Raises:
        ContentsRefusedError: calculation does not take what is in it.
    """
    facts = kit_facts(kit_id)
    return None if facts is None else assembled(facts)


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


def _assemble(facts: KitFacts) -> Assembled:
    with calculating(facts):
        # No drawing hangs on the calendar, so both views are wired at a moment that never comes.
        design, packed = (wire([facts], view=view, as_of=NO_DATE) for view in ("design", "packed"))
        kit = Assembled(facts=facts, design=design, packed=packed, plan=plan(design))
        kit.holes()  # what nothing else asks of a connector is refused here too, and not while a page is written
    return kit


def _layouts() -> BaseCache:
    return caches["layouts"]
