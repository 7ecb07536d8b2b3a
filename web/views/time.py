"""``/time/``: who has what, when? Drawn on the server, and the same facts as a table."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from scheduling.promises.decide import Period
from scheduling.selectors.calendar import (
    DownStretchShape,
    KitStretchShape,
    ShortStretchShape,
    UnitStretchShape,
    down_stretches,
    kit_stretches,
    kits_in_time,
    short_stretches,
    unit_stretches,
)
from web.components.in_the_way import cause
from web.components.timeline import ZOOMS, Stretch, Timeline, TimeRow, Zoom, timeline
from web.page import Page
from web.sought import sought_words

MOST_KITS = 100
MOST_STRETCHES = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A link to another stretch of the calendar."""

    address: str
    words: str
    chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeModel:
    title: str
    zooms: tuple[Way, ...]
    back: str
    today: str
    further: str
    zoom: str
    since: str
    words: str
    timeline: Timeline
    lines: tuple[tuple[TimeRow, Stretch], ...]
    cut: bool
    """There is more than is shown."""


class TimePage(Page):
    permits = {"GET": "event.read"}
    section = "/time/"

    def get(self, request: HttpRequest) -> HttpResponse:
        now = timezone.now()
        words = sought_words(request)
        zoom = ZOOMS.get(request.GET.get("zoom", ""), ZOOMS["week"])
        first = _first_day(request.GET.get("from", ""), now)
        window = Period(_midnight(first), _midnight(first + timedelta(days=zoom.days)))
        rows, cut = _rows(words, window, now)
        page = TimeModel(
            title="Time",
            zooms=tuple(
                Way(
                    address=_address(each, first, words),
                    words=each.name.capitalize(),
                    chosen=each is zoom,
                )
                for each in ZOOMS.values()
            ),
            back=_address(zoom, first - timedelta(days=zoom.days), words),
            today=_address(zoom, None, words),
            further=_address(zoom, first + timedelta(days=zoom.days), words),
            zoom=zoom.name,
            since=first.isoformat(),
            words=words,
            timeline=timeline(rows, window, zoom, now),
            lines=tuple((row, stretch) for row in rows for stretch in row.stretches),
            cut=cut,
        )
        return self.show("web/pages/time.html", page)


def _first_day(text: str, now: datetime) -> date:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return timezone.localtime(now).date()
    return min(max(day, date(1970, 1, 2)), date(2199, 1, 1))


def _midnight(day: date) -> datetime:
    return timezone.make_aware(datetime(day.year, day.month, day.day))  # noqa: DTZ001 - made aware at once


def _address(zoom: Zoom, first: date | None, words: str) -> str:
    query = {"zoom": zoom.name} | ({"from": first.isoformat()} if first else {}) | ({"q": words} if words else {})
    return "/time/?" + urlencode(query)


def _rows(words: str, window: Period, now: datetime) -> tuple[list[TimeRow], bool]:
    """Return the rows, kits first, and whether something was left out; five statements."""
    kits = kits_in_time(words, most=MOST_KITS)
    booked = kit_stretches([kit["id"] for kit in kits], window, now)
    downs = down_stretches(window, now, most=MOST_STRETCHES)
    claims = unit_stretches(words, window, now, most=MOST_STRETCHES)
    shorts = [each for each in short_stretches(window, now, most=MOST_STRETCHES) if _matches(each["spec_name"], words)]
    of_kit: defaultdict[int, list[Stretch]] = defaultdict(list)
    for stretch in booked:
        of_kit[stretch["kit"]].append(_booked(stretch))
    in_kits = {kit["id"] for kit in kits}
    for down in downs:
        if down["kit"] in in_kits:
            of_kit[down["kit"] or 0].append(_down(down, name=down["tag"]))
    rows = [
        TimeRow(name=kit["name"], under="kit", address=f"/kits/{kit['id']}/", stretches=tuple(of_kit[kit["id"]]))
        for kit in kits
    ]
    loose = [down for down in downs if down["kit"] is None and _matches(down["spec_name"], words)]
    rows += _unit_rows(claims, loose, shorts)
    cut = len(kits) == MOST_KITS or MOST_STRETCHES in (len(downs), len(claims), len(shorts))
    return rows, cut


def _matches(name: str, words: str) -> bool:
    return all(word.lower() in name.lower() for word in words.split())


def _unit_rows(
    claims: Iterable[UnitStretchShape], downs: Iterable[DownStretchShape], shorts: Iterable[ShortStretchShape]
) -> Sequence[TimeRow]:
    """Return a row for each spec of which a unit is promised by itself, held back or short, by name."""
    rows: defaultdict[tuple[str, int], list[Stretch]] = defaultdict(list)
    tags: defaultdict[int, set[str]] = defaultdict(set)
    together: Counter[_Together] = Counter()
    for claim in claims:
        tags[claim["spec"]].add(claim["tag"])
        together[_Together(**{name: claim[name] for name in _Together.__annotations__})] += 1  # type: ignore[literal-required]
    for alike, number in together.items():
        rows[alike.spec_name, alike.spec].append(
            Stretch(
                kind="promised" if alike.firm else "pencilled",
                starts_at=alike.starts_at,
                ends_at=alike.ends_at,
                label=f"{number} for {alike.name}" if number > 1 else alike.name,
                address=f"/events/{alike.event}/",
            )
        )
    for down in downs:
        tags[down["spec"]].add(down["tag"])
        rows[down["spec_name"], down["spec"]].append(_down(down, name=down["tag"]))
    for short in shorts:
        rows[short["spec_name"], short["spec"]].append(
            Stretch(
                kind="short",
                starts_at=short["starts_at"],
                ends_at=short["ends_at"],
                label=f"short {short['quantity']}: {short['name']}",
                address=f"/events/{short['event']}/#short",
                short=short["quantity"],
            )
        )
    return [
        TimeRow(name=name, under=_tags(tags[spec]), address=f"/specs/{spec}/", stretches=tuple(stretches))
        for (name, spec), stretches in sorted(rows.items())
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Together:
    """Units of one spec that go to the same show for the same time are one bar."""

    spec: int
    spec_name: str
    event: int
    name: str
    firm: bool
    starts_at: datetime
    ends_at: datetime


def _tags(tags: Collection[str]) -> str:
    return next(iter(tags), "any of them") if len(tags) < 2 else f"{len(tags)} units"


def _booked(shape: KitStretchShape) -> Stretch:
    return Stretch(
        kind="promised" if shape["firm"] else "pencilled",
        starts_at=shape["starts_at"],
        ends_at=shape["ends_at"],
        label=shape["name"],
        address=f"/events/{shape['event']}/",
        short=shape["short"],
    )


def _down(shape: DownStretchShape, *, name: str) -> Stretch:
    why = cause(shape["cause"], shape["note"])
    return Stretch(
        kind="late" if shape["cause"] == "late" else "held",
        starts_at=shape["starts_at"],
        ends_at=shape["ends_at"],
        label=f"{name}: {why}" if name else why,
        address=f"/units/{shape['unit']}/",
    )
