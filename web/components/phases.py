"""The phases of a show as a drawn line: from the hour its gear leaves to the hour it is back."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.safestring import SafeString, mark_safe

from inventory.drawings.svg import Element, element, text, write
from scheduling.selectors.events import PhaseShape
from web.components.spans import moment, span

NAMES = {"prep": "Preparation", "load-in": "Load-in", "show": "Show", "load-out": "Load-out", "return": "Way back"}
HEIGHT = 58
LINE = 38
TALL = {"show": 28.0}
OTHERS = 18.0
MOST_DAYS = 7
"""Days that are named under the line; more are named in steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseLine:
    name: str
    words: str
    on_now: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Phases:
    drawing: SafeString
    lines: tuple[PhaseLine, ...]


def phases(name: str, out: datetime, back: datetime, shapes: Sequence[PhaseShape], now: datetime) -> Phases:
    """Return the line of a show and the same in words."""
    lines = tuple(
        PhaseLine(
            name=NAMES[shape["kind"]],
            words=span(shape["starts_at"], shape["ends_at"]),
            on_now=shape["starts_at"] <= now < shape["ends_at"],
        )
        for shape in shapes
    )
    first = min([out, *(shape["starts_at"] for shape in shapes)])
    last = max([back, *(shape["ends_at"] for shape in shapes)])
    scale = _Scale(first, last)
    svg = element(
        "svg",
        element("title", f"Phases of {name}"),
        element("desc", "; ".join([f"Gear out {moment(out)}, back {moment(back)}", *_told(lines)])),
        *_days(scale),
        *(_block(scale, shape) for shape in shapes),
        element("line", cls="l w5", x1=scale.at(out), x2=scale.at(back), y1=LINE, y2=LINE),
        *_now(scale, now),
        cls="phase-line",
        role="img",
        height=HEIGHT,
        width="100%",
    )
    drawn = mark_safe(write(svg))  # noqa: S308 - a tree of elements, which escapes what people typed
    return Phases(drawing=drawn, lines=lines)


@dataclass(frozen=True, slots=True)
class _Scale:
    first: datetime
    last: datetime

    def share(self, at: datetime) -> float:
        return (at - self.first) / (self.last - self.first)

    def at(self, at: datetime) -> str:
        return f"{100 * min(max(self.share(at), 0), 1):.2f}%"

    def wide(self, starts_at: datetime, ends_at: datetime) -> str:
        return f"{max(100 * (self.share(ends_at) - self.share(starts_at)), 0.6):.2f}%"


def _told(lines: Sequence[PhaseLine]) -> list[str]:
    return [f"{line.name} {line.words}" for line in lines]


def _block(scale: _Scale, shape: PhaseShape) -> Element:
    tall = TALL.get(shape["kind"], OTHERS)
    return element(
        "rect",
        element("title", f"{NAMES[shape['kind']]}, {span(shape['starts_at'], shape['ends_at'])}"),
        cls="n fi" if shape["kind"] == "show" else "n pencil" if shape["kind"] == "prep" else "n",
        x=scale.at(shape["starts_at"]),
        y=LINE - tall,
        height=tall,
        width=scale.wide(shape["starts_at"], shape["ends_at"]),
    )


def _days(scale: _Scale) -> Iterator[Element]:
    day = timezone.localtime(scale.first).replace(hour=0, minute=0, second=0, microsecond=0)
    days = (timezone.localtime(scale.last).date() - day.date()).days + 1
    step = -(-days // MOST_DAYS)
    for number in range(0, days, step):
        at = day + timedelta(days=number)
        x = scale.at(at)
        yield element("line", cls="ld", x1=x, x2=x, y1=4, y2=LINE + 8)
        if scale.share(at) < 0.95:
            label = text(0, HEIGHT - 6, date_format(at, "D j"), "m")
            label.set("x", x)
            yield label


def _now(scale: _Scale, now: datetime) -> Iterator[Element]:
    if scale.first <= now < scale.last:
        x = scale.at(now)
        yield element("line", cls="l w5", x1=x, x2=x, y1=2, y2=LINE + 8)
        yield element("line", cls="l2 w18", x1=x, x2=x, y1=2, y2=LINE + 8)
