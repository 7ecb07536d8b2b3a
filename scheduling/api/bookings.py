"""``/bookings/`` and ``/events/{id}/bookings/``: promise gear to events."""

from collections.abc import Callable, Sequence
from typing import Any, ClassVar, TypedDict

import django_filters
from django.utils import timezone
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.fields import IdField, InstantField, TextField, WholeField
from inventory.base.api.lists import IdFilter, ListFilter, orderings
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import StrictSerializer
from inventory.base.api.shapes import ProblemShape
from inventory.base.api.views import ListView, ResourceView
from inventory.base.bounds import LARGEST_COUNT
from inventory.base.changes import Change
from inventory.base.columns import choices
from inventory.base.errors import DomainError
from scheduling.api.bodies import AcceptanceInput
from scheduling.api.one import one
from scheduling.models import Booking, BookingState
from scheduling.selectors.bookings import (
    BookingShape,
    ExtendedBookingShape,
    NewBookingShape,
    booking_rows,
    show_bookings,
)
from scheduling.selectors.events import event_rows
from scheduling.services import bookings, ordering
from scheduling.services.ordering import LineResult
from scheduling.services.powers import Powers

NEWEST_LAST = orderings("id", "starts_at")
MOST_LINES = 100


class LineInput(StrictSerializer):
    kit = IdField(allow_null=True, required=False)
    unit = IdField(allow_null=True, required=False)
    spec = IdField(allow_null=True, required=False)
    quantity = WholeField(min_value=1, max_value=LARGEST_COUNT, required=False)
    state = serializers.ChoiceField(choices=("pencil", "confirmed"), required=False)
    expires_at = InstantField(allow_null=True, required=False)
    starts_at = InstantField(allow_null=True, required=False)
    ends_at = InstantField(allow_null=True, required=False)
    from_kits = serializers.BooleanField(required=False)
    accept_shortfalls = serializers.BooleanField(required=False)
    bump = serializers.ListField(child=IdField(), max_length=MOST_LINES, required=False)
    reason = TextField(required=False)


class BookingInput(LineInput):
    event = IdField()


class LinesInput(StrictSerializer):
    lines = serializers.ListField(child=LineInput(), min_length=1, max_length=MOST_LINES)
    all_or_nothing = serializers.BooleanField(required=False)


class BookingChange(AcceptanceInput):
    state = serializers.ChoiceField(choices=BookingState.values, required=False)
    starts_at = InstantField(required=False)
    ends_at = InstantField(required=False)
    expires_at = InstantField(required=False)


class LineResultShape(TypedDict):
    """What became of one line: 201 and the booking, or the problem that refused it."""

    status: int
    booking: int | None
    problem: ProblemShape | None


class LinesShape(TypedDict):
    """The bookings that were made, and one result per line, in order."""

    bookings: list[BookingShape]
    results: list[LineResultShape]


class EventBookingFilter(ListFilter):
    search_over: ClassVar[tuple[str, ...]] = ("kit__name", "unit__tag", "spec__name")

    kit = IdFilter()
    unit = IdFilter()
    spec = IdFilter()
    state = django_filters.ChoiceFilter(choices=choices(BookingState))


class BookingFilter(EventBookingFilter):
    search_over = ("event__name", "kit__name", "unit__tag", "spec__name")

    event = IdFilter()


class BookingListView(ListView):
    permits = {"GET": "booking.read", "POST": "booking.book"}
    filter_class = BookingFilter
    orderings = NEWEST_LAST

    @described_list(BookingShape, BookingFilter, NEWEST_LAST)
    def get(self, request: Request) -> Response:
        now = timezone.now()
        return self.list(booking_rows(now), lambda rows: show_bookings(rows, now))

    @described(takes=BookingInput, gives=NewBookingShape, status=201)
    def post(self, request: Request) -> Response:
        given = BookingInput.read(request.data)
        event_id = given.pop("event")

        def book(c: Change) -> tuple[Change, int]:
            return c, ordering.book(c, event_id=event_id, fields=_fields(given), powers=Powers.of(self.user()))

        return self.write(
            book,
            lambda booked: _new_booking(*booked),
            status=201,
            location=lambda body: f"/api/v1/bookings/{body['id']}/",
        )


class EventBookingListView(ListView):
    permits = {"GET": "booking.read", "POST": "booking.book"}
    filter_class = EventBookingFilter
    orderings = NEWEST_LAST

    @described_list(BookingShape, EventBookingFilter, NEWEST_LAST)
    def get(self, request: Request, event_id: int) -> Response:
        one(event_rows(), event_id, list)
        now = timezone.now()
        return self.list(booking_rows(now).filter(event=event_id), lambda rows: show_bookings(rows, now))

    @described(takes=LinesInput, gives=LinesShape, status=201)
    def post(self, request: Request, event_id: int) -> Response:
        given = LinesInput.read(request.data)
        lines = [_fields(line) for line in given["lines"]]
        powers = Powers.of(self.user())

        def book(c: Change) -> list[LineResult]:
            if given.get("all_or_nothing", True):
                made = ordering.book_all(c, event_id=event_id, lines=lines, powers=powers)
                return [LineResult(booking, None) for booking in made]
            return ordering.book_each(c, event_id=event_id, lines=lines, powers=powers)

        return self.write(book, _line_results, status=201, location=lambda _: f"/api/v1/events/{event_id}/bookings/")


class BookingView(ResourceView):
    permits = {"GET": "booking.read", "PATCH": "booking.change"}

    @described(gives=BookingShape)
    def get(self, request: Request, booking_id: int) -> Response:
        return self.read(shown_booking(booking_id))

    @described(takes=BookingChange, gives=ExtendedBookingShape)
    def patch(self, request: Request, booking_id: int) -> Response:
        given: Any = BookingChange.read(request.data)
        return self.write(
            telling(lambda c: bookings.edit_booking(c, booking_id, fields=given, powers=Powers.of(self.user()))),
            lambda c: shown_with_consequences(c, booking_id),
            version=self.version_of(Booking, booking_id),
        )


def shown_booking(booking_id: int) -> BookingShape:
    now = timezone.now()
    return one(booking_rows(now), booking_id, lambda rows: show_bookings(rows, now))


def shown_with_consequences(c: Change, booking_id: int) -> ExtendedBookingShape:
    return {**shown_booking(booking_id), "affected_bookings": c.consequences}


def _new_booking(c: Change, booking_id: int) -> BookingShape:
    return shown_with_consequences(c, booking_id) if c.consequences else shown_booking(booking_id)


def telling(service: Callable[[Change], object]) -> Callable[[Change], Change]:
    """Return the service so that the answer can be rendered from the change, once the followers have run."""

    def run(c: Change) -> Change:
        service(c)
        return c

    return run


def _fields(given: dict[str, Any]) -> Any:
    """Return what was said: a null says nothing here."""
    return {name: value for name, value in given.items() if value is not None}


def _line_results(results: Sequence[LineResult]) -> LinesShape:
    now = timezone.now()
    made = [result.booking for result in results if result.booking is not None]
    return {
        "bookings": show_bookings(list(booking_rows(now).filter(pk__in=made).order_by("id")), now),
        "results": [
            {
                "status": 201 if result.problem is None else result.problem.status,
                "booking": result.booking,
                "problem": None if result.problem is None else _problem(result.problem),
            }
            for result in results
        ],
    }


def _problem(problem: DomainError) -> Any:
    return problem.members | {
        "type": f"/problems/{problem.code}",
        "title": problem.title,
        "status": problem.status,
        "detail": problem.detail,
    }
