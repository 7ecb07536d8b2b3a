"""``/settings/``: the company's own; the owner changes them, everybody else reads them."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

from django import forms
from django.conf import settings
from django.http import HttpRequest, HttpResponse

from calc.vocabulary import RULE_SETS
from inventory.base.changes import ledger_version
from inventory.base.errors import StaleError
from inventory.selectors.company import CompanyShape, show_company
from inventory.services.company import CompanyFields, edit_company
from web.forms import EditForm, PageForm
from web.page import Page

RULES = {
    "iec": "IEC 60364 and what follows it",
    "north_america": "North America, NFPA 70",
}


class CompanyFactsForm(PageForm):
    """The settings of the company that a new one and a known one share."""

    name = forms.CharField(max_length=200, label="Name of the company")
    timezone = forms.CharField(
        max_length=60,
        label="Time zone of the store",
        help_text="By its name in the IANA database, such as Europe/Zurich. Times are shown and read in it.",
    )
    rules = forms.ChoiceField(
        choices=[(rules, RULES[rules]) for rules in RULE_SETS],
        label="Rules for mains",
        help_text="Another set checks every kit again.",
    )
    currency = forms.RegexField(
        r"^[A-Z]{3}$",
        label="Currency",
        help_text="Three capital letters, ISO 4217. Money that names no other is in it.",
        error_messages={"invalid": "Write three capital letters, such as EUR."},
    )

    def company(self) -> CompanyFields:
        """Return what the service takes."""
        given = self.cleaned_data
        return {
            "name": given["name"],
            "timezone": given["timezone"],
            "rules": given["rules"],
            "currency": given["currency"],
        }


class CompanyForm(EditForm, CompanyFactsForm):
    """The settings of a company that is set up."""

    def changes(self) -> CompanyFields:
        """Return what was changed, as the service takes it."""
        return cast(CompanyFields, self.edited(self.company()))


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsModel:
    title: str
    company: CompanyShape
    rules: str
    form: CompanyForm | None
    """None: this person reads only."""
    stale: bool
    saved: bool
    demo: bool


class SettingsPage(Page):
    permits = {"GET": "company.read", "POST": "company.edit"}
    section = "/settings/"

    def get(self, request: HttpRequest) -> HttpResponse:
        company = show_company()
        form = None
        if self.person().may("company.edit"):
            form = self.form(CompanyForm, {**company, "ledger": ledger_version()})
        return self.show("web/pages/settings.html", self._model(company, form, saved="saved" in request.GET))

    def post(self, request: HttpRequest) -> HttpResponse:
        form = self.form(CompanyForm)
        if self.carry_out(form, lambda c: edit_company(c, fields=form.changes()), version=_version()):
            return self.go_to("/settings/?saved")
        company = show_company()
        if isinstance(form.refusal, StaleError):
            form.renewed(version=company["version"], ledger=ledger_version())
        return self.refused(form, self.show("web/pages/settings.html", self._model(company, form)))

    def _model(self, company: CompanyShape, form: CompanyForm | None, *, saved: bool = False) -> SettingsModel:
        return SettingsModel(
            title="Settings",
            company=company,
            rules=RULES[company["rules"]],
            form=form,
            stale=form is not None and isinstance(form.refusal, StaleError),
            saved=saved,
            demo=settings.DEMO,
        )


def _version() -> Callable[[], int]:
    return lambda: show_company()["version"]
