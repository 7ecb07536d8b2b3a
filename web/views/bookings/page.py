"""``/bookings/{id}/…``: confirm a pencil, give a booking up, give it another time, deal it again."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from inventory.base.changes import Change, ledger_version
from scheduling.models import BookingState
from scheduling.selectors.lines import LineShape, line_of
from scheduling.services.bookings import cancel, confirm, extend
from scheduling.services.bumping import Bump, bump_of
from scheduling.services.powers import Powers
from web.components.booked import BookedLine, booked_line
from web.components.spans import span
from web.forms import VersionedForm
from web.instants import InstantField
from web.views.bookings.ordering import explained
from web.views.bookings.trial import TrialModel, TrialPage, losers
from web.views.events.shows import address_of, read_show


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingModel(TrialModel):
    """A form about one booking, with what stands in its way and whom it would hurt."""

    line: BookedLine
    when: str
    previews: bool = False
    may_accept: bool = False
    sure: bool = False
    """Whom it hurts was shown: sent again, it is done."""


class PushForm(VersionedForm):
    """A form that can take what is in the way from those who have it; a refusal offers that."""

    rivals = forms.RegexField(r"^\d{1,18}(,\d{1,18})*$", required=False, max_length=1000, widget=forms.HiddenInput)
    reason = forms.CharField(max_length=300, required=False, widget=forms.HiddenInput)
    push = forms.BooleanField(required=False, widget=forms.HiddenInput)

    def pushed(self) -> tuple[list[int], str]:
        """Return the bookings that may lose gear, and why; nothing unless the button for it was used."""
        given = self.cleaned_data
        if not given["push"]:
            return [], ""
        return [int(rival) for rival in given["rivals"].split(",") if rival], given["reason"]


def _bump(form: VersionedForm) -> Bump | None:
    assert isinstance(form, PushForm)  # only pages with such a form ask
    return bump_of(*form.pushed())


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


class ConfirmForm(PushForm):
    accept = forms.BooleanField(required=False, widget=forms.HiddenInput)
    sure = forms.BooleanField(required=False, widget=forms.HiddenInput)
    """The person has read whom it hurts."""


class ConfirmPage(BookingFormPage):
    form_class = ConfirmForm
    verb = "confirmed"

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        """Confirm; where somebody would lose something, say so first and ask again."""
        if request.POST.get("verb") != "try" and "sure" not in request.POST:
            self.begin()
            form = self.make_form()
            tried = self._try(form)
            if tried is not None and tried.result:
                page = replace(self.describe(form), losers=losers(tried.result), button="Confirm all the same")
                return self.show(self.template, replace(page, sure=True))
        return super().post(request, **kwargs)

    def describe(self, form: VersionedForm) -> BookingModel:
        return self.model(
            form,
            title=f"Confirm {booked_line(self.found, may_change=True).name}",
            lead="Confirmed, its units are promised to nobody else for that time.",
            button="Confirm it",
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        accept, bump = form.cleaned_data["accept"], _bump(form)
        confirm(c, self.object_id(), accept_shortfalls=accept, bump=bump, powers=Powers.of(self.person()))


class CancelForm(VersionedForm):
    never_left = forms.BooleanField(required=False, label="It never left the store")


class CancelPage(BookingFormPage):
    form_class = CancelForm
    verb = "cancelled"

    def make_form(self) -> VersionedForm:
        form = super().make_form()
        if not is_out(self.found):
            del form.fields["never_left"]
        return form

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
        never_left = form.cleaned_data.get("never_left", False)
        cancel(c, self.object_id(), never_left=never_left, powers=Powers.of(self.person()))


class ExtendForm(PushForm):
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
            bump=_bump(form),
            powers=Powers.of(self.person()),
        )


def read_line(booking_id: int) -> LineShape:
    """Return a booking by the names of what it wants.

    Raises:
        Http404: there is no such booking.
    """
    line = line_of(booking_id, timezone.now())
    if line is None:
        raise Http404(f"There is no booking {booking_id}.")
    return line
