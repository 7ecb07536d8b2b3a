"""``/kits/{id}/draft/`` and ``/kits/compare/``: change a plan on paper first, and see both side by side."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.http import Http404, HttpRequest, HttpResponse, QueryDict

from inventory.base.changes import Change
from inventory.errors import ContentsRefusedError
from inventory.selectors.compare import compare_kits
from inventory.selectors.contents import HeadingShape, kit_heading
from inventory.selectors.kits import kit_rows
from inventory.services.clone import clone_kit
from web.components.comparison import Comparison, comparison
from web.form_page import FormModel, FormPage
from web.forms import PageForm
from web.page import Page
from web.views.kits.page import address_of


class DraftForm(PageForm):
    name = forms.CharField(max_length=200, label="Name of the planned change")


class DraftPage(FormPage[DraftForm]):
    """Copies the plan of a kit, without its units."""

    permits = {"GET": "kit.edit", "POST": "kit.edit"}
    section = "/kits/"

    def begin(self) -> None:
        heading = kit_heading(self.kwargs["kit_id"])
        if heading is None:
            raise Http404(f"There is no kit {self.kwargs['kit_id']}.")
        self.heading: HeadingShape = heading
        self.made = 0

    def make_form(self) -> DraftForm:
        return self.form(DraftForm, {"name": f"{self.heading['name'][:180]} (planned change)"})

    def describe(self, form: DraftForm) -> FormModel:
        return FormModel(
            title="Plan a change",
            lead="The plan is copied: places, connections and labels, without the units. "
            "Change the copy, then compare it with this kit. Nothing of this kit moves.",
            button="Plan the change",
            form=form,
            back=address_of(self.heading["id"]),
            back_words=self.heading["name"],
        )

    def work(self, c: Change, form: DraftForm) -> None:
        self.made = clone_kit(c, self.heading["id"], name=form.cleaned_data["name"])

    def after(self) -> str:
        return address_of(self.made)


class PairForm(forms.Form):
    """Which two; asked by address, so that a comparison can be sent to somebody."""

    a = forms.TypedChoiceField(coerce=int, label="One")
    b = forms.TypedChoiceField(coerce=int, label="The other")

    def __init__(self, asked: QueryDict, *, kits: list[tuple[int, str]]) -> None:
        super().__init__(asked if {"a", "b"} <= asked.keys() else None, initial=asked.dict())
        for name in ("a", "b"):
            self.fields[name].choices = [("", "choose a kit"), *kits]  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareModel:
    title: str
    form: PairForm
    compared: Comparison | None
    refusal: str = ""
    """Why they cannot be compared."""


class ComparePage(Page):
    permits = {"GET": "kit.read"}
    section = "/kits/"

    def get(self, request: HttpRequest) -> HttpResponse:
        rows: Any = kit_rows().order_by("name", "id").values_list("id", "name")
        form = PairForm(request.GET, kits=list(rows))
        page, status = CompareModel(title="Compare two kits", form=form, compared=None), 200
        if form.is_bound and not form.is_valid():
            status = 400
        elif form.is_bound:
            try:
                page = replace(page, compared=self._compared(form.cleaned_data))
            except ContentsRefusedError as error:
                page, status = replace(page, refusal=error.detail), error.status
        return self.show("web/pages/compare.html", page, status=status)

    def _compared(self, pair: Mapping[str, int]) -> Comparison:
        shape = compare_kits(pair["a"], pair["b"], money=self.person().may("money.read"))
        if shape is None:
            raise Http404("One of the two kits does not exist.")
        return comparison(shape)
