"""What a browser is shown instead of a page: nothing there, not permitted, out of date, broken.

``config.problems`` chooses these for every address outside the interface.
"""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.middleware import csrf
from django.shortcuts import render

from inventory.base.problems import ProblemType
from web import kept
from web.page import frame_of


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusalModel:
    """One refusal: what happened, and the next step."""

    title: str
    detail: str
    advice: str
    code: str
    kept: str = ""
    """A form that can be gone back to, signed."""
    request_id: str = ""


STILL_TYPED = frozenset({csrf.REASON_CSRF_TOKEN_MISSING, csrf.REASON_NO_CSRF_COOKIE})
"""Reasons for which a form of our own page is refused: its mark is old or gone."""


def refusal(request: HttpRequest, kind: ProblemType, *, detail: str = "") -> HttpResponse:
    """Return the page for a refusal."""
    page = RefusalModel(title=kind.title, detail=detail, advice=kind.advice, code=kind.code)
    return _answer(request, page, kind.status)


def out_of_date(request: HttpRequest, kind: ProblemType, *, reason: str) -> HttpResponse:
    """Return the page for a form whose mark is not valid any more; a form of ours can be gone back to."""
    ours = reason in STILL_TYPED or "CSRF token from" in reason
    typed = kept.seal(request) if ours and not request.path.startswith("/sign-") else ""
    page = RefusalModel(
        title=kind.title,
        detail="Its mark is older than the last sign-in here. Nothing was sent.",
        advice="Go back to the form: what was typed is in it." if typed else kind.advice,
        code=kind.code,
        kept=typed,
    )
    return _answer(request, page, kind.status)


def broken(request: HttpRequest, kind: ProblemType, *, request_id: str) -> HttpResponse:
    """Return the page for a defect; it asks nothing of the database, which may be what is broken."""
    page = RefusalModel(title=kind.title, detail="", advice=kind.advice, code=kind.code, request_id=request_id)
    return kept.whole_page(render(None, "web/pages/broken.html", {"page": page}, status=kind.status))


def _answer(request: HttpRequest, page: RefusalModel, status: int) -> HttpResponse:
    context = {"page": page, "frame": frame_of(request)}
    return kept.whole_page(render(request, "web/pages/refusal.html", context, status=status))
