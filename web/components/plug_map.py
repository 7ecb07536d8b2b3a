"""The plug map: the face of the lid, what goes in which hole, and whether any order will do."""

from collections.abc import Container, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from django.utils.safestring import SafeString, mark_safe

from calc.rig.wiring import poe_feeds
from inventory.drawings.holes import MAINS, Hole
from inventory.drawings.svg import write
from inventory.drawings.tape import Tape
from inventory.selectors.drawings import Assembled, Marks, panel_drawing
from web.components.numbers import with_unit
from web.named_ports import in_runs

DAMAGE = {
    "latch": "Latch broken: friction alone holds the plug.",
    "shell": "Shell broken: friction alone holds the plug.",
    "contact": "A contact is damaged.",
    "dead": "Dead: leave empty.",
    "intermittent": "Comes and goes: leave empty.",
    "label": "Its label cannot be read.",
}
NOT_UNDER_LOAD = "Do not part under load."
NOTHING_BEHIND = "Nothing is connected behind it."


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugRow:
    """One hole, in a row of the table; or empty ones beside each other that are for the same."""

    numbers: tuple[int, ...]
    symbol: str
    name: str
    """What is written at it."""
    goes_in: str
    tape: Tape
    network: str
    """The segment or the universes that it is for."""
    network_tape: Tape
    behind: str
    """What is at the far end of the wiring behind it."""
    port: str
    fed: str
    """Whether it gives power over Ethernet."""
    lead: str
    note: str
    """What to mind."""
    power: str
    empty: bool
    severity: str | None

    @property
    def number(self) -> str:
        return f"{self.numbers[0]}-{self.numbers[-1]}" if len(self.numbers) > 1 else str(self.numbers[0])

    @property
    def is_plain(self) -> bool:
        """Whether nothing goes in, and there is nothing to mind."""
        return self.empty and not (self.goes_in or self.severity) and self.note in {"", NOTHING_BEHIND}


@dataclass(frozen=True, slots=True, kw_only=True)
class InnerLid:
    """A kit that is packed in it, with a lid of its own."""

    label: str
    kit: int


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
    inner: tuple[InnerLid, ...]
    any_order: str
    """``Yes``, ``No``, ``Not known``; empty where links fix every device."""
    worst: str
    """How the worst way of plugging would come off."""
    refusal: str = ""
    """Why there is none."""


def no_plug_map(refusal: str) -> PlugMap:
    """Return the plug map of a kit whose contents calculation does not take, for that reason."""
    return PlugMap(face=None, rows=(), inside=(), inner=(), any_order="", worst="", refusal=refusal)


def plug_map(kit: Assembled, marks: Marks) -> PlugMap:
    """Return the plug map of a kit for its page."""
    holes = kit.holes(marks)
    any_order, worst = _any_order(kit)
    return PlugMap(
        face=_face(kit, marks) if holes else None,
        rows=tuple(_folded(_row(hole) for hole in holes)),
        inside=_inside(kit, {hole.device for hole in holes}),
        inner=tuple(
            InnerLid(label=position.label, kit=position.nested.id)
            for position in kit.facts.positions
            if position.nested is not None
        ),
        any_order=any_order,
        worst=worst,
    )


def _face(kit: Assembled, marks: Marks) -> SafeString:
    drawn = write(panel_drawing(kit, marks=marks, linked=True))
    return mark_safe(drawn)  # noqa: S308 - a tree of elements, which escapes what people typed


def _folded(rows: Iterable[PlugRow]) -> Iterator[PlugRow]:
    """Yield rows with neighbours that are empty, and for the same, put into one."""
    for alike, members in groupby(rows, key=_but_for_its_place):
        several = list(members)
        if not alike.is_plain:
            yield from several
            continue
        yield replace(
            several[0],
            numbers=tuple(number for row in several for number in row.numbers),
            name=", ".join(in_runs(row.name for row in several)),
            port=", ".join(in_runs(row.port for row in several if row.port)),
        )


def _but_for_its_place(row: PlugRow) -> PlugRow:
    return replace(row, numbers=(0,), name="", port="") if row.is_plain else row


def _row(hole: Hole) -> PlugRow:
    notes = [DAMAGE[kind] for kind in sorted(hole.damage)]
    if hole.not_under_load:
        notes.append(NOT_UNDER_LOAD)
    if hole.goes_in and not hole.planned:
        notes.insert(0, "By the plug map; no lead is planned.")
    if hole.purpose.leads_nowhere and not hole.is_dead:
        notes.append(NOTHING_BEHIND)
    power = with_unit(hole.watts, "W") if hole.watts is not None else ""
    return PlugRow(
        numbers=(hole.number,),
        symbol=hole.symbol,
        name=hole.name,
        goes_in="mains, from the venue" if hole.goes_in == MAINS and hole.device is None else hole.goes_in,
        tape=hole.tape,
        network=hole.purpose.network,
        network_tape=hole.purpose.tape,
        behind=hole.purpose.place if hole.behind is not None else "",
        port=hole.purpose.port if hole.behind is not None else "",
        fed=hole.purpose.power,
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
