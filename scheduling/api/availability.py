"""``GET /availability/``: what can be had, in up to fifty windows at once."""

import hashlib
import re
from collections.abc import Sequence
from datetime import datetime
from urllib.parse import parse_qsl, urlencode

from django.db.models import Q, QuerySet
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from calc.vocabulary import SPEC_KINDS
from inventory.base.api.lists import refuse_unknown_names
from inventory.base.api.shapes import described_by
from inventory.base.api.views import ResourceView
from inventory.base.bounds import LARGEST_ID
from inventory.base.changes import ledger_version
from inventory.base.errors import FieldProblem, InvalidError
from inventory.models import Kit, Spec
from scheduling.models import Event
from scheduling.periods import read_period
from scheduling.promises.decide import Period
from scheduling.selectors.availability import AvailabilityShape, Question, available, changes_by_itself_at

NAMES = ("window", "event", "spec", "kind", "kit", "search", "include", "page")
INCLUDED = ("specs", "kits")
MOST_WINDOWS = 50
MOST_PAGES = 10_000

QUERY = [
    OpenApiParameter("window", OpenApiTypes.STR, many=True, description="ISO 8601 interval; repeats, up to 50."),
    OpenApiParameter("event", OpenApiTypes.INT, many=True, description="The gear times of an event; repeats."),
    OpenApiParameter("spec", OpenApiTypes.INT, many=True, description="Only these specs; repeats."),
    OpenApiParameter("kind", OpenApiTypes.STR, many=True, enum=SPEC_KINDS, description="Only these kinds of spec."),
    OpenApiParameter("kit", OpenApiTypes.INT, many=True, description="Only these kits; repeats."),
    OpenApiParameter("search", OpenApiTypes.STR, description="Words in the name."),
    OpenApiParameter("include", OpenApiTypes.STR, description="Comma list of specs and kits; default specs."),
    OpenApiParameter("page", OpenApiTypes.INT, description="From 'next': 200 rows of each."),
    OpenApiParameter("If-None-Match", OpenApiTypes.STR, OpenApiParameter.HEADER, description="The ETag that is known."),
]


class AvailabilityView(ResourceView):
    """What can be had in each window: counts by spec, and kits with what keeps them."""

    permits = {"GET": "availability.read"}

    @extend_schema(responses={200: described_by(AvailabilityShape)}, parameters=QUERY)
    def get(self, request: Request) -> Response:
        now = timezone.now()
        asked = hashlib.sha256(request.build_absolute_uri().encode()).hexdigest()[:12]
        if known := _still_good(request.headers.get("If-None-Match", ""), asked, now):
            return Response(status=304, headers={"ETag": known})
        question = read_question(request, now)
        answer, more = available(question)
        if more:
            answer["next"] = _next_page(request, question.page)
        tag = _tag(answer["ledger"], asked, changes_by_itself_at(now))
        return Response(answer, headers={"ETag": tag})


def read_question(request: Request, now: datetime) -> Question:
    """Return what is asked.

    Raises:
        InvalidError: a name is unknown, or a value cannot be used; all of them are listed.
    """
    refuse_unknown_names(request.query_params, NAMES)
    query = request.query_params
    problems: list[FieldProblem] = []
    windows = _windows(request, problems)
    spec_ids = _existing(query.getlist("spec"), "spec", Spec.objects.all(), problems)
    kit_ids = _existing(query.getlist("kit"), "kit", Kit.objects.all(), problems)
    included = [name for value in query.getlist("include") or ["specs"] for name in value.split(",")]
    _refuse_others(query.getlist("kind"), "kind", SPEC_KINDS, problems)
    _refuse_others(included, "include", INCLUDED, problems)
    page = _number(query.get("page", "1"), "page", MOST_PAGES, problems) or 1
    if problems:
        raise InvalidError("The query cannot be used as it stands.", errors=problems)
    named = _named(query.get("search", ""))
    specs = Spec.objects.filter(named)
    if spec_ids:
        specs = specs.filter(pk__in=spec_ids)
    if kinds := query.getlist("kind"):
        specs = specs.filter(kind__in=kinds)
    kits = Kit.objects.filter(named)
    if kit_ids:
        kits = kits.filter(pk__in=kit_ids)
    return Question(
        windows=windows,
        specs=specs if "specs" in included else None,
        kits=kits if "kits" in included else None,
        page=page,
        now=now,
    )


def _windows(request: Request, problems: list[FieldProblem]) -> list[Period | int]:
    """Return periods and events in the order asked, whichever of the two names they came under."""
    asked = [
        (name, value)
        for name, value in parse_qsl(request.META.get("QUERY_STRING", ""), keep_blank_values=True)
        if name in {"window", "event"}
    ]
    if not 1 <= len(asked) <= MOST_WINDOWS:
        message = f"Ask for 1 to {MOST_WINDOWS} windows, by window= or event=."
        problems.append(FieldProblem(field="window", code="invalid", message=message))
        return []
    events = [_number(value, "event", LARGEST_ID, problems) for name, value in asked if name == "event"]
    there = set(Event.objects.filter(pk__in=[e for e in events if e is not None]).values_list("pk", flat=True))
    numbers = iter(events)
    found: list[Period | int] = []
    for name, value in asked:
        if name == "window":
            period = read_period(value)
            if isinstance(period, str):
                problems.append(FieldProblem(field="window", code="invalid", message=period))
            else:
                found.append(period)
        elif (event := next(numbers)) in there:
            found.append(event)
        elif event is not None:
            problems.append(FieldProblem(field="event", code="does-not-exist", message=f"There is no event {event}."))
    return found


def _existing(
    values: Sequence[str], field: str, rows: QuerySet[Spec] | QuerySet[Kit], problems: list[FieldProblem]
) -> list[int]:
    ids = [number for value in values if (number := _number(value, field, LARGEST_ID, problems)) is not None]
    missing = set(ids) - set(rows.filter(pk__in=ids).values_list("pk", flat=True)) if ids else set()
    problems += [
        FieldProblem(field=field, code="does-not-exist", message=f"There is no {field} {row_id}.")
        for row_id in sorted(missing)
    ]
    return ids


def _number(text: str, field: str, most: int, problems: list[FieldProblem]) -> int | None:
    if text.isascii() and text.isdecimal() and len(text) <= 19 and 1 <= int(text) <= most:
        return int(text)
    problems.append(FieldProblem(field=field, code="invalid", message=f"Write a whole number from 1 to {most}."))
    return None


def _refuse_others(values: Sequence[str], field: str, known: Sequence[str], problems: list[FieldProblem]) -> None:
    problems += [
        FieldProblem(field=field, code="invalid", message=f"'{value[:40]}' is not one of: {', '.join(known)}.")
        for value in values
        if value not in known
    ]


def _named(search: str) -> Q:
    found = Q()
    for word in search[:200].split():
        found &= Q(name__icontains=word)
    return found


def _next_page(request: Request, page: int) -> str:
    query = [
        (name, value)
        for name, value in parse_qsl(request.META.get("QUERY_STRING", ""), keep_blank_values=True)
        if name != "page"
    ]
    return request.build_absolute_uri(f"{request.path}?{urlencode([*query, ('page', str(page + 1))])}")


def _tag(ledger: int, asked: str, until: datetime | None) -> str:
    """``"<ledger>.<query>.<until>"``: good while nobody writes, and until time alone changes the answer."""
    return f'"{ledger}.{asked}.{"" if until is None else int(until.timestamp())}"'


def _still_good(if_none_match: str, asked: str, now: datetime) -> str | None:
    """Return the reader's own tag if what it stands for would be answered again: one statement."""
    for tag in re.findall(r'"(\d{1,19})\.([0-9a-f]{12})\.(\d{0,12})"', if_none_match):
        ledger, query, until = tag
        if query == asked and (not until or now.timestamp() < int(until)) and ledger_version() == int(ledger):
            return f'"{".".join(tag)}"'
    return None
