"""``/units/new/``, ``/units/{id}/edit/``, ``/units/{id}/state/``: enter units, say where one is, retire it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, cast

from django import forms
from django.utils import timezone

from inventory.base.changes import Change, ledger_version
from inventory.models.unit import MOVES_BY_HAND, OUT_OF_POOL, UnitState
from inventory.selectors.bench import unit_record
from inventory.selectors.contents import spec_choices
from inventory.selectors.people import people_here
from inventory.selectors.places import places
from inventory.services.locations import create_location
from inventory.services.units import UnitFields, create_units, edit_unit
from scheduling.selectors.promises import promises_of
from web.components.promises import PromiseLine, promise_lines
from web.components.tags import TagModel, tag_model
from web.form_page import Form, FormModel, FormPage
from web.forms import EditForm, PageForm, VersionedForm
from web.instants import InstantField
from web.views.units.page import read_unit

TAG = r"^[\x21-\x7e]{1,40}$"
MOST_AT_ONCE = 200
SHOWN = 8
NO_GAPS = {"invalid": "A tag has 1 to 40 letters, digits and signs, and no gap."}


class PlaceForm(PageForm):
    """Fields about where a unit is; a place that is not in the list yet can be typed."""

    location = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Place")
    new_place = forms.CharField(
        max_length=200, required=False, label="or a new place", help_text="Shelf, van or room that is not in the list."
    )
    condition = forms.CharField(max_length=200, required=False, label="Condition")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = [(place["id"], place["words"]) for place in places()]
        self.fields["location"].choices = [("", "not known"), *known]  # type: ignore[attr-defined]

    def place(self, c: Change) -> int | None:
        """Return the place that was chosen, or the one that was typed, which is then entered."""
        typed: str = self.cleaned_data["new_place"]
        chosen: int | None = self.cleaned_data["location"]
        return create_location(c, name=typed, parent_id=None) if typed else chosen


class NewUnitsForm(PlaceForm):
    spec = forms.TypedChoiceField(coerce=int, label="Type")
    quantity = forms.IntegerField(min_value=1, max_value=MOST_AT_ONCE, initial=1, label="How many alike")
    tag = forms.RegexField(
        TAG,
        required=False,
        label="Tag",
        help_text="Leave it empty: each gets the next tag of the company, with a check character.",
        error_messages=NO_GAPS,
    )
    serial = forms.CharField(max_length=100, required=False, label="Serial")
    field_order = ("spec", "quantity", "tag", "serial", "location", "new_place", "condition")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        by_kind: dict[str, list[tuple[int, str]]] = {}
        for spec in spec_choices():
            by_kind.setdefault(spec["kind"], []).append((spec["id"], spec["name"]))
        self.fields["spec"].choices = [("", "choose"), *by_kind.items()]  # type: ignore[attr-defined]

    def unit(self, c: Change) -> UnitFields:
        """Return what the service takes."""
        given = self.cleaned_data
        fields: UnitFields = {"spec": given["spec"], "condition": given["condition"], "location": self.place(c)}
        if given["tag"]:
            fields["tag"] = given["tag"]
        if given["serial"]:
            fields["serial"] = given["serial"]
        return fields


class NewUnitsPage(FormPage[NewUnitsForm]):
    permits = {"GET": "unit.edit", "POST": "unit.edit"}
    section = "/specs/"

    def make_form(self) -> NewUnitsForm:
        return self.form(NewUnitsForm, {"spec": self.request.GET.get("spec", ""), "quantity": 1})

    def describe(self, form: NewUnitsForm) -> FormModel:
        lead = "A unit is one physical thing: a case, a component, a cable."
        if not spec_choices():
            lead = "There is no data sheet yet, and every unit is of one: write that first."
        return FormModel(
            title="New units", lead=lead, button="Enter them", form=form, back="/specs/", back_words="Types"
        )

    def work(self, c: Change, form: NewUnitsForm) -> None:
        self.spec = form.cleaned_data["spec"]
        self.made = create_units(c, fields=form.unit(c), quantity=form.cleaned_data["quantity"])

    def after(self) -> str:
        return f"/units/{self.made[0]}/" if len(self.made) == 1 else f"/specs/{self.spec}/#units"


class UnitFormPage(FormPage[Form]):
    """Base of the forms over one unit."""

    permits = {"GET": "unit.edit", "POST": "unit.edit"}
    noun = "unit"

    def begin(self) -> None:
        self.unit = read_unit(self.object_id())

    def object_id(self) -> int:
        return int(self.kwargs["unit_id"])

    def version(self) -> Callable[[], int] | None:
        return lambda: (unit_record(self.object_id()) or self.unit)["version"]

    def stamp(self) -> dict[str, Any]:
        """Return the hidden values of a form made now."""
        return {"version": self.unit["version"], "ledger": ledger_version()}

    def after(self) -> str:
        return f"/units/{self.object_id()}/"

    @property
    def name(self) -> str:
        return f"{self.unit['tag']}, {self.unit['spec_name']}"


class EditUnitForm(EditForm, PlaceForm):
    sources = {"location": ("location", "new_place")}

    signed_to = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label="Signed to")
    tag = forms.RegexField(
        TAG, label="Tag", help_text="The tag that it had stays its alias for ever.", error_messages=NO_GAPS
    )
    serial = forms.CharField(max_length=100, required=False, label="Serial")
    firmware = forms.CharField(max_length=60, required=False, label="Firmware", help_text="As it says itself.")
    measured_w = forms.FloatField(min_value=0, max_value=1_000_000, required=False, label="Measured draw, W")
    owner = forms.CharField(max_length=200, required=False, label="Belongs to", help_text="If it is not the company's.")
    available_from = InstantField(required=False, label="In the pool from")
    available_until = InstantField(required=False, label="In the pool until")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["signed_to"].choices = [("", "nobody"), *people_here()]  # type: ignore[attr-defined]

    def unit(self, c: Change) -> UnitFields:
        """Return what the service takes."""
        given = self.cleaned_data
        return {
            "tag": given["tag"],
            "serial": given["serial"] or None,
            "condition": given["condition"],
            "location": self.place(c),
            "signed_to": given["signed_to"],
            "firmware": given["firmware"] or None,
            "measured_w": given["measured_w"],
            "owner": given["owner"],
            "available_from": given["available_from"],
            "available_until": given["available_until"],
        }


class EditUnitPage(UnitFormPage[EditUnitForm]):
    def make_form(self) -> EditUnitForm:
        return self.form(EditUnitForm, {**self.unit, **self.stamp()})

    def describe(self, form: EditUnitForm) -> FormModel:
        return FormModel(title="Where it is", button="Save", form=form, back=self.after(), back_words=self.name)

    def work(self, c: Change, form: EditUnitForm) -> None:
        edit_unit(c, self.object_id(), fields=cast(UnitFields, form.edited(form.unit(c))))


CHANGES = {
    UnitState.RETIRED: ("Retire it", "It leaves the pool. Its tag, its history and its readings stay."),
    UnitState.LOST: ("It is lost", "It leaves the pool until somebody finds it."),
    UnitState.HELD_BACK: ("Hold it back", "It may not go out until somebody lets it back into service."),
    UnitState.IN_SERVICE: ("Back in service", "It may go out again; whoever still lacks it gets it."),
}
"""State → the button that leads there, and what that does."""


class StateForm(VersionedForm):
    state = forms.ChoiceField(choices=[(state.value, state.value) for state in CHANGES], widget=forms.HiddenInput)


@dataclass(frozen=True, slots=True, kw_only=True)
class StateChoice:
    state: str
    button: str
    effect: str
    grave: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StateModel(FormModel):
    tag: TagModel
    choices: tuple[StateChoice, ...]
    promises: tuple[PromiseLine, ...]
    more: int


class StatePage(UnitFormPage[StateForm]):
    template = "web/pages/unit_state.html"

    def make_form(self) -> StateForm:
        return self.form(StateForm, self.stamp())

    def describe(self, form: StateForm) -> StateModel:
        promises = promises_of([self.object_id()], timezone.now()).get(self.object_id(), [])
        return StateModel(
            title="Another state",
            button="",
            form=form,
            back=self.after(),
            back_words=self.name,
            tag=tag_model(self.unit["tag"]),
            choices=tuple(
                StateChoice(state=state, button=CHANGES[state][0], effect=CHANGES[state][1], grave=state in OUT_OF_POOL)
                for state in MOVES_BY_HAND[UnitState(self.unit["state"])]
            ),
            promises=promise_lines(promises[:SHOWN]),
            more=max(len(promises) - SHOWN, 0),
        )

    def work(self, c: Change, form: StateForm) -> None:
        edit_unit(c, self.object_id(), fields={"state": form.cleaned_data["state"]})
