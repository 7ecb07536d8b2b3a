"""``/bookings/{id}/``: one booking: what it has, who is ahead of it, and what can be done with it."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from inventory.base.history import history_rows, show_history
from scheduling.models import BookingState
from scheduling.verbs import BOOKING_VERBS, Stage, legal_verbs
from web.components.booked import BookedLine, booked_line
from web.components.history import HistoryLine, history_lines
from web.components.spans import span
from web.page import Page
from web.views.bookings.page import is_out, read_line
from web.views.events.shows import address_of

BUTTONS = {
    "confirm": "Confirm",
    "keep": "Keep it longer",
    "rank": "Rank it",
    "challenge": "Ask for an answer",
    "extend": "Another time",
    "swap": "Another kit",
    "follow": "Move along with the show",
    "loosen": "Make it a pencil",
    "cancel": "Release",
}
"""Verb → the words of its button; the other verbs are used from the list of what is short."""
MOST_LINES = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Button:
    address: str
    words: str
    grave: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OneBookingModel:
    title: str
    line: BookedLine
    when: str
    out: bool
    event: str
    event_name: str
    buttons: tuple[Button, ...]
    history: tuple[HistoryLine, ...]


class OneBookingPage(Page):
    permits = {"GET": "booking.read"}
    section = "/events/"

    def get(self, request: HttpRequest, booking_id: int) -> HttpResponse:
        found = read_line(booking_id)
        person = self.person()
        own = found["booked_by"] == person.pk
        may_change = person.may("booking.change") and (own or person.may("booking.change-others"))
        out = is_out(found) and found["ends_at"] > timezone.now()
        stage = Stage.EXPIRED if found["expired"] else Stage.OUT if out else Stage(found["state"])
        history = history_rows().filter(noun="booking", object_id=booking_id)[:MOST_LINES]
        line = booked_line(found, may_change=may_change)
        page = OneBookingModel(
            title=line.name,
            line=line,
            when=span(found["starts_at"], found["ends_at"]),
            out=out and found["state"] == BookingState.CONFIRMED,
            event=f"{address_of(found['event'])}#b{booking_id}",
            event_name=found["event_name"],
            buttons=tuple(
                Button(address=f"/bookings/{booking_id}/{verb}/", words=BUTTONS[verb], grave=verb == "cancel")
                for verb in legal_verbs(BOOKING_VERBS, stage)
                if verb in BUTTONS
                and ((may_change and not (verb == "challenge" and own)) or (verb == "challenge" and not own))
                and (verb != "follow" or not found["follows_event"])
                and (verb != "swap" or found["kit"] is not None)
                and (verb != "rank" or (person.may("booking.change-others") and line.ahead))
            ),
            history=history_lines(show_history(list(history))),
        )
        return self.show("web/pages/one_booking.html", page)
