"""``/kits/``: every kit with its verdicts; ``/kits/new/``: a kit to begin with."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.core.paginator import Page as Sheet
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse

from calc.vocabulary import CASE_BUILDS, NOTHING_FOUND, RETENTIONS, SEVERITIES
from inventory.base.errors import InvalidError
from inventory.base.words import in_words
from inventory.selectors.contents import unit_with_tag
from inventory.selectors.kits import KitSummaryShape, kit_rows, show_kits
from inventory.services.kits import KitFields, create_kit
from web.components.severity import MARKS
from web.components.verdicts import Verdict, verdicts_of_row
from web.forms import PageForm
from web.page import Page
from web.sought import sought_words

ON_A_SHEET = 50
VERDICTS = (*reversed(SEVERITIES), NOTHING_FOUND)


@dataclass(frozen=True, slots=True, kw_only=True)
class KitLine:
    """One kit in the list."""

    id: int
    name: str
    purpose: str
    draft: bool
    """It has no case yet."""
    design: Verdict
    packed: Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A way to narrow the list, and whether it is the one in force."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KitListModel:
    title: str
    kits: tuple[KitLine, ...]
    total: int
    verdicts: tuple[Choice, ...]
    words: str
    earlier: str
    later: str
    may_edit: bool


class KitListPage(Page):
    permits = {"GET": "kit.read"}
    section = "/kits/"

    def get(self, request: HttpRequest) -> HttpResponse:
        words = sought_words(request)
        verdict = request.GET.get("verdict", "")
        rows = in_words(kit_rows().order_by("name", "id"), words, ("name", "purpose"))
        if verdict in VERDICTS:
            rows = rows.filter(verdict=verdict)
        sheet = Paginator(rows, ON_A_SHEET).get_page(request.GET.get("page"))
        page = KitListModel(
            title="Kits",
            kits=tuple(_line(shape) for shape in show_kits(list(sheet))),
            total=sheet.paginator.count,
            verdicts=tuple(Choice(value=value, words=MARKS[value].word, chosen=value == verdict) for value in VERDICTS),
            words=words,
            earlier=_address(words, verdict, sheet, -1),
            later=_address(words, verdict, sheet, +1),
            may_edit=self.person().may("kit.edit"),
        )
        return self.show("web/pages/kits.html", page)


def _line(shape: KitSummaryShape) -> KitLine:
    design, packed = verdicts_of_row(shape["verdicts"])
    return KitLine(
        id=shape["id"],
        name=shape["name"],
        purpose=shape["purpose"],
        draft=shape["case"] is None,
        design=design,
        packed=packed,
    )


def _address(words: str, verdict: str, sheet: "Sheet[Any]", step: int) -> str:
    number = sheet.number + step
    if not 1 <= number <= sheet.paginator.num_pages:
        return ""
    return "?" + urlencode({"q": words, "verdict": verdict, "page": number})


def _listed(values: tuple[str, ...], nothing: str) -> list[tuple[str, str]]:
    return [("", nothing), *((value, value.replace("-", " ")) for value in values)]


class NewKitForm(PageForm):
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
        }
        if given["case"]:
            unit = unit_with_tag(given["case"])
            if unit is None:
                raise InvalidError.of_field("case", f"No unit has the tag {given['case']}.")
            fields["case"] = unit
        return fields


@dataclass(frozen=True, slots=True, kw_only=True)
class NewKitModel:
    title: str
    form: NewKitForm


class NewKitPage(Page):
    permits = {"GET": "kit.edit", "POST": "kit.edit"}
    section = "/kits/"

    def get(self, request: HttpRequest) -> HttpResponse:
        return self.show("web/pages/kit_new.html", NewKitModel(title="New kit", form=self.form(NewKitForm)))

    def post(self, request: HttpRequest) -> HttpResponse:
        form = self.form(NewKitForm)
        if done := self.carry_out(form, lambda c: create_kit(c, fields=form.fields_for_service())):
            return self.go_to(f"/kits/{done.result}/")
        return self.refused(form, self.show("web/pages/kit_new.html", NewKitModel(title="New kit", form=form)))
