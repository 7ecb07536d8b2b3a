"""``/events/{id}/bookings/``: book a kit, a unit or a number of a spec; or be told everything that is in the way."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse

from inventory.base.bounds import LARGEST_COUNT
from inventory.base.changes import Change
from inventory.base.errors import DomainError, InvalidError
from inventory.base.models import User
from inventory.selectors.contents import unit_with_tag
from scheduling.errors import ClaimConflictError, ClaimUndecidedError, NotEnoughError
from scheduling.selectors.in_the_way import rivals, why_down
from scheduling.selectors.lines import ThingShape, things
from scheduling.selectors.programme import ShowShape
from scheduling.services.ordering import BookingFields, book
from scheduling.services.powers import Powers
from web.components.in_the_way import InTheWay, ids_in, in_the_way
from web.components.spans import span
from web.forms import PageForm
from web.page import Page
from web.views.events.shows import address_of, read_show

NAMED = re.compile(r"(kit|unit|spec)-([1-9]\d{0,17})")
COUNT = re.compile(r"count-(\d{1,18})")
STATES = (("pencil", "Pencil"), ("confirmed", "Confirm"))
CANNOT_BE_HAD = (ClaimConflictError, NotEnoughError, ClaimUndecidedError)


class OrderForm(PageForm):
    """How many, in pencil or in ink, and what a button of a refusal changes about it."""

    quantity = forms.IntegerField(
        min_value=1, max_value=LARGEST_COUNT, required=False, initial=1, label="How many", help_text="Of a type."
    )
    state = forms.ChoiceField(choices=STATES, initial="pencil", required=False, label="State", widget=forms.RadioSelect)
    from_kits = forms.BooleanField(required=False, label="Units that are packed in kits may go too")
    instead = forms.CharField(required=False, max_length=30, widget=forms.HiddenInput)
    """``kit-3``, ``unit-17`` or ``count-2``: taken in place of what was asked."""
    accept = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def field_of(self, path: str) -> str | None:
        return "what" if path in {"kit", "unit", "spec"} and "what" in self.fields else super().field_of(path)

    def asked_for(self) -> int:
        """Return how many of a spec are asked for; a button of a refusal may say another number."""
        named = COUNT.fullmatch(self.cleaned_data.get("instead", ""))
        if named is not None:
            return min(max(int(named[1]), 1), LARGEST_COUNT)
        return self.cleaned_data.get("quantity") or 1

    def order(self, wanted: str) -> BookingFields:
        """Return what the service takes.

        Args:
            wanted: ``kit-3``, ``unit-17`` or ``spec-9``; a button of a refusal may say another.

        Raises:
            InvalidError: nothing is named.
        """
        given = self.cleaned_data
        instead = given["instead"]
        if instead and not COUNT.fullmatch(instead):
            wanted = instead
        named = NAMED.fullmatch(wanted)
        if named is None:
            raise InvalidError.of_field("what", "Name what to book: choose it, or type the tag of a unit.")
        fields: Any = {named[1]: int(named[2]), "state": given["state"] or "pencil"}
        if named[1] == "spec":
            fields |= {"quantity": self.asked_for(), "from_kits": given["from_kits"]}
        if given["accept"]:
            fields["accept_shortfalls"] = True
        booking: BookingFields = fields
        return booking


class BookForm(OrderForm):
    """An order together with what is ordered."""

    what = forms.ChoiceField(required=False, label="Kit or type")
    tag = forms.CharField(max_length=40, required=False, label="Or one unit, by its tag")
    field_order = ("what", "tag", "quantity", "state", "from_kits")

    def __init__(self, *args: Any, things: Sequence[ThingShape], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        grouped = [
            ("Kits" if kind == "kit" else kind, [(_value(each), each["name"]) for each in alike])
            for kind, alike in groupby(things, key=lambda each: each["kind"])
        ]
        self.fields["what"].choices = [("", "choose"), *grouped]  # type: ignore[attr-defined]  # of a ChoiceField

    def wanted(self) -> str:
        """Return what is named; a tag goes before the list.

        Raises:
            InvalidError: no unit has the tag.
        """
        tag: str = self.cleaned_data["tag"].strip()
        if not tag:
            return str(self.cleaned_data["what"])
        unit = unit_with_tag(tag)
        if unit is None:
            raise InvalidError.of_field("tag", f"No unit has the tag {tag}.")
        return f"unit-{unit}"


def _value(thing: ThingShape) -> str:
    return f"{'kit' if thing['kind'] == 'kit' else 'spec'}-{thing['id']}"


@dataclass(frozen=True, slots=True, kw_only=True)
class BookPart:
    """The form, and why what it asked for cannot be had."""

    title: str
    address: str
    back: str
    name: str
    when: str
    form: BookForm
    way: InTheWay | None = None
    may_accept: bool = False


def book_part(show: ShowShape, form: BookForm, way: InTheWay | None = None, *, may_accept: bool = False) -> BookPart:
    return BookPart(
        title=f"Book for {show['name']}",
        address=f"/events/{show['id']}/bookings/",
        back=address_of(show["id"]),
        name=show["name"],
        when=span(show["gear_out_at"], show["gear_back_at"]),
        form=form,
        way=way,
        may_accept=may_accept,
    )


class BookPage(Page):
    permits = {"GET": "booking.book", "POST": "booking.book"}
    section = "/events/"

    def get(self, request: HttpRequest, event_id: int) -> HttpResponse:
        return self._show(book_part(read_show(event_id), self.form(BookForm, things=things())))

    def post(self, request: HttpRequest, event_id: int) -> HttpResponse:
        show = read_show(event_id)
        form = self.form(BookForm, things=things())
        if done := self.carry_out(form, lambda c: book_as_typed(c, self.person(), form, event_id)):
            return self._leave(f"{address_of(event_id)}?said=booked#b{done.result}")
        wants = wants_of(form)
        part = book_part(
            show,
            form,
            explained(form.refusal, wants, form.asked_for() if wants == "spec" else None),
            may_accept=self.person().may("booking.accept-shortfalls"),
        )
        return self.refused(form, self._show(part))

    def _leave(self, address: str) -> HttpResponse:
        """Read the whole page of the event anew, also where a script sent the form."""
        if self.wants_part():
            return HttpResponse(status=204, headers={"HX-Redirect": address})
        return self.go_to(address)

    def _show(self, page: BookPart) -> HttpResponse:
        if self.wants_part():
            return self.show_part("web/parts/book.html", page)
        return self.show("web/pages/book.html", page)


def book_as_typed(c: Change, person: User, form: BookForm, event_id: int) -> int:
    """Book what the form asks for; return the id of the booking."""
    return book(c, event_id=event_id, fields=form.order(form.wanted()), powers=Powers.of(person))


def wants_of(form: BookForm) -> str:
    """Return whether a kit, a unit or a spec was asked for."""
    if not form.is_valid() and not form.cleaned_data.get("what"):
        return "unit"
    return "unit" if form.cleaned_data.get("tag") else str(form.cleaned_data.get("what", "")).partition("-")[0]


def explained(error: DomainError | None, wants: str, quantity: int | None = None) -> InTheWay | None:
    """Return what is in the way by names, where a refusal says that something cannot be had; two statements.

    ``quantity`` is how many of a spec were asked for.
    """
    if not isinstance(error, CANNOT_BE_HAD):
        return None
    bookings, downs = ids_in(error)
    return in_the_way(error, rivals(bookings), why_down(downs), wants=wants, quantity=quantity)
