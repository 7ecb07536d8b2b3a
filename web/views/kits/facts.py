"""``/kits/{id}/edit/``, ``/kits/{id}/retire/``: what a kit is told by itself; out of use, and back into it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from django import forms
from django.utils import timezone

from calc.vocabulary import CASE_BUILDS, RETENTIONS
from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.drawings.tape import COLOURS, tape
from inventory.selectors.contents import unit_with_tag
from inventory.selectors.kits import kit_rows, show_kits
from inventory.services.kits import KitFields, delete_kit, edit_kit
from inventory.services.retirement import restore_kit, retire_kit
from scheduling.selectors.kits import bookings_around
from web.components.kit_promises import KitPromise, kit_promises
from web.form_page import FormModel
from web.forms import EditForm, PageForm, VersionedForm
from web.views.kits.contents import KitFormPage
from web.views.kits.page import address_of


def _listed(values: tuple[str, ...], nothing: str) -> list[tuple[str, str]]:
    return [("", nothing), *((value, value.replace("-", " ")) for value in values)]


class KitFactsForm(PageForm):
    """What a kit is told by itself, apart from what is in it."""

    name = forms.CharField(max_length=200, label="Name")
    purpose = forms.CharField(max_length=200, required=False, label="What it is for")
    case = forms.CharField(
        max_length=40, required=False, label="Tag of the case", help_text="Leave it empty for a plan without a case."
    )
    build = forms.ChoiceField(
        choices=_listed(CASE_BUILDS, "not known"),
        required=False,
        label="Build",
        help_text="Decides how heat leaves it.",
    )
    ambient_celsius = forms.FloatField(min_value=-50, max_value=100, required=False, label="Warmest air around it, °C")
    exposed_retention = forms.ChoiceField(
        choices=_listed(RETENTIONS, "nothing asked"), required=False, label="Its holes must hold a plug by"
    )
    colour = forms.ChoiceField(
        choices=[("", "no colour"), *((code, word) for code, word in COLOURS.items())],
        required=False,
        label="Colour",
        help_text="What the case is marked with.",
    )

    def fields_for_service(self) -> KitFields:
        """Return what the service takes.

        Raises:
            InvalidError: no unit has the tag of the case.
        """
        given = self.cleaned_data
        fields: KitFields = {
            "name": given["name"],
            "purpose": given["purpose"],
            "build": given["build"] or None,
            "ambient_celsius": given["ambient_celsius"],
            "exposed_retention": given["exposed_retention"] or None,
            "colour": COLOURS.get(given["colour"], ""),
        }
        if given["case"]:
            unit = unit_with_tag(given["case"])
            if unit is None:
                raise InvalidError.of_field("case", f"No unit has the tag {given['case']}.")
            fields["case"] = unit
        return fields


class EditKitForm(EditForm, KitFactsForm):
    field_order = ("version", "ledger", "was", "name", "purpose", "colour", "case")

    def fields_for_service(self) -> KitFields:
        """Return what the service takes; an empty tag takes the case out."""
        taken_out: KitFields = {"case": None}
        return {**taken_out, **super().fields_for_service()}


class EditKitPage(KitFormPage[EditKitForm]):
    def make_form(self) -> EditKitForm:
        kit = show_kits(list(kit_rows().filter(pk=self.object_id())))[0]
        return self.form(
            EditKitForm,
            {**kit, **self.stamp(), "case": self.heading["tag"] or "", "colour": tape(kit["colour"]).code},
        )

    def describe(self, form: EditKitForm) -> FormModel:
        return self.model(form, title=f"About {self.heading['name']}", lead="", button="Save")

    def work(self, c: Change, form: EditKitForm) -> None:
        edit_kit(c, self.object_id(), fields=cast(KitFields, form.edited(form.fields_for_service())))

    def after(self) -> str:
        return address_of(self.object_id())


class UseForm(VersionedForm):
    verb = forms.ChoiceField(choices=[(verb, verb) for verb in ("retire", "restore", "discard")])


@dataclass(frozen=True, slots=True, kw_only=True)
class UseChoice:
    verb: str
    button: str
    effect: str
    grave: bool


RETIRE = UseChoice(
    verb="retire",
    button="Take it out of use",
    effect="Its units become loose. Its plan and its history stay, and it can be taken back into use.",
    grave=True,
)
RESTORE = UseChoice(
    verb="restore",
    button="Take it back into use",
    effect="It is a plan then: pack it again, its case first.",
    grave=False,
)
DISCARD = UseChoice(
    verb="discard",
    button="Discard it for good",
    effect="Its plan, its checks and its page go. A kit that was ever booked is kept.",
    grave=True,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class UseModel(FormModel):
    choices: tuple[UseChoice, ...]
    promises: tuple[KitPromise, ...]


class UsePage(KitFormPage[UseForm]):
    """Out of use, back into it, or discarded: what that does is said first."""

    template = "web/pages/kit_use.html"

    def make_form(self) -> UseForm:
        return self.form(UseForm, self.stamp())

    def describe(self, form: UseForm) -> UseModel:
        heading = self.heading
        if heading["retired_at"] is not None:
            choices: tuple[UseChoice, ...] = (RESTORE, DISCARD)
        else:
            choices = (RETIRE,) if heading["tag"] else (RETIRE, DISCARD)
        return UseModel(
            title=f"Out of use: {heading['name']}",
            button="",
            form=form,
            back=address_of(heading["id"]),
            back_words=heading["name"],
            choices=choices,
            promises=kit_promises(bookings_around(heading["id"], timezone.now()), heading["id"]),
        )

    def work(self, c: Change, form: UseForm) -> None:
        WORK[form.cleaned_data["verb"]](c, self.object_id())
        self.is_gone = form.cleaned_data["verb"] == "discard"

    def after(self) -> str:
        origin = self.heading["drafted_from"]
        if self.is_gone:
            return address_of(origin["id"]) if origin is not None else "/kits/"
        return address_of(self.object_id())


WORK: dict[str, Callable[[Change, int], object]] = {
    "retire": retire_kit,
    "restore": restore_kit,
    "discard": delete_kit,
}
