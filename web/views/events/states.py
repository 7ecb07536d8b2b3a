"""``/events/{id}/…/``: the verbs of an event: confirm, close, cancel, plan it again on another day."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django import forms
from django.utils import timezone

from inventory.base.changes import Change, ledger_version
from scheduling.services.copying import copy_event
from scheduling.services.events import change_event_state
from web.form_page import FormModel, FormPage
from web.forms import PageForm, VersionedForm
from web.views.events.shows import address_of, read_show


class EventStatePage(FormPage[VersionedForm]):
    """Base of the verbs that bring an event into a state; each says first what it will change."""

    permits = {"GET": "event.edit", "POST": "event.edit"}
    section = "/events/"
    noun = "event"
    state: str
    button: str
    lead: str
    grave = False
    past: str = ""
    """The field, and its words, that say what has become of gear that is out; empty where nothing is given up."""
    past_words: str = ""

    def object_id(self) -> int:
        return int(self.kwargs["event_id"])

    def begin(self) -> None:
        self.found = read_show(self.object_id())

    def make_form(self) -> VersionedForm:
        form = self.form(VersionedForm, {"version": self.found["version"], "ledger": ledger_version()})
        if self.past and self.found["gear_out_at"] <= timezone.now():
            form.add_field(self.past, forms.BooleanField(required=False, label=self.past_words))
        return form

    def describe(self, form: VersionedForm) -> FormModel:
        booked = self.found["confirmed"] + self.found["pencilled"]
        return FormModel(
            title=f"{self.button}: {self.found['name']}",
            lead=self.lead.format(booked=f"{booked} {'booking' if booked == 1 else 'bookings'}"),
            button=self.button,
            grave=self.grave,
            form=form,
            back=address_of(self.object_id()),
            back_words=self.found["name"],
        )

    def work(self, c: Change, form: VersionedForm) -> None:
        said = {self.past: True} if self.past and form.cleaned_data.get(self.past) else {}
        change_event_state(c, self.object_id(), state=self.state, **said)

    def version(self) -> Callable[[], int]:
        return lambda: read_show(self.object_id())["version"]

    def after(self) -> str:
        return f"{address_of(self.object_id())}?said={self.state}"


class ConfirmEventPage(EventStatePage):
    state = "confirmed"
    button = "Confirm the event"
    lead = "The show is on. Its pencils stay pencils until each is confirmed."


class CloseEventPage(EventStatePage):
    state = "closed"
    button = "Close the event"
    lead = "It is over, and everything is back. What has not begun is released, and its times stay."
    past = "ends_now"
    past_words = "Its gear is back now, before its time"


class CancelEventPage(EventStatePage):
    state = "cancelled"
    button = "Cancel the event"
    lead = "{booked} end with it, and their units are free again at once. A cancelled event stays cancelled."
    grave = True
    past = "never_left"
    past_words = "Its gear never left the store"


class CopyForm(PageForm):
    day = forms.DateField(
        label="On which day its gear leaves",
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text="At the same hour.",
    )
    name = forms.CharField(max_length=200, required=False, label="Name", help_text="Empty: the same.")
    either_or = forms.BooleanField(
        required=False,
        label="Only one of these dates will be taken",
        help_text="Confirming one cancels the others. Until then their gear is only pencilled.",
    )


class CopyEventPage(FormPage[CopyForm]):
    """Plan an event again on another day."""

    permits = {"GET": "event.edit", "POST": "event.edit"}
    section = "/events/"

    def begin(self) -> None:
        self.found = read_show(int(self.kwargs["event_id"]))

    def make_form(self) -> CopyForm:
        return self.form(CopyForm)

    def describe(self, form: CopyForm) -> FormModel:
        return FormModel(
            title=f"{self.found['name']} on another day",
            lead="Its phases keep their hours by the clock of the venue. What is booked is pencilled for the new day.",
            button="Plan it",
            form=form,
            back=address_of(self.found["id"]),
            back_words=self.found["name"],
        )

    def work(self, c: Change, form: CopyForm) -> None:
        given = form.cleaned_data
        zone = ZoneInfo(self.found["venue_zone"] or self.found["zone"])
        shift = given["day"] - self.found["gear_out_at"].astimezone(zone).date()
        self.copied = copy_event(
            c, self.found["id"], shift_days=shift.days, name=given["name"] or None, either_or=given["either_or"]
        )

    def after(self) -> str:
        return f"{address_of(self.copied)}?said=copied"
