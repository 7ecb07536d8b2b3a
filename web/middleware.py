from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils import timezone

from inventory.base.errors import BusyError, DomainError
from inventory.base.models import User
from inventory.base.problems import problem_type
from web import refusals
from web.page import Page

POLICY = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' data:",  # the marks inside selects and boxes are data in the vendored style sheet
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)


class ContentSecurityMiddleware:
    """Tells the browser to ask nobody but this service, and to run no script or style that is written into a page.

    An answer that needs another policy brings its own.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        return response


class ReaderClockMiddleware:
    """Reads and shows times on pages by the clock of the company whose person is signed in.

    Only pages: the interface answers in UTC.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        try:
            return self.get_response(request)
        finally:
            timezone.deactivate()

    def process_view(self, request: HttpRequest, view: object, args: object, kwargs: object) -> None:
        page = getattr(view, "view_class", None)
        if page is not None and issubclass(page, Page) and isinstance(request.user, User):
            timezone.activate(ZoneInfo(request.user.company_timezone))


class RefusedMiddleware:
    """Shows a refusal that no form of a page took up as a page of its own: somebody else is writing just now, say."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        if not isinstance(exception, DomainError):
            return None
        response = refusals.refusal(request, problem_type(exception.code), detail=exception.detail)
        if isinstance(exception, BusyError):
            response["Retry-After"] = "2"
        return response
