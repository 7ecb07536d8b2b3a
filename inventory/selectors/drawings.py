"""A kit assembled for pages and drawings, and the drawings themselves.

What is costly is known by its content: the assembled kit by the fingerprint of its newest check or by its revision, the
layout of its wiring by the graph that is laid out. So nothing here can be out of date, and nothing has to be thrown
away on an edit.
"""

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Any

from django.core.cache import caches
from django.core.cache.backends.base import BaseCache

from calc.checks.capability import NO_DATE
from calc.checks.plug_map import Plan, plan
from calc.kit import Kit as KitFacts
from calc.vocabulary import SEVERITIES
from calc.wiring import Node, Wired, poe_feeds, wire
from inventory.assembly import read_kits
from inventory.drawings.graph import WiringGraph, graph
from inventory.drawings.holes import Hole, Proposal, holes
from inventory.drawings.layout import content_hash, lay_out
from inventory.drawings.panel import panel
from inventory.drawings.svg import Element, alone
from inventory.drawings.symbols import sprite
from inventory.drawings.wiring import wiring
from inventory.models import Kit
from inventory.selectors.checks import FindingShape
from inventory.selectors.contents import KnownByShape, fingerprint

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


_kept: OrderedDict[str, Assembled] = OrderedDict()
_guard = Lock()


def assembled_kit(kit_id: int) -> Assembled | None:
    """Return a kit, or None when there is no such kit; one statement when it was seen before as it stands."""
    known_by: Any = Kit.objects.filter(pk=kit_id).values("revision", "check_due_at", fingerprint=fingerprint()).first()
    return None if known_by is None else known_kit(kit_id, known_by)


def known_kit(kit_id: int, known_by: KnownByShape) -> Assembled | None:
    """Return a kit, or None when there is no such kit; no statement when it was seen before as it stands.

    Before a check has come to its end, a kit is known by its revision and the moment since when a check is due.
    """
    key = known_by["fingerprint"] or f"{kit_id} {known_by['revision']} {known_by['check_due_at']}"
    with _guard:
        known = _kept.get(key)
    if known is None and (known := _assemble(kit_id)) is not None:
        with _guard:
            _kept[key] = known
            while len(_kept) > MOST_KITS_KEPT:
                _kept.popitem(last=False)
    return known


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


def _assemble(kit_id: int) -> Assembled | None:
    facts = read_kits([kit_id]).get(kit_id)
    if facts is None:
        return None
    # No drawing hangs on the calendar, so both views are wired at a moment that never comes.
    design, packed = (wire([facts], view=view, as_of=NO_DATE) for view in ("design", "packed"))
    return Assembled(facts=facts, design=design, packed=packed, plan=plan(design))


def _layouts() -> BaseCache:
    return caches["layouts"]
