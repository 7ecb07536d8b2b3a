"""List pages: an allow-list of filters and orderings, a cursor, 100 rows; whatever is not known is refused by name."""

from collections.abc import Iterable, Mapping
from typing import Any, ClassVar

import django_filters
from django.db.models import Q, QuerySet
from django.http import QueryDict
from rest_framework.exceptions import NotFound
from rest_framework.pagination import CursorPagination
from rest_framework.request import Request
from rest_framework.views import APIView

from inventory.base.bounds import LARGEST_ID
from inventory.base.errors import FieldProblem, InvalidError

PAGE_SIZE = 100


class IdFilter(django_filters.NumberFilter):  # type: ignore[misc]  # no types are published
    """Filter by the id of a row; a number that no id can be is refused and not passed to the database."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, min_value=1, max_value=LARGEST_ID, decimal_places=0, **kwargs)


class YesNoFilter(django_filters.TypedChoiceFilter):  # type: ignore[misc]  # no types are published
    """Filter by ``true`` or ``false`` (or with a capital); any other word is refused, not taken for "do not filter"."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        words = [(word, word) for word in ("true", "false", "True", "False")]
        super().__init__(*args, choices=words, coerce=lambda text: text.lower() == "true", **kwargs)


class ListFilter(django_filters.FilterSet):  # type: ignore[misc]  # no types are published
    """Base of the filters; ``search_over`` names the columns that ``?search=`` looks into."""

    search_over: ClassVar[tuple[str, ...]] = ()

    search = django_filters.CharFilter(method="filter_search", max_length=200)

    def filter_search(self, queryset: QuerySet[Any], _name: str, value: str) -> QuerySet[Any]:
        for word in value.split():
            found = Q()
            for column in self.search_over:
                found |= Q(**{f"{column}__icontains": word})
            queryset = queryset.filter(found)
        return queryset


def refuse_unknown_names(query: QueryDict, known: Iterable[str]) -> None:
    """Raise unless every name in the query is known and every value is text that a database can hold.

    Raises:
        InvalidError: names all that are not known.
    """
    allowed = sorted(known)
    problems = [
        FieldProblem(
            field=name, code="unknown-filter", message=f"There is no such filter. Known: {', '.join(allowed)}."
        )
        for name in query
        if name not in allowed
    ]
    problems += [
        FieldProblem(field=name, code="invalid", message="Text must not contain the NUL character.")
        for name, values in query.lists()
        if name in allowed and any("\x00" in value for value in values)
    ]
    if problems:
        raise InvalidError("The query cannot be used as it stands.", errors=problems)


def filtered(queryset: QuerySet[Any], filter_class: type[ListFilter], query: QueryDict) -> QuerySet[Any]:
    """Return the rows that the query asks for.

    Raises:
        InvalidError: a filter is unknown or its value cannot be used.
    """
    refuse_unknown_names(query, {*filter_class.base_filters, "cursor", "ordering"})
    filters = filter_class(query, queryset=queryset)
    if not filters.is_valid():
        problems = [
            FieldProblem(field=name, code="invalid", message=" ".join(str(message) for message in messages))
            for name, messages in filters.errors.items()
        ]
        raise InvalidError("The query cannot be used as it stands.", errors=problems)
    rows: QuerySet[Any] = filters.qs
    return rows


class Pages(CursorPagination):
    """Cursor pages: stable while rows come and go."""

    page_size = PAGE_SIZE

    def __init__(self, orderings: Mapping[str, tuple[str, ...]]) -> None:
        super().__init__()
        self.orderings = orderings

    def get_ordering(self, request: Request, queryset: QuerySet[Any], view: APIView) -> tuple[str, ...]:
        asked = request.query_params.get("ordering")
        if asked is None:
            return next(iter(self.orderings.values()))
        if asked not in self.orderings:
            raise InvalidError.of_field("ordering", f"Order by one of: {', '.join(self.orderings)}.")
        return self.orderings[asked]

    def cut(self, queryset: QuerySet[Any], request: Request, view: APIView) -> tuple[list[Any], dict[str, Any]]:
        """Return the rows of the page, and the envelope that still lacks its ``results``."""
        try:
            rows = self.paginate_queryset(queryset, request, view) or []
        except NotFound as error:
            raise InvalidError.of_field("cursor", "Follow 'next' and 'previous' as they were given.") from error
        return list(rows), {"next": self.get_next_link(), "previous": self.get_previous_link()}


def orderings(*names: str) -> dict[str, tuple[str, ...]]:
    """Return an allow-list: each name both ways, tied by id; the first is the default."""
    allowed: dict[str, tuple[str, ...]] = {}
    for name in names:
        allowed[name] = (name,) if name == "id" else (name, "id")
        allowed["-" + name] = ("-" + name,) if name == "id" else ("-" + name, "-id")
    return allowed
