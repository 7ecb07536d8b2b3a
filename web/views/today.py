"""``/``: what needs me now? What is at risk, what leaves and comes back, what is late, what is on the bench."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django import forms
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.formats import date_format

from inventory.base.notices import mark_seen, notice_rows
from scheduling.selectors.programme import ShowShape
from scheduling.selectors.promises import LiveShortfallShape, shortfalls_beginning
from scheduling.selectors.today import (
    HeldShape,
    OverdueShape,
    StoppedKitShape,
    beginnings,
    dock,
    held_back,
    overdue,
    stopped_kits,
)
from web.components.beginnings import Step, steps
from web.components.faults import what_broke
from web.components.in_the_way import CAUSES
from web.components.promises import lack_line
from web.components.tags import TagModel, tag_model
from web.forms import PageForm
from web.page import Page
from web.views.bench.page import until as time_until

SOON = timedelta(days=14)
MOST_RISKS = 12
MOST_LINES = 4
MOST_HELD = 8
MOST_NOTICES = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """One thing that goes wrong unless somebody does something."""

    severity: str
    words: str
    at: datetime
    under_way: bool
    event: int
    event_name: str
    lines: tuple[str, ...]
    more: int
    kit: int | None
    """Of a kit whose check says stop; None: the show lacks something."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DockLine:
    at: datetime
    clock: str
    out: bool
    event: int
    event_name: str
    where: str
    booked: str
    short: int
    past: bool
    first_to_come: bool
    """The line between what was and what comes stands before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DockDay:
    name: str
    lines: tuple[DockLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LateLine:
    """A show that should be back, or a unit that somebody noted as not back yet."""

    event: int | None
    unit: int | None
    tag: TagModel | None
    name: str
    what: str
    due: datetime | None
    overdue: bool
    """False: it is away longer than planned, and not due yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldLine:
    unit: int
    tag: TagModel
    name: str
    why: str
    severity: str
    words: str
    """``short in 20 hours``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeLine:
    """Something that others changed of what the person has booked."""

    id: int
    address: str
    words: str
    at: datetime
    due: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TodayModel:
    title: str
    clock: str
    summary: str
    """Empty before there is a show that anything could be about."""
    steps: tuple[Step, ...]
    """What a company begins with; empty once it has one of each."""
    begun: bool
    """There is something that the sections below can be about."""
    risks: tuple[Risk, ...]
    more_risks: int
    days: tuple[DockDay, ...]
    late: tuple[LateLine, ...]
    held: tuple[HeldLine, ...]
    more_held: int
    may_plan: bool
    notices: tuple[NoticeLine, ...]


class TodayPage(Page):
    permits = {"GET": "event.read"}
    section = "/"

    def get(self, request: HttpRequest) -> HttpResponse:
        begun = beginnings()
        now = timezone.now()
        here = timezone.localtime(now)
        midnight = here.replace(hour=0, minute=0, second=0, microsecond=0)
        held = held_back(now)
        risks = risks_of(shortfalls_beginning(now + SOON, now), stopped_kits(now + SOON, now), now)
        late = (*_late_shows(overdue(now)), *_late_units(held, now))
        bench = [one for one in held if one["cause"] != "late"]
        page = TodayModel(
            title=date_format(here, "l j F"),
            clock=date_format(here, "H:i"),
            summary=_summary(risks, late, bench) if begun["events"] else "",
            steps=steps(begun, self.person()),
            begun=any((begun["specs"], begun["units"], begun["kits"], begun["events"])),
            risks=risks[:MOST_RISKS],
            more_risks=max(len(risks) - MOST_RISKS, 0),
            days=dock_days(dock(midnight, midnight + timedelta(days=2), now), midnight, now),
            late=late,
            held=tuple(_held_line(one, now) for one in bench[:MOST_HELD]),
            more_held=max(len(bench) - MOST_HELD, 0),
            may_plan=self.person().may("event.edit"),
            notices=notice_lines(self.person().pk),
        )
        return self.show("web/pages/today.html", page)


class NoticesSeenPage(Page):
    """``/notices/seen/``: the button that ticks off what was read."""

    permits = {"POST": "notice.read"}
    section = "/"

    def post(self, request: HttpRequest) -> HttpResponse:
        form = self.form(SeenForm)
        if self.carry_out(form, lambda c: mark_seen(c, form.numbers())):
            return self.go_to("/")
        return self.refused(form, self.go_to("/"))


class SeenForm(PageForm):
    notices = forms.RegexField(r"^\d{1,18}(,\d{1,18})*$", max_length=1000, widget=forms.HiddenInput)

    def numbers(self) -> list[int]:
        return [int(number) for number in self.cleaned_data["notices"].split(",")]


def notice_lines(person_id: int) -> tuple[NoticeLine, ...]:
    """Return what a person has not ticked off yet, the newest first; one statement."""
    rows = notice_rows(person_id).filter(seen_at__isnull=True).order_by("-id")[:MOST_NOTICES]
    return tuple(
        NoticeLine(
            id=row["id"], address=f"/bookings/{row['object_id']}/", words=row["words"], at=row["at"], due=row["due_at"]
        )
        for row in rows
    )


def risks_of(
    lacking: Iterable[LiveShortfallShape], stopped: Iterable[StoppedKitShape], now: datetime
) -> tuple[Risk, ...]:
    """Return what is at risk by the hour at which it hurts; a show that lacks several things is one entry."""
    by_show: defaultdict[int, list[LiveShortfallShape]] = defaultdict(list)
    for lack in lacking:
        by_show[lack["event"]].append(lack)
    found = [_short(several, now) for several in by_show.values()]
    found += [
        Risk(
            severity="stop",
            words="Stop",
            at=kit["starts_at"],
            under_way=kit["starts_at"] <= now,
            event=kit["event"],
            event_name=kit["event_name"],
            lines=(f"{kit['kit_name']}: {kit['message']}",),
            more=0,
            kit=kit["kit"],
        )
        for kit in stopped
    ]
    return tuple(sorted(found, key=lambda risk: risk.at))


def _short(several: Sequence[LiveShortfallShape], now: datetime) -> Risk:
    lines = [lack_line(lack) for lack in several]
    grave = [line for line in lines if line.severity == "stop"]
    missing = sum(lack["quantity"] for lack, line in zip(several, lines, strict=True) if not grave or line in grave)
    said = [f"{line.lacking}: {line.reason}." for line in (*grave, *(line for line in lines if line not in grave))]
    return Risk(
        severity="stop" if grave else "caution",
        words=f"short {missing}" if grave else f"lacks {missing}",
        at=several[0]["starts_at"],
        under_way=several[0]["starts_at"] <= now,
        event=several[0]["event"],
        event_name=several[0]["event_name"],
        lines=tuple(said[:MOST_LINES]),
        more=max(len(said) - MOST_LINES, 0),
        kit=None,
    )


def dock_days(shows: Sequence[ShowShape], midnight: datetime, now: datetime) -> tuple[DockDay, ...]:
    """Return what leaves and comes back today and tomorrow, by the hour; a day without any is left out."""
    moves = [(show["gear_out_at"], True, show) for show in shows] + [
        (show["gear_back_at"], False, show) for show in shows
    ]
    moves.sort(key=lambda move: move[0])
    days = []
    for name, start in (("Today", midnight), ("Tomorrow", midnight + timedelta(days=1))):
        of_day = [move for move in moves if start <= move[0] < start + timedelta(days=1)]
        to_come = next((number for number, move in enumerate(of_day) if move[0] > now), None)
        lines = tuple(
            _dock_line(at, show, out=out, past=at <= now, first=name == "Today" and number == to_come and number > 0)
            for number, (at, out, show) in enumerate(of_day)
        )
        if lines:
            days.append(DockDay(name=name, lines=lines))
    return tuple(days)


def _dock_line(at: datetime, show: ShowShape, *, out: bool, past: bool, first: bool) -> DockLine:
    booked = [f"{show['confirmed']} confirmed"] if show["confirmed"] else []
    booked += [f"{show['pencilled']} in pencil"] if show["pencilled"] else []
    return DockLine(
        at=at,
        clock=date_format(timezone.localtime(at), "H:i"),
        out=out,
        event=show["id"],
        event_name=show["name"],
        where=show["venue_name"] or "place not known",
        booked=", ".join(booked) or "nothing is booked",
        short=show["short"],
        past=past,
        first_to_come=first,
    )


def _late_shows(bookings: Iterable[OverdueShape]) -> tuple[LateLine, ...]:
    by_show: defaultdict[int, list[OverdueShape]] = defaultdict(list)
    for booking in bookings:
        by_show[booking["event"]].append(booking)
    lines = []
    for event, several in by_show.items():
        names = [f"{one['quantity']} of {one['name']}" if one["quantity"] > 1 else one["name"] for one in several]
        rest = f" and {len(names) - MOST_LINES} more" if len(names) > MOST_LINES else ""
        lines.append(
            LateLine(
                event=event,
                unit=None,
                tag=None,
                name=several[0]["event_name"],
                what=", ".join(names[:MOST_LINES]) + rest,
                due=several[0]["ends_at"],
                overdue=True,
            )
        )
    return tuple(lines)


def _late_units(held: Iterable[HeldShape], now: datetime) -> tuple[LateLine, ...]:
    return tuple(
        LateLine(
            event=None,
            unit=one["unit"],
            tag=tag_model(one["tag"]),
            name=one["spec_name"],
            what=one["note"] or "noted as not back yet",
            due=one["expected_until"],
            overdue=one["expected_until"] is None or one["expected_until"] <= now,
        )
        for one in held
        if one["cause"] == "late"
    )


def _held_line(held: HeldShape, now: datetime) -> HeldLine:
    severity, words = "nothing-found", "nothing waits for it"
    if held["next_at"] is not None:
        number, span = time_until(held["next_at"], now)
        waits = span if number == "now" else f"in {number} {span}"
        severity = "stop" if held["lacking"] else "caution"
        words = f"short {waits}" if held["lacking"] else f"wanted {waits}"
    why = what_broke(held["what"], held["port"]) if held["what"] else CAUSES[held["cause"]]
    return HeldLine(
        unit=held["unit"],
        tag=tag_model(held["tag"]),
        name=held["spec_name"],
        why=why,
        severity=severity,
        words=words,
    )


def _summary(risks: Sequence[Risk], late: Sequence[LateLine], bench: Sequence[HeldShape]) -> str:
    stops = sum(risk.severity == "stop" for risk in risks)
    cautions = len(risks) - stops
    counted = [
        (stops, "stop", "stops"),
        (cautions, "caution", "cautions"),
        (sum(line.overdue for line in late), "late", "late"),
        (len(bench), "on the bench", "on the bench"),
    ]
    said = ", ".join(f"{number} {one if number == 1 else many}" for number, one, many in counted if number)
    return said or "Nothing calls for you"
