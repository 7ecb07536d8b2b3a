"""Every error of the interface as a problem document (RFC 9457): never HTML, never a trace."""

import json
import logging
import math
from collections.abc import Mapping
from typing import Any

from django.core.exceptions import PermissionDenied
from django.core.exceptions import ValidationError as DjangoValidationError
from django.db import DataError
from django.http import Http404, HttpRequest, HttpResponse
from rest_framework import exceptions
from rest_framework.response import Response

from inventory.base.errors import PROBLEMS, BusyError, DomainError, FieldProblem, InvalidError

log = logging.getLogger(__name__)

PROBLEM_JSON = "application/problem+json"

GENERAL: dict[str, tuple[int, str, str]] = {
    "unreadable": (400, "The request cannot be read", "Check that the body is JSON in UTF-8, as the reference shows."),
    "bad-host": (400, "This service does not answer to that name", "Use the address that the owner gave you."),
    "not-signed-in": (
        401,
        "Nobody is signed in",
        "Sign in, or send 'Authorization: Token ...' from POST /api/v1/tokens/.",
    ),
    "not-permitted": (403, "Your role does not permit this", "Ask a planner or the owner."),
    "csrf": (403, "The page was open for too long", "Load the page again; what was typed is still in its form."),
    "method-not-allowed": (405, "This address does not take that method", "See 'allowed' for those that it takes."),
    "not-acceptable": (406, "No answer in that form", "Ask for application/json."),
    "too-large": (413, "The body is too large", "Send it in several requests."),
    "not-json": (415, "The body is not JSON", "Send it with 'Content-Type: application/json'."),
    "too-often": (429, "Too many requests", "Wait as long as Retry-After says."),
    "defect": (500, "Something is broken here", "Nothing of this request was kept. Tell the owner the request id."),
}
"""Problems that no domain error stands for: code → status, title, advice."""


def problem_body(code: str, detail: str, **members: Any) -> dict[str, Any]:
    """Return the document; ``type`` is the path of the page that explains it."""
    if code in GENERAL:
        status, title, _ = GENERAL[code]
    else:
        status, title = PROBLEMS[code].status, PROBLEMS[code].title
    return members | {"type": f"/problems/{code}", "title": title, "status": status, "detail": detail}


def problem(code: str, detail: str, headers: Mapping[str, str] | None = None, **members: Any) -> HttpResponse:
    """Return a problem for places that REST framework does not reach."""
    body = problem_body(code, detail, **members)
    return HttpResponse(json.dumps(body), status=body["status"], content_type=PROBLEM_JSON, headers=headers)


def problem_response(error: Exception, context: Mapping[str, Any]) -> Response | None:
    """REST framework's exception handler."""
    if isinstance(error, DomainError):
        retry = {"Retry-After": "2"} if isinstance(error, BusyError) else {}
        return _response(problem_body(error.code, error.detail, **error.members), retry)
    if isinstance(error, exceptions.ValidationError):
        invalid = InvalidError("Some fields cannot be used; each is listed.", errors=field_problems(error.detail))
        return _response(problem_body(invalid.code, invalid.detail, **invalid.members))
    if isinstance(error, (DjangoValidationError, DataError)):
        log.warning("the database refused a value that parsing let through: %s", error)
        return _response(problem_body("invalid", "A value cannot be kept as it was sent.", errors=[]))
    return _framework_problem(error)


def _framework_problem(error: Exception) -> Response | None:
    if isinstance(error, Http404):
        return _response(problem_body("not-found", "There is nothing at this address."))
    if isinstance(error, (exceptions.NotAuthenticated, exceptions.AuthenticationFailed)):
        detail = str(error.detail) if isinstance(error, exceptions.AuthenticationFailed) else "Sign in first."
        return _response(problem_body("not-signed-in", detail), {"WWW-Authenticate": "Token"})
    if isinstance(error, exceptions.PermissionDenied):
        code = "csrf" if "CSRF" in str(error.detail) else "not-permitted"
        return _response(problem_body(code, str(error.detail)))
    if isinstance(error, PermissionDenied):
        return _response(problem_body("not-permitted", "Your role does not permit this."))
    if isinstance(error, exceptions.MethodNotAllowed):
        return _response(problem_body("method-not-allowed", str(error.detail)))
    if isinstance(error, exceptions.Throttled):
        wait = max(1, math.ceil(getattr(error, "wait", None) or 1))
        return _response(problem_body("too-often", f"Try again in {wait} s."), {"Retry-After": str(wait)})
    if isinstance(error, exceptions.NotAcceptable):
        return _response(problem_body("not-acceptable", str(error.detail)))
    if isinstance(error, exceptions.UnsupportedMediaType):
        return _response(problem_body("not-json", str(error.detail)))
    if isinstance(error, exceptions.ParseError):
        return _response(problem_body("unreadable", str(error.detail)))
    return None  # a defect: Django logs it and answers through server_error


def field_problems(detail: Any, path: str = "") -> list[FieldProblem]:
    """Return every entry of a validation error of any depth, with its dotted path."""
    if isinstance(detail, dict):
        return [
            found
            for name, inner in detail.items()
            for found in field_problems(inner, path if name == "non_field_errors" else _join(path, str(name)))
        ]
    if isinstance(detail, list):
        nested = any(isinstance(item, (dict, list)) for item in detail)
        return [
            found
            for index, item in enumerate(detail)
            for found in field_problems(item, _join(path, str(index)) if nested else path)
        ]
    code = getattr(detail, "code", None) or "invalid"
    return [FieldProblem(field=path, code=str(code), message=str(detail))]


def _join(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name


def _response(body: dict[str, Any], headers: Mapping[str, str] | None = None) -> Response:
    return Response(body, status=body["status"], headers=dict(headers or {}), content_type=PROBLEM_JSON)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Answer Django's own 400: a host name that is not ours, a header that cannot be read."""
    code = "bad-host" if type(exception).__name__ == "DisallowedHost" else "unreadable"
    return problem(code, GENERAL[code][2])


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return problem("not-found", "There is nothing at this address.")


def permission_denied(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return problem("not-permitted", "Your role does not permit this.")


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    return problem("csrf", reason or GENERAL["csrf"][2])


def server_error(request: HttpRequest) -> HttpResponse:
    identity = request.META.get("X_REQUEST_ID", "")
    return problem("defect", f"Tell the owner this request id: {identity}.", request_id=identity)
