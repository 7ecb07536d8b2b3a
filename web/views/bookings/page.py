"""``/bookings/{id}/…``: confirm a pencil, give a booking up, give it another time, deal it again."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from inventory.base.changes import Change, ledger_version
from scheduling.models import BookingState
from scheduling.selectors.lines import LineShape, line_of
from scheduling.services.alternatives import reallocate, use_alternative
from scheduling.services.bookings import cancel, confirm, extend
from scheduling.services.powers import Powers
from web.components.booked import BookedLine, booked_line
from web.components.history import HistoryLine
from web.components.in_the_way import InTheWay
from web.components.spans import span
from web.forms import PageForm, VersionedForm
from web.instants import InstantField
from web.page import Page
from web.views.bookings.ordering import explained
from web.views.bookings.trial import TrialModel, TrialPage
from web.views.events.shows import address_of, read_show


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingModel(TrialModel):
    """A form about one booking, with what stands in its way and whom it would hurt."""

    line: BookedLine
    when: str
    previews: bool = False
    may_accept: bool = False


class BookingFormPage(TrialPage[VersionedForm]):
    """Base of the forms about one booking."""

    permits = {"GET": "booking.change", "POST": "booking.change"}
    section = "/events/"
    template = "web/pages/booking.html"
    noun = "booking"
    form_class: type[VersionedForm]
    verb: str

    def object_id(self) -> int:
        return int(self.kwargs["booking_id"])

    def begin(self) -> None:
        self.found = self._read()
        self.show_of_it = read_show(self.found["event"])

    def _read(self) -> LineShape:
        return read_line(self.object_id())

    def make_form(self) -> VersionedForm:
        return self.form(self.form_class, {"version": self.found["version"], "ledger": ledger_version()})

    def version(self) -> Callable[[], int]:
        return lambda: self._read()["version"]

    def after(self) -> str:
        return f"{address_of(self.found['event'])}?said={self.verb}#b{self.object_id()}"

    def model(self, form: VersionedForm, *, title: str, lead: str, button: str, grave: bool = False) -> BookingModel:
        wants = "kit" if self.found["kit"] is not None else "unit" if self.found["unit"] is not None else "spec"
        return BookingModel(
            title=title,
            lead=lead,
            button=button,
            grave=grave,
            form=form,
            back=f"{address_of(self.found['event'])}#b{self.object_id()}",
            back_words=self.found["event_name"],
            line=booked_line(self.found, may_change=True),
            when=span(self.found["starts_at"], self.found["ends_at"]),
            way=explained(form.refusal, wants),
            may_accept=self.person().may("booking.accept-shortfalls"),
        )


class ConfirmForm(VersionedForm):
    accept = forms.BooleanField(required=False, widget=forms.HiddenInput)


class ConfirmPage(BookingFormPage):
    form_class = ConfirmForm
    verb = "confirmed"

    def describe(self, form: VersionedForm) -> BookingModel:
        return self.model(
            form,
            title=f"Confirm {booked_line(self.found, may_change=True).name}",
            lead="In ink its units are promised to nobody else for that time.",
            button="Confirm it",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        accept = form.cleaned_data["accept"]
        confirm(c, self.object_id(), accept_shortfalls=accept, powers=Powers.of(self.person()))


class CancelPage(BookingFormPage):
    form_class = VersionedForm
    verb = "cancelled"

    def describe(self, form: VersionedForm) -> BookingModel:
        has = len(self.found["promised"])
        return self.model(
            form,
            title=f"Release {booked_line(self.found, may_change=True).name}",
            lead=f"{has} {'unit is' if has == 1 else 'units are'} free again at once. It stays as history; to have it "
            "back, book anew.",
            button="Release it",
            grave=True,
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        cancel(c, self.object_id(), powers=Powers.of(self.person()))


class ExtendForm(VersionedForm):
    starts_at = InstantField(label="From")
    ends_at = InstantField(label="Until")
    accept = forms.BooleanField(required=False, label="Keep what can be had; what cannot be had is short")


IS_OUT = (
    "Its gear is out, and stays with it. Whoever is promised it in the added time is given another unit, or is told "
    "that it is short. "
)


def is_out(line: LineShape) -> bool:
    """Say whether the gear of a booking has gone out."""
    return line["state"] == BookingState.CONFIRMED and line["starts_at"] <= timezone.now()


class ExtendPage(BookingFormPage):
    form_class = ExtendForm
    verb = "extended"

    def make_form(self) -> VersionedForm:
        initial = {"version": self.found["version"], "ledger": ledger_version()}
        form = self.form(
            ExtendForm, {**initial, "starts_at": self.found["starts_at"], "ends_at": self.found["ends_at"]}
        )
        if not self.person().may("booking.accept-shortfalls"):
            del form.fields["accept"]
        return form

    def describe(self, form: VersionedForm) -> BookingModel:
        page = self.model(
            form,
            title=f"Another time for {booked_line(self.found, may_change=True).name}",
            lead=f"{IS_OUT if is_out(self.found) else ''}From then on it does not move with its event any more.",
            button="Give it that time",
        )
        return replace(page, previews=True)

    def work(self, c: Change, form: VersionedForm) -> None:
        given = form.cleaned_data
        extend(
            c,
            self.object_id(),
            starts_at=given["starts_at"],
            ends_at=given["ends_at"],
            accept_shortfalls=given.get("accept", False),
            powers=Powers.of(self.person()),
        )


class StandInForm(PageForm):
    unit = forms.IntegerField(min_value=1, max_value=2**63 - 1, required=False, widget=forms.HiddenInput)


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
                use_alternative(c, int(short), form.cleaned_data["unit"], powers=powers)
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


def read_line(booking_id: int) -> LineShape:
    """Return a booking by the names of what it wants.

    Raises:
        Http404: there is no such booking.
    """
    line = line_of(booking_id, timezone.now())
    if line is None:
        raise Http404(f"There is no booking {booking_id}.")
    return line
