"""What happens to every request before any room sees it."""

import re
import uuid
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase

from config.problems import problem

MOST_BYTES = 2 * 1024 * 1024
READ_TO_THE_END = 16 * 1024 * 1024
ACCEPTED_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")

Next = Callable[[HttpRequest], HttpResponseBase]


class RequestIdMiddleware:
    """Gives every request an id: the caller's, if it is plain, or a new one; every answer carries it."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        given = request.headers.get("X-Request-ID", "")
        identity = given if ACCEPTED_ID.fullmatch(given) else uuid.uuid4().hex
        request.META["X_REQUEST_ID"] = identity
        response = self.get_response(request)
        response["X-Request-ID"] = identity
        return response


class BodyLimitMiddleware:
    """Refuses bodies above 2 MiB, reading what comes up to 16 MiB so that the refusal reaches the sender."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        announced = request.META.get("CONTENT_LENGTH") or "0"
        length = int(announced) if announced.isdecimal() else 0
        if length > MOST_BYTES:
            self._read_away(request, min(length, READ_TO_THE_END))
            return self._refusal()
        if request.method not in {"GET", "HEAD", "OPTIONS"} and request.path.startswith("/api/"):
            request.body  # noqa: B018 - read here once, so that parsing and the idempotency hash see the same bytes
        return self.get_response(request)

    def _read_away(self, request: HttpRequest, length: int) -> None:
        left = length
        while left > 0 and (chunk := request.read(min(left, 65536))):
            left -= len(chunk)

    def _refusal(self) -> HttpResponse:
        return problem("too-large", "The body is larger than 2 MiB. Send it in several requests.")
