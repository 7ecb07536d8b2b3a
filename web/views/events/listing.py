"""``/events/``: the shows that come, those that run, those that are over."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Page as Sheet
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from inventory.base.words import in_words
from scheduling.models import EventState
from scheduling.rows import not_cancelled
from scheduling.selectors.programme import ShowShape, show_rows
from web.components.spans import span
from web.page import Page
from web.sought import sought_words

ON_A_SHEET = 50
WHENS = {"": "to come", "over": "over", "all": "all"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowLine:
    id: int
    name: str
    where: str
    client: str
    when: str
    state: str
    booked: str
    short: int
    on_now: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    address: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class EventListModel:
    title: str
    shows: tuple[ShowLine, ...]
    total: int
    words: str
    when: str
    whens: tuple[When, ...]
    earlier: str
    later: str
    may_edit: bool


class EventListPage(Page):
    permits = {"GET": "event.read"}
    section = "/events/"

    def get(self, request: HttpRequest) -> HttpResponse:
        now = timezone.now()
        words, when = sought_words(request), request.GET.get("when", "")
        when = when if when in WHENS else ""
        rows = in_words(show_rows(now), words, ("name", "venue__name"))
        if when == "":
            rows = rows.filter(not_cancelled(), gear_back_at__gt=now)
        elif when == "over":
            rows = rows.filter(gear_back_at__lte=now)
        latest_first = when == "over"
        rows = rows.order_by("-gear_out_at", "-id") if latest_first else rows.order_by("gear_out_at", "id")
        sheet = Paginator(rows, ON_A_SHEET).get_page(request.GET.get("page"))
        clients = self.person().may("client.read")
        page = EventListModel(
            title="Events",
            shows=tuple(_line(shape, clients=clients, now=now) for shape in sheet),
            total=sheet.paginator.count,
            words=words,
            when=when,
            whens=tuple(
                When(address="?" + urlencode({"when": value, "q": words}), words=said, chosen=value == when)
                for value, said in WHENS.items()
            ),
            earlier=_address(words, when, sheet, -1),
            later=_address(words, when, sheet, +1),
            may_edit=self.person().may("event.edit"),
        )
        return self.show("web/pages/events.html", page)


def _line(shape: ShowShape, *, clients: bool, now: Any) -> ShowLine:
    booked = [f"{shape['confirmed']} confirmed"] if shape["confirmed"] else []
    booked += [f"{shape['pencilled']} in pencil"] if shape["pencilled"] else []
    return ShowLine(
        id=shape["id"],
        name=shape["name"],
        where=shape["venue_name"] or "place not known",
        client=shape["client"] if clients else "",
        when=span(shape["gear_out_at"], shape["gear_back_at"]),
        state=shape["state"],
        booked=", ".join(booked) or "nothing yet",
        short=shape["short"],
        on_now=shape["gear_out_at"] <= now < shape["gear_back_at"] and shape["state"] != EventState.CANCELLED,
    )


def _address(words: str, when: str, sheet: "Sheet[Any]", step: int) -> str:
    number = sheet.number + step
    if not 1 <= number <= sheet.paginator.num_pages:
        return ""
    return "?" + urlencode({"q": words, "when": when, "page": number})
