"""``/kits/``: every kit with its verdicts; ``/kits/new/``: a kit to begin with."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Page as Sheet
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse

from calc.vocabulary import NOTHING_FOUND, SEVERITIES
from inventory.base.words import in_words
from inventory.selectors.kits import KitSummaryShape, kit_rows, show_kits
from inventory.services.kits import create_kit
from web.components.severity import MARKS
from web.components.verdicts import Verdict, verdicts_of_row
from web.page import Page
from web.sought import sought_words
from web.views.kits.facts import KitFactsForm

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
    retired: bool
    """Those that are out of use are listed."""
    earlier: str
    later: str
    may_edit: bool


class KitListPage(Page):
    permits = {"GET": "kit.read"}
    section = "/kits/"

    def get(self, request: HttpRequest) -> HttpResponse:
        words = sought_words(request)
        verdict = request.GET.get("verdict", "")
        retired = "retired" in request.GET
        kits = kit_rows().filter(retired_at__isnull=not retired).order_by("name", "id")
        rows = in_words(kits, words, ("name", "purpose"))
        if verdict in VERDICTS:
            rows = rows.filter(verdict=verdict)
        sheet = Paginator(rows, ON_A_SHEET).get_page(request.GET.get("page"))
        page = KitListModel(
            title="Kits",
            kits=tuple(_line(shape) for shape in show_kits(list(sheet))),
            total=sheet.paginator.count,
            verdicts=tuple(Choice(value=value, words=MARKS[value].word, chosen=value == verdict) for value in VERDICTS),
            words=words,
            retired=retired,
            earlier=_address(words, verdict, sheet, -1, retired=retired),
            later=_address(words, verdict, sheet, +1, retired=retired),
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


def _address(words: str, verdict: str, sheet: "Sheet[Any]", step: int, *, retired: bool) -> str:
    number = sheet.number + step
    if not 1 <= number <= sheet.paginator.num_pages:
        return ""
    return "?" + urlencode({"q": words, "verdict": verdict, "page": number, **({"retired": ""} if retired else {})})


@dataclass(frozen=True, slots=True, kw_only=True)
class NewKitModel:
    title: str
    form: KitFactsForm


class NewKitPage(Page):
    permits = {"GET": "kit.edit", "POST": "kit.edit"}
    section = "/kits/"

    def get(self, request: HttpRequest) -> HttpResponse:
        return self.show("web/pages/kit_new.html", NewKitModel(title="New kit", form=self.form(KitFactsForm)))

    def post(self, request: HttpRequest) -> HttpResponse:
        form = self.form(KitFactsForm)
        if done := self.carry_out(form, lambda c: create_kit(c, fields=form.fields_for_service())):
            return self.go_to(f"/kits/{done.result}/")
        return self.refused(form, self.show("web/pages/kit_new.html", NewKitModel(title="New kit", form=form)))
