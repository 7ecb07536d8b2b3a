"""What was typed is not lost when the session is: it waits, signed, in the page that asks to sign in.

The values of the form travel in one hidden field, signed and dated, through the sign-in form. Once somebody has signed
in they are laid into the new session, and the page that shows the form takes them out again. Nothing is sent by itself:
the person reads it over and sends it.
"""

from dataclasses import dataclass
from urllib.parse import urlencode

from django.core import signing
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, QueryDict
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme

SALT = "typed before signing in"
HOURS = 12
IN_SESSION = "typed"
NEVER_KEPT = {"csrfmiddlewaretoken", "password", "current", "kept"}
START = "/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A form that could not be taken: where it stands, and what was in it."""

    path: str
    values: str
    """As the browser sent them, urlencoded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignInModel:
    """The page that asks who somebody is."""

    title: str
    username: str
    next: str
    kept: str
    """Signed; empty when nothing was typed."""
    refusal: str


def ask_to_sign_in(request: HttpRequest) -> HttpResponse:
    """Send a reader to the sign-in page; show it at once to somebody who was sending a form, and keep the form."""
    if request.method in {"GET", "HEAD"}:
        address = f"/sign-in/?{urlencode({'next': request.get_full_path()})}"
        if getattr(request, "htmx", False):
            return HttpResponse(status=204, headers={"HX-Redirect": address})
        return HttpResponseRedirect(address)
    page = SignInModel(title="Sign in", username="", next=request.path, kept=seal(request), refusal="")
    return whole_page(render(request, "web/pages/sign_in.html", {"page": page}, status=401))


def whole_page(response: HttpResponse) -> HttpResponse:
    """Let a script that asked for a part put this answer in place of the whole page."""
    response["HX-Retarget"] = "body"
    response["HX-Reswap"] = "innerHTML"
    return response


def seal(request: HttpRequest) -> str:
    """Return the form that this request sent, signed."""
    values = request.POST.copy()
    for name in NEVER_KEPT:
        values.pop(name, None)
    return signing.dumps({"path": request.path, "values": values.urlencode()}, salt=SALT, compress=True)


def unseal(text: str) -> Kept | None:
    """Return a kept form, or None when it is not ours or too old."""
    if not text:
        return None
    try:
        return Kept(**signing.loads(text, salt=SALT, max_age=HOURS * 3600))
    except signing.BadSignature:
        return None


def lay_back(request: HttpRequest, form: Kept) -> HttpResponse:
    """Put the form into the session and go to the page that shows it."""
    request.session[IN_SESSION] = {"path": form.path, "values": form.values}
    return HttpResponseRedirect(form.path, status=303)


def take(request: HttpRequest) -> QueryDict | None:
    """Take out, once, what was typed into the form at this address before somebody had to sign in."""
    waiting = request.session.get(IN_SESSION)
    if waiting is None or waiting["path"] != request.path:
        return None
    del request.session[IN_SESSION]
    return QueryDict(waiting["values"])


def own_address(request: HttpRequest, address: str) -> str:
    """Return ``address`` if it leads to a page of ours, else the first page."""
    ours = url_has_allowed_host_and_scheme(
        address, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return address if ours and address.startswith("/") and not address.startswith("/sign-") else START
