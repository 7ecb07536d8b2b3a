"""``/free/``: what can be had across these shows? Shows across, kits and specs down; a cell opens and books."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse, QueryDict
from django.utils import timezone

from calc.vocabulary import SPEC_KINDS
from inventory.base.changes import Change
from scheduling.promises.decide import Period
from scheduling.selectors.availability import AvailableKitShape, AvailableSpecShape, Question, available
from scheduling.selectors.availability.reasons import units_of_kit_in, units_of_spec_in
from scheduling.selectors.availability.rows import kits_sought, specs_sought
from scheduling.selectors.in_the_way import who_has, why_down
from scheduling.selectors.programme import ShowShape, shows_to_choose
from scheduling.services.ordering import book
from scheduling.services.powers import Powers
from web.components.in_the_way import InTheWay
from web.components.shelf import IS_FREE, PLANNED, Cell, Group, Holders, groups, kit_cell, legend, spec_cell
from web.components.spans import moment, span
from web.page import Page
from web.views.bookings.ordering import OrderForm, explained
from web.views.events.shows import OVER
from web.views.free.asked import Asked, Opened, read

CHOICES = 40
"""Shows to choose from: the next ones."""
AT_FIRST = 4
"""Shows that are asked about when nobody chose any."""


class CellForm(OrderForm):
    """Books from a cell; it carries the question that it stands in."""

    asked = forms.CharField(max_length=8000, required=False, widget=forms.HiddenInput)
    event = forms.IntegerField(min_value=1, max_value=2**63 - 1, widget=forms.HiddenInput, error_messages={
        "required": "Choose a show: what is booked is booked for one."
    })  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    index: int
    event: int | None
    name: str
    when: str
    period: Period
    open_to_booking: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCell:
    """What stands below a row: the reasons, and the form."""

    title: str
    column: Column
    groups: tuple[Group, ...]
    redealt: int
    counted: bool
    form: CellForm | None
    for_shows: tuple[tuple[int, str], ...]
    """Shows to book for, where the window is no show's own."""
    way: InTheWay | None
    may_accept: bool
    close: str
    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    key: str
    name: str
    address: str
    under: str
    cells: tuple[Cell, ...]
    opened: OpenCell | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    value: str
    words: str
    chosen: bool
    when: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FreeModel:
    title: str
    at: str
    sentence: str
    """How many kits are free for the first show; empty where that is not asked, or not all are read."""
    shows: tuple[Choice, ...]
    kinds: tuple[Choice, ...]
    windows: tuple[tuple[str, str], ...]
    """Other windows: as the address has them, and in words."""
    words: str
    chosen: str
    """How many columns there are, and of what."""
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    half: str
    """Which half stands here."""
    other_half: str
    """Address of the other half; empty where only one is asked for."""
    this_half: str
    further: str
    refusals: tuple[str, ...]
    legend: tuple[tuple[str, str], ...]


class FreePage(Page):
    permits = {"GET": "availability.read", "POST": "booking.book"}
    section = "/free/"

    def get(self, request: HttpRequest) -> HttpResponse:
        form = self.form(CellForm)
        if not form.was_kept:
            return self._answer(request.GET, None, request.GET.get("booked", ""))
        return self._answer(QueryDict(str(form.initial.get("asked", ""))), form, "")

    def post(self, request: HttpRequest) -> HttpResponse:
        form = self.form(CellForm)
        query = QueryDict(request.POST.get("asked", ""))
        opened = read(query).opened

        def work(c: Change) -> None:
            event = form.cleaned_data["event"]
            wanted = "" if opened is None else f"{'kit' if opened.is_kit else 'spec'}-{opened.id}"
            fields = form.order(wanted)
            if times := read(_of_window(request.POST.get("window", ""))).windows:
                fields |= {"starts_at": times[0].starts_at, "ends_at": times[0].ends_at}
            book(c, event_id=event, fields=fields, powers=Powers.of(self.person()))

        if self.carry_out(form, work):
            return self.go_to(f"{read(query).address()}&booked={form.cleaned_data['event']}#open")
        return self.refused(form, self._answer(query, form, ""))

    def _answer(self, query: QueryDict, form: CellForm | None, booked: str) -> HttpResponse:
        now = timezone.now()
        chosen = [int(text) for text in query.getlist("event") if text.isdecimal() and len(text) < 19]
        shows = shows_to_choose(now, chosen, most=CHOICES)
        asked = read(query)
        if not asked.events and not asked.windows:
            asked = replace(asked, events=tuple(show["id"] for show in shows if show["gear_out_at"] > now)[:AT_FIRST])
        table = _Table(self, asked, shows, now)
        if self.wants_part() and asked.opened is not None:
            return self.show_part("web/parts/free_row.html", table.row_alone(form, booked))
        page = table.page(form, booked)
        if self.wants_part():
            return self.show_part("web/parts/free_rows.html", page)
        return self.show("web/pages/free.html", page)


def _of_window(text: str) -> QueryDict:
    query = QueryDict(mutable=True)
    if text:
        query["window"] = text
    return query


class _Table:
    """One answer to one question."""

    def __init__(self, page: Page, asked: Asked, shows: Sequence[ShowShape], now: Any) -> None:
        self.view, self.asked, self.shows, self.now = page, asked, shows, now
        by_id = {show["id"]: show for show in shows}
        self.columns = _columns([by_id[event] for event in asked.events if event in by_id], asked.windows)
        self.missing = [event for event in asked.events if event not in by_id]

    def page(self, form: CellForm | None, booked: str) -> FreeModel:
        asked = self.asked
        rows, more = self._rows(None)
        opened = asked.opened
        if opened is not None and opened.column < len(self.columns):
            key = _key(opened)
            rows = tuple(
                replace(row, opened=self._opened(row, opened, form, booked)) if row.key == key else row for row in rows
            )
        other = (
            "" if asked.kind else asked.address(show="specs" if asked.show == "kits" else "kits", opened=None, page=1)
        )
        chosen = {column.event for column in self.columns}
        return FreeModel(
            title="What’s free",
            at=moment(self.now),
            sentence=_sentence(self.columns, rows) if asked.show == "kits" and not more else "",
            shows=tuple(
                Choice(
                    value=str(show["id"]),
                    words=show["name"],
                    chosen=show["id"] in chosen,
                    when=span(show["gear_out_at"], show["gear_back_at"]),
                )
                for show in self.shows
            ),
            kinds=tuple(Choice(value=kind, words=kind, chosen=kind == asked.kind) for kind in SPEC_KINDS),
            windows=tuple((_in_address(window), span(window.starts_at, window.ends_at)) for window in asked.windows),
            words=asked.words,
            chosen=_counted(self.columns),
            columns=self.columns,
            rows=rows,
            half=asked.show,
            other_half=other,
            this_half=asked.address(opened=None, page=1),
            further=asked.address(page=asked.page + 1, opened=None) if more else "",
            refusals=(*asked.refusals, *(f"There is no event {event}." for event in self.missing)),
            legend=tuple(legend().items()),
        )

    def row_alone(self, form: CellForm | None, booked: str) -> Row:
        """Return the row of the open cell, for a script to put in place of the one that stands."""
        opened = self.asked.opened
        assert opened is not None  # only asked for an open cell
        rows, _ = self._rows(opened)
        if not rows or opened.column >= len(self.columns):
            return Row(key=_key(opened), name="It is gone", address="/free/", under="", cells=())
        return replace(rows[0], opened=self._opened(rows[0], opened, form, booked))

    def _rows(self, only: Opened | None) -> tuple[tuple[Row, ...], bool]:
        asked = self.asked
        kits = asked.show == "kits" if only is None else only.is_kit
        if not self.columns:
            return (), False
        answer, more = available(
            Question(
                windows=[column.period for column in self.columns],
                specs=None
                if kits
                else specs_sought("" if only else asked.words, _kinds(asked), None if only is None else only.id),
                kits=kits_sought("" if only else asked.words, None if only is None else only.id) if kits else None,
                page=asked.page if only is None else 1,
                now=self.now,
            )
        )
        if not kits:
            return tuple(self._spec_row(shape) for shape in answer["specs"]), more
        return self._kit_rows(answer["kits"]), more

    def _kit_rows(self, shapes: Sequence[AvailableKitShape]) -> tuple[Row, ...]:
        """Return the rows of kits: those that the first show has, then those that are free for it, then the others."""
        because = [reason for shape in shapes for window in shape["windows"] for reason in window["because"]]
        booked = {reason["booking"] for reason in because if "booking" in reason}
        pencils, others = who_has([shape["kit"] for shape in shapes], booked, self.now)
        named = Holders(
            event=None,
            pencils=pencils,
            rivals=others,
            downs=why_down({reason["downtime"] for reason in because if "downtime" in reason}),
        )
        rows = [self._kit_row(shape, named) for shape in shapes]
        return tuple(sorted(rows, key=lambda row: row.cells[0].rank))

    def _spec_row(self, shape: AvailableSpecShape) -> Row:
        owned = max((window["owned"] for window in shape["windows"]), default=0)
        return Row(
            key=f"s{shape['spec']}",
            name=shape["name"],
            address=f"/specs/{shape['spec']}/",
            under=f"{owned} owned",
            cells=tuple(
                spec_cell(window, **self._place(Opened(is_kit=False, id=shape["spec"], column=index)))
                for index, window in enumerate(shape["windows"])
            ),
        )

    def _kit_row(self, shape: AvailableKitShape, named: Holders) -> Row:
        cells = []
        for index, window in enumerate(shape["windows"]):
            column = self.columns[index]
            pencils = [
                pencil
                for pencil in named.pencils
                if pencil["kit"] == shape["kit"]
                and Period(pencil["starts_at"], pencil["ends_at"]).overlaps(column.period)
            ]
            place = self._place(Opened(is_kit=True, id=shape["kit"], column=index))
            holders = replace(named, event=column.event, pencils=pencils)
            cells.append(kit_cell(window, draft=shape["draft"], holders=holders, **place))
        return Row(
            key=f"k{shape['kit']}",
            name=shape["name"],
            address=f"/kits/{shape['kit']}/",
            under="a planned change" if shape["draft"] else "kit",
            cells=tuple(cells),
        )

    def _place(self, cell: Opened) -> Any:
        return {
            "address": self.asked.address(opened=cell, show="kits" if cell.is_kit else "specs"),
            "opened": cell == self.asked.opened,
        }

    def _opened(self, row: Row, opened: Opened, form: CellForm | None, booked: str) -> OpenCell:
        column = self.columns[opened.column]
        read_units = units_of_kit_in if opened.is_kit else units_of_spec_in
        cell = row.cells[opened.column]
        person = self.view.person()
        books = person.may("booking.book") and column.open_to_booking and cell.word != PLANNED
        redealt = sum(mark.symbol == "u-redeal" for mark in cell.marks)
        return OpenCell(
            title=f"{row.name}, {column.name}: {cell.word or f'{cell.number} bookable'}",
            column=column,
            groups=groups(read_units(opened.id, column.period, self.now), named=opened.is_kit),
            redealt=redealt,
            counted=not opened.is_kit,
            form=(form or self._form(column)) if books else None,
            for_shows=()
            if column.event is not None
            else tuple((show["id"], show["name"]) for show in self.shows if show["state"] not in OVER),
            way=None if form is None else _way(form, opened),
            may_accept=person.may("booking.accept-shortfalls"),
            close=self.asked.address(opened=None),
            said=next((show["name"] for show in self.shows if str(show["id"]) == booked), ""),
        )

    def _form(self, column: Column) -> CellForm:
        return CellForm(initial={"asked": self.asked.address().partition("?")[2], "event": column.event, "quantity": 1})


def _sentence(columns: Sequence[Column], rows: Sequence[Row]) -> str:
    if not columns or not rows or columns[0].event is None:
        return ""
    free = sum(row.cells[0].rank == IS_FREE for row in rows)
    return f"For {columns[0].name}: {free} {'kit is' if free == 1 else 'kits are'} free."


def _columns(shows: Sequence[ShowShape], windows: Sequence[Period]) -> tuple[Column, ...]:
    columns = [
        Column(
            index=index,
            event=show["id"],
            name=show["name"],
            when=span(show["gear_out_at"], show["gear_back_at"]),
            period=Period(show["gear_out_at"], show["gear_back_at"]),
            open_to_booking=show["state"] not in OVER,
        )
        for index, show in enumerate(shows)
    ]
    for window in windows:
        when = span(window.starts_at, window.ends_at)
        columns.append(
            Column(index=len(columns), event=None, name="These hours", when=when, period=window, open_to_booking=True)
        )
    return tuple(columns)


def _way(form: CellForm, opened: Opened) -> InTheWay | None:
    if opened.is_kit:
        return explained(form.refusal, "kit")
    return explained(form.refusal, "spec", form.asked_for() if form.is_bound else None)


def _key(opened: Opened) -> str:
    return f"{'k' if opened.is_kit else 's'}{opened.id}"


def _kinds(asked: Asked) -> tuple[str, ...]:
    return (asked.kind,) if asked.kind else ()


def _counted(columns: Sequence[Column]) -> str:
    """Return what is asked about: ``4 shows and other hours``."""
    shows = sum(column.event is not None for column in columns)
    said = [f"{shows} show{'' if shows == 1 else 's'}"] if shows or not columns else []
    return " and ".join(said + (["other hours"] if shows < len(columns) else []))


def _in_address(window: Period) -> str:
    return f"{window.starts_at.isoformat()}/{window.ends_at.isoformat()}"
