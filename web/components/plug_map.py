"""The plug map: the face of the lid, what goes in which hole, and whether any order will do."""

from collections.abc import Container
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from calc.rig.wiring import poe_feeds
from inventory.drawings.holes import MAINS, Hole
from inventory.drawings.svg import write
from inventory.drawings.tape import Tape
from inventory.selectors.drawings import Assembled, Marks, panel_drawing
from web.components.numbers import with_unit

DAMAGE = {
    "latch": "Latch broken: friction alone holds the plug.",
    "shell": "Shell broken: friction alone holds the plug.",
    "contact": "A contact is damaged.",
    "dead": "Dead: leave empty.",
    "intermittent": "Comes and goes: leave empty.",
    "label": "Its label cannot be read.",
}
NOT_UNDER_LOAD = "Do not part under load."


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugRow:
    """One hole, in a row of the table."""

    number: int
    symbol: str
    name: str
    goes_in: str
    tape: Tape
    lead: str
    note: str
    """What to mind."""
    power: str
    empty: bool
    severity: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideRow:
    """A device that is plugged in behind the lid."""

    device: str
    port: str
    source: str
    fixed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugMap:
    """Everything that tells somebody at the case what goes where."""

    face: SafeString | None
    """None: no port is on the outside."""
    rows: tuple[PlugRow, ...]
    inside: tuple[InsideRow, ...]
    any_order: str
    """``Yes``, ``No``, ``Not known``; empty where links fix every device."""
    worst: str
    """How the worst way of plugging would come off."""
    refusal: str = ""
    """Why there is none."""


def no_plug_map(refusal: str) -> PlugMap:
    """Return the plug map of a kit whose contents calculation does not take, for that reason."""
    return PlugMap(face=None, rows=(), inside=(), any_order="", worst="", refusal=refusal)


def plug_map(kit: Assembled, marks: Marks) -> PlugMap:
    """Return the plug map of a kit for its page."""
    holes = kit.holes(marks)
    any_order, worst = _any_order(kit)
    return PlugMap(
        face=_face(kit, marks) if holes else None,
        rows=tuple(_row(hole) for hole in holes),
        inside=_inside(kit, {hole.device for hole in holes}),
        any_order=any_order,
        worst=worst,
    )


def _face(kit: Assembled, marks: Marks) -> SafeString:
    drawn = write(panel_drawing(kit, marks=marks, linked=True))
    return mark_safe(drawn)  # noqa: S308 - a tree of elements, which escapes what people typed


def _row(hole: Hole) -> PlugRow:
    notes = [DAMAGE[kind] for kind in sorted(hole.damage)]
    if hole.not_under_load:
        notes.append(NOT_UNDER_LOAD)
    if hole.goes_in and not hole.planned:
        notes.insert(0, "By the plug map; no lead is planned.")
    power = with_unit(hole.watts, "W") if hole.watts is not None else ""
    return PlugRow(
        number=hole.number,
        symbol=hole.symbol,
        name=hole.name,
        goes_in="mains, from the venue" if hole.goes_in == MAINS and hole.device is None else hole.goes_in,
        tape=hole.tape,
        lead=hole.lead,
        note=" ".join(notes),
        power=f"{power}, {hole.source.label}" if power and hole.source else power,
        empty=not hole.goes_in or hole.is_dead,
        severity=hole.severity if hole.severity in {"stop", "caution", "unknown"} else None,
    )


def _inside(kit: Assembled, at_holes: Container[object]) -> tuple[InsideRow, ...]:
    rows = kit.offers["plug_map"]["rows"]
    return tuple(
        InsideRow(
            device=f"{kit.path_of(row['device'])} {row['device']['port']}",
            port=row["source"]["port"] or "",
            source=kit.path_of(row["source"]),
            fixed=row["fixed"],
        )
        for row in sorted(rows, key=lambda row: not row["fixed"])
        if (row["device"]["position"], row["device"]["port"]) not in at_holes
    )


def _any_order(kit: Assembled) -> tuple[str, str]:
    """Return the answer, and how the worst way of plugging would come off."""
    made, starved = kit.offers["plug_map"], kit.offers["starved"]
    if not poe_feeds(kit.design).hanging:
        return "", ""
    answer = {True: "Yes", False: "No", None: "Not known"}[made["any_order_ok"]]
    worst_w = made["worst_w"]
    if starved:
        return answer, f"{len(starved)} find no source that carries them."
    if worst_w is None:
        return answer, ""
    if worst_w < 0:
        return answer, f"The worst plugging is {with_unit(-worst_w, 'W')} over."
    return answer, f"The worst plugging leaves {with_unit(worst_w, 'W')}."
