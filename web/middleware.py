from collections.abc import Callable

from django.http import HttpRequest
from django.http.response import HttpResponseBase

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
