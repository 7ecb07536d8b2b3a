"""``/events/{id}/edit/``: name, venue, phases, times of the gear; and the verbs that bring an event into a state."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast

from django import forms

from inventory.base.changes import Change, ledger_version
from scheduling.selectors.events import PhaseShape, phases_of
from scheduling.selectors.programme import ShowShape
from scheduling.selectors.venues import venue_choices
from scheduling.services.events import EventFields, PhaseDraft, edit_event
from web.components.phases import NAMES
from web.forms import EditForm
from web.instants import InstantField
from web.views.bookings.ordering import explained
from web.views.bookings.trial import TrialModel, TrialPage
from web.views.events.shows import address_of, read_show

SPARE_ROWS = 2
MOST_ROWS = 100


class EventForm(EditForm):
    name = forms.CharField(max_length=200, label="Name")
    client = forms.CharField(max_length=200, required=False, label="Client")
    venue = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Venue")
    gear_out_at = InstantField(
        required=False, label="Gear leaves", help_text="Left as it is, it moves with the phases."
    )
    gear_back_at = InstantField(required=False, label="Gear is back")
    accept = forms.BooleanField(
        required=False, label="Move it all the same", help_text="What cannot be had then stays as shortfalls."
    )

    def __init__(self, *args: Any, rows: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.rows = rows
        self.sources = {"phases": tuple(f"{part}_{row}" for row in range(rows) for part in ("kind", "from", "until"))}
        venues = [(str(venue["id"]), venue["name"]) for venue in venue_choices()]
        self.fields["venue"].choices = [("", "not known yet"), *venues]  # type: ignore[attr-defined]  # it has some
        for row in range(rows):
            kinds = [("", "none"), *NAMES.items()]
            self.add_field(f"kind_{row}", forms.ChoiceField(choices=kinds, required=False, label=f"Phase {row + 1}"))
            self.add_field(f"from_{row}", InstantField(required=False, label=f"Phase {row + 1}, from"))
            self.add_field(f"until_{row}", InstantField(required=False, label=f"Phase {row + 1}, until"))

    def phase_rows(self) -> list[tuple[forms.BoundField, forms.BoundField, forms.BoundField]]:
        return [(self[f"kind_{row}"], self[f"from_{row}"], self[f"until_{row}"]) for row in range(self.rows)]

    def field_of(self, path: str) -> str | None:
        if path.startswith("phases.") and path.endswith(".ends_at"):
            used = [row for row in range(self.rows) if self.cleaned_data.get(f"kind_{row}")]
            return f"until_{used[int(path.split('.')[1])]}"
        return super().field_of(path)

    def clean(self) -> dict[str, Any]:
        for row in range(self.rows):
            filled = [bool(self.cleaned_data.get(f"{part}_{row}")) for part in ("kind", "from", "until")]
            if (
                any(filled)
                and not all(filled)
                and not any(f"{part}_{row}" in self.errors for part in ("from", "until"))
            ):
                self.add_error(f"kind_{row}", "A phase has a kind, a beginning and an end. Empty all three to drop it.")
        return self.cleaned_data

    def event(self, show: ShowShape, *, clients: bool) -> EventFields:
        """Return what the service takes. Gear times that nobody touched are left to move with the phases."""
        given = self.cleaned_data
        fields: EventFields = {
            "name": given["name"],
            "venue": given["venue"],
            "phases": [
                PhaseDraft(given[f"kind_{row}"], given[f"from_{row}"], given[f"until_{row}"])
                for row in range(self.rows)
                if given[f"kind_{row}"]
            ],
        }
        if clients:
            fields["client"] = given["client"]
        if _is_another(given["gear_out_at"], show["gear_out_at"]):
            fields["gear_out_at"] = given["gear_out_at"]
        if _is_another(given["gear_back_at"], show["gear_back_at"]):
            fields["gear_back_at"] = given["gear_back_at"]
        return fields


@dataclass(frozen=True, slots=True, kw_only=True)
class EventFormModel(TrialModel):
    zone: str


class EventEditPage(TrialPage[EventForm]):
    permits = {"GET": "event.edit", "POST": "event.edit"}
    section = "/events/"
    template = "web/pages/event_edit.html"
    noun = "event"

    def object_id(self) -> int:
        return int(self.kwargs["event_id"])

    def begin(self) -> None:
        self.found = read_show(self.object_id())
        self.phases = phases_of(self.object_id())

    def make_form(self) -> EventForm:
        show = self.found
        initial: dict[str, Any] = {
            **{name: show[name] for name in ("name", "client", "venue", "gear_out_at", "gear_back_at", "version")},
            "ledger": ledger_version(),
            **_initial(self.phases),
        }
        sent = sum(name.startswith("kind_") for name in self.request.POST)
        rows = min(max(len(self.phases) + SPARE_ROWS, sent), MOST_ROWS)
        return self.form(EventForm, initial, rows=rows)

    def describe(self, form: EventForm) -> EventFormModel:
        return EventFormModel(
            title=f"Times and name of {self.found['name']}",
            button="Save",
            form=form,
            back=address_of(self.object_id()),
            back_words=self.found["name"],
            zone=self.found["zone"],
            way=explained(form.refusal, "none"),
        )

    def work(self, c: Change, form: EventForm) -> None:
        edit_event(
            c,
            self.object_id(),
            fields=cast(EventFields, form.edited(form.event(self.found, clients=self.person().may("client.read")))),
            accept_shortfalls=form.cleaned_data["accept"],
        )

    def version(self) -> Callable[[], int]:
        return lambda: read_show(self.object_id())["version"]

    def after(self) -> str:
        return f"{address_of(self.object_id())}?said=saved"


def _is_another(given: datetime | None, standing: datetime) -> bool:
    """Say whether somebody typed another instant; fields show minutes only."""
    return given is not None and given != standing.replace(second=0, microsecond=0)


def _initial(phases: list[PhaseShape]) -> dict[str, str | datetime]:
    initial: dict[str, str | datetime] = {}
    for row, phase in enumerate(phases):
        initial |= {f"kind_{row}": phase["kind"], f"from_{row}": phase["starts_at"], f"until_{row}": phase["ends_at"]}
    return initial
