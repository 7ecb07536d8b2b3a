"""``/begin/{key}/``: the first owner sets up the company. The address works until there is a person."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse

from inventory.base.changes import Change
from inventory.base.models import User
from inventory.selectors.company import company_timezone
from inventory.selectors.people import has_people
from inventory.services.beginning import begin_company
from web.first_owner import HOURS, is_valid_key
from web.page import Page
from web.views.settings import CompanyFactsForm

NEW_PASSWORD = {"autocomplete": "new-password"}


class BeginForm(CompanyFactsForm):
    person = forms.CharField(max_length=200, label="Your name", required=False)
    username = forms.CharField(max_length=150, label="Name to sign in with")
    password = forms.CharField(
        max_length=1000,
        strip=False,
        label="Password",
        widget=forms.PasswordInput(attrs=NEW_PASSWORD),
        help_text="Eight characters or more, not a common one.",
    )
    again = forms.CharField(
        max_length=1000, strip=False, label="The password again", widget=forms.PasswordInput(attrs=NEW_PASSWORD)
    )

    def clean_again(self) -> str:
        again: str = self.cleaned_data["again"]
        if again != self.cleaned_data.get("password"):
            raise forms.ValidationError("Type the same password twice.")
        return again

    def begin(self, c: Change) -> int:
        """Set up the company and its owner; return the owner's id."""
        given = self.cleaned_data
        return begin_company(
            c,
            company=self.company(),
            username=given["username"],
            name=given["person"],
            password=given["password"],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginModel:
    title: str
    form: BeginForm


class BeginPage(Page):
    open_to_all = True

    def actor_id(self) -> None:
        return None

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        if has_people():
            return self.go_to("/sign-in/")
        if not is_valid_key(kwargs["key"]):
            raise Http404(f"This address served for {HOURS} hours. Start the service again: it prints a new one.")
        return super().dispatch(request, *args, **kwargs)

    def get(self, request: HttpRequest, key: str) -> HttpResponse:
        return self._show(self.form(BeginForm, {"timezone": company_timezone(), "rules": "iec", "currency": "EUR"}))

    def post(self, request: HttpRequest, key: str) -> HttpResponse:
        form = self.form(BeginForm)
        if done := self.carry_out(form, form.begin):
            login(request, User.objects.get(pk=done.result), backend="inventory.signed_in.PersonWithRoles")
            return self.go_to("/")
        return self.refused(form, self._show(form))

    def _show(self, form: BeginForm) -> HttpResponse:
        return self.show("web/pages/begin.html", BeginModel(title="Set up the company", form=form))
