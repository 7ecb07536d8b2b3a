"""``/kits/{id}/positions/{id}/type/``: another type into a place; what stays plugged in, and what does not."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse

from inventory.base.changes import Change
from inventory.selectors.contents import spec_choices
from inventory.selectors.retyping import PluggedShape, plugged_in
from inventory.services.retyping import retype_position
from web.form_page import FormModel
from web.forms import VersionedForm
from web.views.kits.contents import KitFormPage, position_in
from web.views.kits.page import address_of, facts_of


class TypeForm(VersionedForm):
    spec = forms.TypedChoiceField(coerce=int, label="Becomes")
    seen = forms.IntegerField(required=False, widget=forms.HiddenInput)
    """The type of which it was said what does not stay."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        by_kind: dict[str, list[tuple[int, str]]] = {}
        for spec in spec_choices():
            by_kind.setdefault(spec["kind"], []).append((spec["id"], spec["name"]))
        self.fields["spec"].choices = [("", "choose"), *by_kind.items()]  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeModel(FormModel):
    planned: str
    tag: str
    leaving: tuple[PluggedShape, ...] = ()
    staying: tuple[PluggedShape, ...] = ()


class TypePage(KitFormPage[TypeForm]):
    template = "web/pages/kit_type.html"

    def begin(self) -> None:
        super().begin()
        self.position = position_in(facts_of(self.object_id()), self.kwargs["position_id"])
        self.plugged: list[PluggedShape] = []

    def make_form(self) -> TypeForm:
        return self.form(TypeForm, self.stamp())

    def describe(self, form: TypeForm) -> TypeModel:
        leaving = tuple(each for each in self.plugged if not each["stays"])
        unit = self.position.unit
        return TypeModel(
            title=f"{self.position.label} becomes another type",
            button=f"Swap it, and unplug {len(leaving)}" if leaving else "Swap it",
            grave=bool(leaving),
            form=form,
            back=self.after(),
            back_words=self.heading["name"],
            planned=self.position.spec.name,
            tag=unit.tag if unit is not None else "",
            leaving=leaving,
            staying=tuple(each for each in self.plugged if each["stays"]),
        )

    def post(self, request: HttpRequest, **kwargs: Any) -> HttpResponse:
        self.begin()
        form = self.make_form()
        if form.is_valid():
            spec = form.cleaned_data["spec"]
            self.plugged = plugged_in(self.position.id, spec)
            loses = any(not each["stays"] for each in self.plugged)
            if loses and form.cleaned_data["seen"] != spec:
                return self.show(self.template, self.describe(form.renewed(seen=spec)))
        return super().post(request, **kwargs)

    def work(self, c: Change, form: TypeForm) -> None:
        retype_position(c, self.object_id(), self.position.id, spec_id=form.cleaned_data["spec"])

    def after(self) -> str:
        return f"{address_of(self.object_id())}#p{self.position.id}"
