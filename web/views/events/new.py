"""``/events/new/``: a show to begin with: what it is called, where, and from when to when its gear is away."""

from typing import Any

from django import forms

from inventory.base.changes import Change
from scheduling.selectors.venues import venue_rows
from scheduling.services.events import EventFields, create_event
from web.form_page import FormModel, FormPage
from web.forms import PageForm
from web.instants import InstantField

STATES = {"confirmed": "it takes place", "enquiry": "somebody asked for it"}


class NewEventForm(PageForm):
    name = forms.CharField(max_length=200, label="Name")
    client = forms.CharField(max_length=200, required=False, label="For whom")
    venue = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Venue")
    state = forms.ChoiceField(choices=list(STATES.items()), label="How sure it is")
    gear_out_at = InstantField(label="Gear leaves")
    gear_back_at = InstantField(label="Gear is back")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = [(row["id"], row["name"]) for row in venue_rows().order_by("name", "id")]
        self.fields["venue"].choices = [("", "not known yet"), *known]  # type: ignore[attr-defined]

    def event(self) -> EventFields:
        """Return what the service takes."""
        given = self.cleaned_data
        return {
            "name": given["name"],
            "client": given["client"],
            "venue": given["venue"],
            "state": given["state"],
            "gear_out_at": given["gear_out_at"],
            "gear_back_at": given["gear_back_at"],
        }


class NewEventPage(FormPage[NewEventForm]):
    permits = {"GET": "event.edit", "POST": "event.edit"}
    section = "/events/"

    def make_form(self) -> NewEventForm:
        return self.form(NewEventForm)

    def describe(self, form: NewEventForm) -> FormModel:
        return FormModel(
            title="New event",
            lead="What is booked for it is away from when gear leaves until it is back, by the store's clock.",
            button="Plan it",
            form=form,
            back="/events/",
            back_words="Events",
        )

    def work(self, c: Change, form: NewEventForm) -> None:
        self.made = create_event(c, fields=form.event())

    def after(self) -> str:
        return f"/events/{self.made}/"
