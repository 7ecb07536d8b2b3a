"""How a view tells the OpenAPI document what it takes and gives."""

from collections.abc import Callable, Iterable
from typing import Any, Literal, TypeVar

import django_filters
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework import serializers

from inventory.base.api.lists import IdFilter, ListFilter, YesNoFilter
from inventory.base.api.shapes import ProblemShape, described_by, page_of

Method = TypeVar("Method", bound=Callable[..., Any])

PROBLEM_JSON = "application/problem+json"
JSON = "application/json"
ALWAYS = (400, 401, 403, 404, 429)
ON_WRITING = (409, 412, 413, 415, 422, 503)


class Schema(AutoSchema):
    """Describes problems for every operation, beside what the view itself says."""

    def get_tags(self) -> list[str]:
        tokens = [token for token in self.path.split("/") if token and "{" not in token]
        return [tokens[2]] if len(tokens) > 2 else ["root"]

    def get_operation_id(self) -> str:
        """Return the method and what it is done to: ``get_kits``, ``get_kit_by_id`` and so on, by the address alone."""
        tokens = [token for token in self.path.split("/") if token][2:]
        words = ["by_id" if token.startswith("{") else token.replace("-", "_") for token in tokens]
        return "_".join([self.method.lower(), *words])

    def _get_response_bodies(self, direction: Literal["request", "response"] = "response") -> dict[str, Any]:
        bodies: dict[str, Any] = super()._get_response_bodies(direction)
        writing = self.method not in {"GET", "HEAD"}
        for status in (*ALWAYS, *(ON_WRITING if writing else ())):
            problem = OpenApiResponse(described_by(ProblemShape), description="A problem document (RFC 9457).")
            bodies.setdefault(
                str(status),
                self._get_response_for_code(  # type: ignore[no-untyped-call]
                    problem, str(status), media_types=[PROBLEM_JSON], direction=direction
                ),
            )
        return bodies


def described(
    *,
    takes: type[serializers.Serializer[Any]] | None = None,
    gives: Any = None,
    status: int = 200,
    query: Iterable[OpenApiParameter] = (),
    keyed: bool = True,
) -> Callable[[Method], Method]:
    """Describe one operation on one thing.

    Args:
        takes: The serializer that parses the body, or None.
        gives: The TypedDict of the answer, or None for an empty answer.
        status: The status of success.
        query: Query parameters of its own.
        keyed: Whether a POST takes an Idempotency-Key.
    """

    def decorate(method: Method) -> Method:
        parameters = [*query]
        if method.__name__ == "get":
            parameters.append(_header("If-None-Match", "The ETag that the reader has."))
        else:
            parameters.append(OpenApiParameter("dry_run", OpenApiTypes.BOOL, description="Decide, write nothing."))
            if method.__name__ in {"patch", "put", "delete"}:
                parameters.append(_header("If-Match", "The ETag that the edit was made from."))
            if method.__name__ == "post" and keyed:
                parameters.append(_header("Idempotency-Key", "1 to 255 visible characters."))
        answer = described_by(gives) if gives is not None else OpenApiResponse(description="Done.")
        decorator = extend_schema(request=takes, responses={status: answer}, parameters=parameters)
        return decorator(method)

    return decorate


def described_list(
    shape: Any, filter_class: type[ListFilter] | None = None, orderings: Iterable[str] = ()
) -> Callable[[Method], Method]:
    """Describe a list page: its rows, its filters and its orderings. Without filters it is one page, whole."""
    if filter_class is None:
        return extend_schema(responses={200: page_of(shape)})
    parameters = [
        OpenApiParameter("cursor", OpenApiTypes.STR, description="From 'next' or 'previous'."),
        OpenApiParameter("ordering", OpenApiTypes.STR, enum=list(orderings)),
        *(_filter_parameter(name, field) for name, field in filter_class.base_filters.items()),
    ]
    return extend_schema(responses={200: page_of(shape)}, parameters=parameters)


def _filter_parameter(name: str, field: django_filters.Filter) -> OpenApiParameter:
    if isinstance(field, YesNoFilter):
        return OpenApiParameter(name, OpenApiTypes.BOOL)
    choices = getattr(field, "extra", {}).get("choices")
    if isinstance(field, django_filters.ChoiceFilter) and choices:
        return OpenApiParameter(name, OpenApiTypes.STR, enum=[value for value, _ in choices])
    if isinstance(field, IdFilter):
        return OpenApiParameter(name, OpenApiTypes.INT)
    if isinstance(field, django_filters.NumberFilter):
        return OpenApiParameter(name, OpenApiTypes.NUMBER)
    return OpenApiParameter(name, OpenApiTypes.STR)


def _header(name: str, description: str) -> OpenApiParameter:
    return OpenApiParameter(name, OpenApiTypes.STR, OpenApiParameter.HEADER, description=description)
