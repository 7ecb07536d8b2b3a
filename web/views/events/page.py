"""``/events/{id}/``: will this show work? Its phases, bookings, shortfalls, the checks of its kits, the venue."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from scheduling.models import BookingState
from scheduling.selectors.bookings import GRAVE, grave_findings
from scheduling.selectors.events import phases_of
from scheduling.selectors.lines import LineShape, lines_of_event, shortfalls_of_event, things, with_alternatives
from scheduling.selectors.venues import circuits_of
from scheduling.verbs import EVENT_VERBS, Stage, legal_verbs
from web.components.booked import BookedLine, Lack, booked_lines, lack_line
from web.components.circuits import CircuitLine, circuit_lines
from web.components.findings import in_two
from web.components.in_the_way import Instead, stand_ins
from web.components.phases import Phases, phases
from web.components.spans import span
from web.page import Page
from web.views.bookings.ordering import BookForm, BookPart, book_part
from web.views.events.shows import OVER, address_of, another_clock, read_show

WORST = 3
"""Findings that are shown of each kit."""
STAND_INS = 4
"""Units that are offered for each thing that is lacking."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KitSays:
    """What the newest check of a booked kit says."""

    kit: int
    name: str
    findings: tuple[tuple[str, str, str], ...]
    """Severity, move, reason."""
    more: int
    severity: str
    words: str
    """What is said where there is none of these."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EventModel:
    title: str
    id: int
    address: str
    state: str
    when: str
    client: str
    venue: int | None
    venue_name: str
    clock: str
    """Said where the venue has another clock than the store."""
    phases: Phases
    lines: tuple[BookedLine, ...]
    holding: int
    """How many lines hold something."""
    short: int
    says: tuple[KitSays, ...]
    circuits: tuple[CircuitLine, ...]
    book: BookPart | None
    """None: nothing is booked for it any more, or not by this person."""
    may_edit: bool
    may_stand_in: bool
    moves: tuple[str, ...]
    either_or: str
    """The choice of dates that it is one of; empty for an event of its own."""
    said: str
    ledger: int


class EventPage(Page):
    permits = {"GET": "event.read"}
    section = "/events/"

    def get(self, request: HttpRequest, event_id: int) -> HttpResponse:
        now = timezone.now()
        show = read_show(event_id)
        lines = lines_of_event(event_id, now)
        books = self.person().may("booking.book")
        may_edit = self.person().may("event.edit")
        page = EventModel(
            title=show["name"],
            id=event_id,
            address=address_of(event_id),
            state=show["state"],
            when=span(show["gear_out_at"], show["gear_back_at"]),
            client=show["client"] if self.person().may("client.read") else "",
            venue=show["venue"],
            venue_name=show["venue_name"] or "",
            clock=another_clock(show),
            phases=phases(show["name"], show["gear_out_at"], show["gear_back_at"], phases_of(event_id), now),
            lines=booked_lines(
                lines, person=self.person().pk, others=self.person().may("booking.change-others"), books=books
            ),
            holding=sum(1 for line in lines if line["state"] != BookingState.CANCELLED and not line["expired"]),
            short=show["short"],
            says=_says(lines),
            circuits=circuit_lines(circuits_of(show["venue"])) if show["venue"] is not None else (),
            book=book_part(show, BookForm(things=things())) if books and show["state"] not in OVER else None,
            may_edit=may_edit,
            may_stand_in=self.person().may("booking.change-others"),
            moves=tuple(legal_verbs(EVENT_VERBS, Stage(show["state"]))) if may_edit else (),
            either_or=show["either_or_name"] or "",
            said=request.GET.get("said", ""),
            ledger=show["ledger"],
        )
        return self.show("web/pages/event.html", page)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lacking:
    """One thing that is lacking, with what could stand in for it."""

    lack: Lack
    booking: int
    counted: bool
    """A number of a spec is short: it is dealt again, no unit by name."""
    in_kit: bool
    """It is a place of a kit that lacks a unit."""
    stand_ins: tuple[Instead, ...]
    more: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortModel:
    title: str
    id: int
    name: str
    address: str
    lacking: tuple[Lacking, ...]
    may_stand_in: bool


class ShortPage(Page):
    """``/events/{id}/short/``: everything that its bookings lack, with stand-ins; a part of the event's page."""

    permits = {"GET": "event.read"}
    section = "/events/"

    def get(self, request: HttpRequest, event_id: int) -> HttpResponse:
        page = short_model(self, event_id)
        if self.wants_part():
            return self.show_part("web/parts/short.html", page)
        return self.show("web/pages/short.html", page)


def short_model(page: Page, event_id: int) -> ShortModel:
    """Return what a show lacks."""
    now = timezone.now()
    show = read_show(event_id)
    lacks = shortfalls_of_event(event_id, now)
    lacking = []
    for each in with_alternatives(lacks, now):
        lacking.append(
            Lacking(
                lack=lack_line(each["lack"]),
                booking=each["lack"]["booking"],
                counted=each["lack"]["counted"],
                in_kit=each["lack"]["position"] is not None,
                stand_ins=stand_ins(each["stand_ins"], most=STAND_INS),
                more=max(len(each["stand_ins"]) - STAND_INS, 0),
            )
        )
    return ShortModel(
        title=f"What {show['name']} lacks",
        id=event_id,
        name=show["name"],
        address=address_of(event_id),
        lacking=tuple(lacking),
        may_stand_in=page.person().may("booking.change-others") and show["state"] not in OVER,
    )


def _says(lines: list[LineShape]) -> tuple[KitSays, ...]:
    kits = {
        line["kit"]: (line["kit_name"] or "", line["kit_verdict"])
        for line in lines
        if line["kit"] is not None and line["state"] != BookingState.CANCELLED and not line["expired"]
    }
    found = grave_findings(set(kits), (*GRAVE, "unknown"))
    return tuple(
        KitSays(
            kit=kit,
            name=name,
            findings=tuple((each["severity"], *in_two(each["message"])) for each in found[kit][:WORST]),
            more=max(len(found[kit]) - WORST, 0),
            severity=verdict or "unknown",
            words="no stop and no caution" if verdict else "not checked yet",
        )
        for kit, (name, verdict) in kits.items()
    )
