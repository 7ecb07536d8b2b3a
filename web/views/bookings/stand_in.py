"""``/bookings/{id}/stand-in/``: one button of the list of what is lacking."""

from dataclasses import dataclass

from django import forms
from django.http import HttpRequest, HttpResponse

from inventory.base.changes import Change
from scheduling.selectors.lines import LineShape
from scheduling.services.alternatives import reallocate, use_alternative
from scheduling.services.powers import Powers
from web.components.history import HistoryLine
from web.components.in_the_way import InTheWay
from web.forms import PageForm
from web.page import Page
from web.views.bookings.ordering import explained
from web.views.bookings.page import read_line
from web.views.events.shows import address_of, read_show


class StandInForm(PageForm):
    unit = forms.IntegerField(min_value=1, max_value=2**63 - 1, required=False, widget=forms.HiddenInput)
    for_good = forms.BooleanField(required=False, widget=forms.HiddenInput)


@dataclass(frozen=True, slots=True, kw_only=True)
class StandInModel:
    title: str
    back: str
    back_words: str
    form: PageForm
    way: InTheWay | None
    since: tuple[HistoryLine, ...] = ()


class StandInPage(Page):
    """``/bookings/{id}/stand-in/``: one button of the list of what is lacking. Without a unit it is dealt again."""

    permits = {"GET": "booking.change-others", "POST": "booking.change-others"}
    section = "/events/"

    def get(self, request: HttpRequest, booking_id: int) -> HttpResponse:
        return self.go_to(f"{address_of(self._line(booking_id)['event'])}short/")

    def post(self, request: HttpRequest, booking_id: int) -> HttpResponse:
        line = self._line(booking_id)
        form = self.form(StandInForm)
        short = request.POST.get("short", "")

        def work(c: Change) -> None:
            powers = Powers.of(self.person())
            if form.cleaned_data["unit"] is not None and short.isdecimal() and len(short) < 19:
                given = form.cleaned_data
                use_alternative(c, int(short), given["unit"], for_good=given["for_good"], powers=powers)
            else:
                reallocate(c, booking_id, powers=powers)

        if self.carry_out(form, work):
            return self.go_to(f"{address_of(line['event'])}?said=stood-in#short")
        read_show(line["event"])
        page = StandInModel(
            title="It cannot stand in",
            back=f"{address_of(line['event'])}short/",
            back_words=f"What {line['event_name']} lacks",
            form=form,
            way=explained(form.refusal, "unit"),
        )
        return self.refused(form, self.show("web/pages/no_stand_in.html", page))

    def _line(self, booking_id: int) -> LineShape:
        return read_line(booking_id)
