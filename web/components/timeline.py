"""A drawn timeline: a row for each kit and unit, bars for what it is promised to, written on the server."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.safestring import SafeString, mark_safe

from inventory.drawings.svg import Element, append, drawing, element, shortened, text, use, width_of, write
from scheduling.promises.decide import Period
from web.components.spans import span

HEAD, ROW, LANE, BAR = 48, 48, 34, 30
MOST_LANES = 6
TOUCH = 24.0
"""A bar narrower than this leads nowhere; its line in the table does. (WCAG 2.2, 2.5.8.) [px]"""
NIGHT = ((0, 7), (22, 24))
LETTER = 6.6
FEWEST_LETTERS = 7
"""A label that is cut shorter says nothing; the table does."""
NOW = 40
"""Width of the hour that stands at the line of now. [px]"""

WORDS = {
    "promised": "promised",
    "pencilled": "pencilled",
    "held": "held back",
    "late": "late",
    "short": "short",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Zoom:
    """How much of the calendar is shown, and how finely."""

    name: str
    days: int
    width: int
    step: int
    """Days between two names of days."""
    form: str
    nights: bool


ZOOMS = {
    "day": Zoom(name="day", days=1, width=1008, step=1, form="D j M", nights=True),
    "week": Zoom(name="week", days=7, width=1029, step=1, form="D j", nights=True),
    "month": Zoom(name="month", days=31, width=1240, step=7, form="D j M", nights=False),
    "quarter": Zoom(name="quarter", days=91, width=1365, step=7, form="j M", nights=False),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One bar."""

    kind: str
    starts_at: datetime
    ends_at: datetime | None
    label: str
    address: str
    short: int = 0

    @property
    def words(self) -> str:
        said = WORDS[self.kind]
        return f"{said}, short {self.short}" if self.short and self.kind != "short" else said

    @property
    def when(self) -> str:
        return span(self.starts_at, self.ends_at)


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeRow:
    name: str
    under: str
    address: str
    stretches: tuple[Stretch, ...]

    @property
    def lanes(self) -> int:
        return max((lane for lane, _ in laid(self.stretches)), default=0) + 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    drawing: SafeString
    rows: tuple[TimeRow, ...]


def laid(stretches: Sequence[Stretch]) -> list[tuple[int, Stretch]]:
    """Return each stretch with the lane that it lies in: those at the same time lie below each other."""
    ends: list[datetime | None] = []
    found = []
    for stretch in sorted(stretches, key=lambda each: each.starts_at):
        free = [lane for lane, end in enumerate(ends) if end is not None and end <= stretch.starts_at]
        lane = free[0] if free else min(len(ends), MOST_LANES - 1)
        if lane == len(ends):
            ends.append(stretch.ends_at)
        else:
            ends[lane] = stretch.ends_at
        found.append((lane, stretch))
    return found


def timeline(rows: Sequence[TimeRow], window: Period, zoom: Zoom, now: datetime) -> Timeline:
    """Return the rows drawn against the calendar."""
    scale = _Scale(window, zoom)
    tops = [HEAD]
    for row in rows:
        tops.append(tops[-1] + ROW + LANE * (row.lanes - 1))
    height = tops[-1]
    pieces: list[Element] = [*_ground(scale, height), *_now(scale, now, height)]
    for row, top, bottom in zip(rows, tops, tops[1:], strict=False):
        pieces.append(element("line", cls="ld", x1=0, x2=zoom.width, y1=bottom - 0.5, y2=bottom - 0.5))
        for lane, stretch in laid(row.stretches):
            pieces += _bar(scale, row, stretch, top + 8 + LANE * lane, now)
    svg = drawing(
        pieces,
        width=zoom.width,
        height=height,
        title=f"Who has what, {span(window.starts_at, window.ends_at)}",
        description="A row for each kit and unit, in the order of the names beside it. The same stands in the table.",
    )
    svg.set("role", "group")
    svg.set("width", str(zoom.width))
    svg.set("height", str(height))
    svg.set("class", f"time {zoom.name}")
    return Timeline(
        drawing=mark_safe(write(svg)),  # noqa: S308 - a tree of elements, which escapes what people typed
        rows=tuple(rows),
    )


@dataclass(frozen=True, slots=True)
class _Scale:
    window: Period
    zoom: Zoom

    def x(self, at: datetime) -> float:
        # In one zone the difference of two instants is that of their clocks, which are put forward and back.
        first = self.window.starts_at.astimezone(UTC)
        whole = self.window.ends_at.astimezone(UTC) - first
        return round(self.zoom.width * ((at.astimezone(UTC) - first) / whole), 1)

    def cut(self, at: datetime | None) -> float:
        """Return where an instant lies, at most a little outside; an end that nobody knows lies outside."""
        if at is None:
            return self.zoom.width + 12.0
        return min(max(self.x(at), -12.0), self.zoom.width + 12.0)


def _ground(scale: _Scale, height: int) -> Iterator[Element]:
    day = timezone.localtime(scale.window.starts_at)
    for number in range(scale.zoom.days):
        here = _clock(day, number)
        x = scale.x(here)
        if scale.zoom.nights:
            for first, last in NIGHT:
                dusk, dawn = scale.x(_clock(day, number, first)), scale.x(_clock(day, number, last))
                yield element("rect", cls="night", x=dusk, y=HEAD, width=dawn - dusk, height=height - HEAD)
        named = number % scale.zoom.step == 0
        yield element("line", cls="ld", x1=x, x2=x, y1=0 if named else HEAD - 8, y2=height)
        if named:
            yield text(x + 6, 17, date_format(here, scale.zoom.form), "b")
    if scale.zoom.days == 1:
        for hour in range(3, 24, 3):
            x = scale.x(_clock(day, 0, hour))
            yield element("line", cls="ld", x1=x, x2=x, y1=30, y2=height)
            yield text(x, 26, f"{hour:02}:00", "m mid")


def _clock(day: datetime, number: int, hour: int = 0) -> datetime:
    """Return when the clocks show an hour, so many days later, also where they are put forward or back."""
    naive = timezone.make_naive(day).replace(hour=0, minute=0, second=0, microsecond=0)
    return timezone.make_aware(naive + timedelta(days=number, hours=hour))


def _now(scale: _Scale, now: datetime, height: int) -> Iterator[Element]:
    x = scale.x(now)
    if 0 <= x < scale.zoom.width:
        yield element("path", cls="l", d=f"M{x - 2} 32V{height}M{x + 2} 32V{height}")
        middle = min(max(x, NOW / 2), scale.zoom.width - NOW / 2)
        yield element("rect", fill="var(--paper)", x=middle - NOW / 2, y=30, width=NOW, height=15)
        yield text(middle, 42, date_format(timezone.localtime(now), "H:i"), "b mid")


def _bar(scale: _Scale, row: TimeRow, stretch: Stretch, top: float, now: datetime) -> Iterator[Element]:
    left, right = scale.cut(stretch.starts_at), scale.cut(stretch.ends_at)
    wide = max(right - left, 3.0)
    group = element("g", element("title", f"{row.name}: {stretch.label}, {stretch.words}, {stretch.when}"))
    append(group, *_SHAPES[stretch.kind](left, top, wide))
    room = min(right, scale.zoom.width) - max(left, 0)
    append(group, *_label(stretch, max(left, 0.0), top, room))
    if not stretch.address or room < TOUCH:
        yield group
        return
    yield element("a", group, href=stretch.address)


def _label(stretch: Stretch, left: float, top: float, room: float) -> Iterator[Element]:
    at = left + 7
    if stretch.short and room > TOUCH:
        yield element("rect", fill="var(--sheet)", x=at - 3, y=top + 5, width=20, height=20)
        yield use("s-stop", at - 2, top + 6, 18, 18, "stop")
        at, room = at + 24, room - 24
    fits = int((room - 14) / LETTER)
    words = shortened(stretch.label, fits) if len(stretch.label) <= fits or fits >= FEWEST_LETTERS else ""
    if not words:
        return
    if stretch.kind in {"pencilled", "held"}:
        yield element(
            "rect", fill="var(--sheet)", x=at - 3, y=top + 6, width=min(width_of(words) + 6, room - 6), height=18
        )
    cls = {"promised": "fs b", "short": "fst b", "late": "fst b"}.get(stretch.kind, "")
    yield text(at, top + 19, words, cls)


def _promised(left: float, top: float, wide: float) -> Iterator[Element]:
    yield element("rect", fill="var(--ink)", x=left, y=top, width=wide, height=BAR)


def _pencilled(left: float, top: float, wide: float) -> Iterator[Element]:
    yield element("rect", cls="n", x=left, y=top, width=wide, height=BAR)
    yield element("rect", cls="pencil", x=left, y=top, width=wide, height=BAR)


def _held(left: float, top: float, wide: float) -> Iterator[Element]:
    yield element("rect", cls="n", x=left, y=top, width=wide, height=BAR)
    crosses = "".join(f"M{left + x:.0f} {top + 9:.0f}l12 12m0-12l-12 12" for x in range(4, int(wide) - 14, 16))
    if crosses:
        yield element("path", cls="l", opacity=0.6, d=crosses)


def _torn(left: float, top: float, wide: float) -> Iterator[Element]:
    end = left + wide
    edge = f"M{left:.1f} {top}H{end:.1f}l-6 5 6 5-6 5 6 5-6 5 6 5H{left:.1f}"
    yield element("path", cls="x", fill="var(--sheet)", d=edge)


def _short(left: float, top: float, wide: float) -> Iterator[Element]:
    yield element("rect", cls="x", x=left, y=top, width=wide, height=BAR)


_SHAPES = {"promised": _promised, "pencilled": _pencilled, "held": _held, "late": _torn, "short": _short}
