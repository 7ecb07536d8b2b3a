"""Every error of the interface as a problem document (RFC 9457), never HTML, never a trace; of a page, as a page."""

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

from inventory.base.errors import BusyError, DomainError, FieldProblem, InvalidError
from inventory.base.problems import GENERAL, problem_type
from web import refusals

log = logging.getLogger(__name__)

PROBLEM_JSON = "application/problem+json"


def problem_body(code: str, detail: str, **members: Any) -> dict[str, Any]:
    """Return the document; ``type`` is the path of the page that explains it."""
    kind = problem_type(code)
    return members | {"type": f"/problems/{code}", "title": kind.title, "status": kind.status, "detail": detail}


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
    return problem(code, GENERAL[code].advice)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    if _is_interface(request):
        return problem("not-found", "There is nothing at this address.")
    said = str(exception.args[0]) if isinstance(exception, Http404) and exception.args else ""
    detail = said if said and not said.startswith("{") else "There is nothing at this address."
    return refusals.refusal(request, problem_type("not-found"), detail=detail)


def permission_denied(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    if _is_interface(request):
        return problem("not-permitted", "Your role does not permit this.")
    return refusals.refusal(request, GENERAL["not-permitted"])


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    if _is_interface(request):
        return problem("csrf", reason or GENERAL["csrf"].advice)
    return refusals.out_of_date(request, GENERAL["csrf"], reason=reason)


def server_error(request: HttpRequest) -> HttpResponse:
    identity = request.META.get("X_REQUEST_ID", "")
    if _is_interface(request):
        return problem("defect", f"Tell the owner this request id: {identity}.", request_id=identity)
    return refusals.broken(request, GENERAL["defect"], request_id=identity)


def _is_interface(request: HttpRequest) -> bool:
    """Programs get problem documents; at every other address somebody looks at a page."""
    return request.path.startswith("/api/")
