"""``/account/``: one's own password, and the tokens by which programs speak for one."""

from dataclasses import dataclass

from django import forms
from django.contrib.auth import update_session_auth_hash
from django.http import HttpRequest, HttpResponse
from django.views.decorators.debug import sensitive_post_parameters

from inventory.selectors.people import TokenShape, own_tokens
from inventory.services.people import change_own_password, revoke_token
from web.forms import PageForm
from web.page import Page
from web.views.people.listing import MEANINGS, RoleLine

TEMPLATE = "web/pages/account.html"


class PasswordForm(PageForm):
    current = forms.CharField(
        max_length=1000,
        strip=False,
        label="Present password",
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
    password = forms.CharField(
        max_length=1000,
        strip=False,
        label="New password",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="Eight characters or more, not a common one.",
    )


class RevokeForm(PageForm):
    revoke = forms.CharField(max_length=64)


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountModel:
    title: str
    username: str
    roles: tuple[RoleLine, ...]
    form: PasswordForm
    tokens: tuple[TokenShape, ...]
    said: str


SAID = {"password": "The new password holds from now on. Every token was taken back.", "revoked": "The token is gone."}


class AccountPage(Page):
    permits = {"GET": "token.own", "POST": "token.own"}
    section = "/account/"

    def get(self, request: HttpRequest) -> HttpResponse:
        return self.show(TEMPLATE, self._model(self.form(PasswordForm), SAID.get(request.GET.get("done", ""), "")))

    def post(self, request: HttpRequest) -> HttpResponse:
        sensitive_post_parameters("current", "password")(lambda _: None)(request)
        if "revoke" in request.POST:
            return self._revoke()
        form = self.form(PasswordForm)
        if not self.carry_out(form, lambda c: change_own_password(c, self.person().pk, **form.cleaned_data)):
            return self.refused(form, self.show(TEMPLATE, self._model(form, "")))
        person = self.person()
        person.refresh_from_db(fields=["password"])
        update_session_auth_hash(request, person)  # or the new password would end the session that set it
        return self.go_to("/account/?done=password")

    def _revoke(self) -> HttpResponse:
        form = self.form(RevokeForm)
        token = self.request.POST["revoke"]
        if self.carry_out(form, lambda c: revoke_token(c, user_id=self.person().pk, token_key=token)):
            return self.go_to("/account/?done=revoked")
        refusal = form.refusal.detail if form.refusal else "Name the token."
        return self.refused(form, self.show(TEMPLATE, self._model(PasswordForm(), refusal)))

    def _model(self, form: PasswordForm, said: str) -> AccountModel:
        person = self.person()
        return AccountModel(
            title="Your account",
            username=person.username,
            roles=tuple(RoleLine(role=role, meaning=MEANINGS[role]) for role in MEANINGS if role in person.roles),
            form=form,
            tokens=tuple(own_tokens(person.pk)),
            said=said,
        )
