"""``/sign-in/``, ``/sign-out/`` and ``/typed/``, where a form waits that came without a valid mark of its page."""

import math

from django import forms
from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.debug import sensitive_post_parameters

from inventory.base.models import User
from inventory.base.rates import seconds_to_wait_for_login
from web import kept
from web.forms import PageForm
from web.kept import SignInModel
from web.page import Page

TEMPLATE = "web/pages/sign_in.html"


class SignInForm(PageForm):
    username = forms.CharField(max_length=150)
    password = forms.CharField(max_length=1000, strip=False)
    next = forms.CharField(max_length=2000, required=False)
    kept = forms.CharField(max_length=2 * 1024 * 1024, required=False)


class SignInPage(Page):
    open_to_all = True

    def get(self, request: HttpRequest) -> HttpResponse:
        address = kept.own_address(request, request.GET.get("next", ""))
        if request.user.is_authenticated:
            return HttpResponseRedirect(address)
        return self.show(TEMPLATE, SignInModel(title="Sign in", username="", next=address, kept="", refusal=""))

    def post(self, request: HttpRequest) -> HttpResponse:
        sensitive_post_parameters("password")(lambda _: None)(request)
        form = SignInForm(request.POST)
        if not form.is_valid():
            return self._again(request, "Type your name and your password.", 400)
        name = form.cleaned_data["username"]
        wait = math.ceil(seconds_to_wait_for_login(name, request.META["REMOTE_ADDR"]))
        if wait:
            response = self._again(request, f"That was too often. Try again in {wait} s.", 429)
            response["Retry-After"] = str(wait)
            return response
        user = authenticate(request, username=name, password=form.cleaned_data["password"])
        if not isinstance(user, User):
            return self._again(request, "The name or the password is not right.", 401)
        login(request, user)
        if (form_kept := kept.unseal(form.cleaned_data["kept"])) is not None:
            return kept.lay_back(request, form_kept)
        return self.go_to(kept.own_address(request, form.cleaned_data["next"]))

    def _again(self, request: HttpRequest, refusal: str, status: int) -> HttpResponse:
        page = SignInModel(
            title="Sign in",
            username=request.POST.get("username", ""),
            next=kept.own_address(request, request.POST.get("next", "")),
            kept=request.POST.get("kept", ""),
            refusal=refusal,
        )
        return self.show(TEMPLATE, page, status=status)


class SignOutPage(Page):
    open_to_all = True

    def post(self, request: HttpRequest) -> HttpResponse:
        logout(request)
        return self.go_to("/sign-in/")


class TypedPage(Page):
    """Takes a kept form back to the page that shows it; by way of signing in, where need be."""

    open_to_all = True

    def post(self, request: HttpRequest) -> HttpResponse:
        sealed = request.POST.get("kept", "")
        form = kept.unseal(sealed)
        if form is None:
            return self.go_to(kept.START)
        if request.user.is_authenticated:
            return kept.lay_back(request, form)
        page = SignInModel(title="Sign in", username="", next=form.path, kept=sealed, refusal="")
        return self.show(TEMPLATE, page)
