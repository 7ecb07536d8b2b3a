"""``/events/``: plan, move, confirm, cancel, close."""

from typing import Any

import django_filters
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from inventory.base.api.fields import IdField, InstantField, TextField
from inventory.base.api.lists import IdFilter, ListFilter, orderings
from inventory.base.api.schema import described, described_list
from inventory.base.api.serializers import EmptyInput, StrictSerializer
from inventory.base.api.views import ListView, ResourceView
from inventory.base.changes import Change
from inventory.base.columns import choices
from scheduling.api.bodies import MOST_BUMPED, NeverLeftInput
from scheduling.api.one import one
from scheduling.models import Event, EventState, PhaseKind
from scheduling.selectors.events import EventShape, MovedEventShape, event_rows, show_events
from scheduling.services import events
from scheduling.services.bumping import bump_of, require_bump, taken_from
from scheduling.services.copying import copy_event
from scheduling.services.events import EventFields, PhaseDraft
from scheduling.services.powers import Powers

MOST_DAYS = 3660
"""How far an event is copied: ten years. [d]"""
IN_TIME = orderings("gear_out_at", "id", "name")


class PhaseInput(StrictSerializer):
    kind = serializers.ChoiceField(choices=PhaseKind.values)
    starts_at = InstantField()
    ends_at = InstantField()


class EventChange(StrictSerializer):
    name = TextField(allow_blank=False, required=False)
    client = TextField(required=False)
    venue = IdField(allow_null=True, required=False)
    state = serializers.ChoiceField(choices=EventState.values, required=False)
    phases = serializers.ListField(child=PhaseInput(), required=False, max_length=100)
    gear_out_at = InstantField(required=False)
    gear_back_at = InstantField(required=False)
    accept_shortfalls = serializers.BooleanField(required=False)
    bump = serializers.ListField(child=IdField(), max_length=MOST_BUMPED, required=False)
    reason = TextField(required=False)


class CloseInput(StrictSerializer):
    ends_now = serializers.BooleanField(required=False)


class CopyInput(StrictSerializer):
    shift_days = serializers.IntegerField(min_value=-MOST_DAYS, max_value=MOST_DAYS)
    name = TextField(allow_blank=False, required=False)
    bookings = serializers.BooleanField(required=False)
    either_or = serializers.BooleanField(required=False)


class EventInput(StrictSerializer):
    name = TextField(allow_blank=False)
    client = TextField(required=False)
    venue = IdField(allow_null=True, required=False)
    state = serializers.ChoiceField(choices=[state.value for state in EventState.open()], required=False)
    phases = serializers.ListField(child=PhaseInput(), required=False, max_length=100)
    gear_out_at = InstantField(required=False)
    gear_back_at = InstantField(required=False)


class EventFilter(ListFilter):
    search_over = ("name", "venue__name")

    state = django_filters.ChoiceFilter(choices=choices(EventState))
    venue = IdFilter()


class EventListView(ListView):
    permits = {"GET": "event.read", "POST": "event.edit"}
    filter_class = EventFilter
    orderings = IN_TIME

    @described_list(EventShape, EventFilter, IN_TIME)
    def get(self, request: Request) -> Response:
        clients = self.user().may("client.read")
        return self.list(event_rows(), lambda rows: show_events(rows, clients=clients))

    @described(takes=EventInput, gives=EventShape, status=201)
    def post(self, request: Request) -> Response:
        given = EventInput.read(request.data)
        return self.write(
            lambda c: events.create_event(c, fields=_fields(given)),
            lambda event_id: shown_event(event_id, clients=self.user().may("client.read")),
            status=201,
            location=lambda body: f"/api/v1/events/{body['id']}/",
        )


class EventView(ResourceView):
    permits = {"GET": "event.read", "PATCH": "event.edit", "DELETE": "event.edit"}

    @described(gives=EventShape)
    def get(self, request: Request, event_id: int) -> Response:
        return self.read(shown_event(event_id, clients=self.user().may("client.read")))

    @described(takes=EventChange, gives=MovedEventShape)
    def patch(self, request: Request, event_id: int) -> Response:
        given = EventChange.read(request.data)
        accepted = given.pop("accept_shortfalls", False)
        bump = bump_of(given.pop("bump", None), given.pop("reason", None))

        def edit(c: Change) -> Change:
            require_bump(bump, Powers.of(self.user()))
            pushes = taken_from(c, bump)
            events.edit_event(c, event_id, fields=_fields(given), accept_shortfalls=accepted, pushes=pushes)
            return c

        return self.write(
            edit,
            lambda c: moved_event(c, event_id, clients=self.user().may("client.read")),
            version=self.version_of(Event, event_id),
        )

    @described(status=204)
    def delete(self, request: Request, event_id: int) -> Response:
        return self.write(
            lambda c: events.delete_event(c, event_id),
            lambda _: None,
            status=204,
            version=self.version_of(Event, event_id),
        )


class EventStateView(ResourceView):
    """Base of the verbs that bring an event into a state."""

    permits = {"POST": "event.edit"}

    def bring(self, event_id: int, state: EventState, **given: bool) -> Response:
        def change_state(c: Change) -> Change:
            events.change_event_state(c, event_id, state=state, **given)
            return c

        return self.write(
            change_state,
            lambda c: moved_event(c, event_id, clients=self.user().may("client.read")),
            version=self.version_of(Event, event_id),
        )


class EventConfirmView(EventStateView):
    @described(takes=EmptyInput, gives=MovedEventShape)
    def post(self, request: Request, event_id: int) -> Response:
        EmptyInput.read(request.data)
        return self.bring(event_id, EventState.CONFIRMED)


class EventCancelView(EventStateView):
    @described(takes=NeverLeftInput, gives=MovedEventShape)
    def post(self, request: Request, event_id: int) -> Response:
        return self.bring(event_id, EventState.CANCELLED, **NeverLeftInput.read(request.data))


class EventCloseView(EventStateView):
    @described(takes=CloseInput, gives=MovedEventShape)
    def post(self, request: Request, event_id: int) -> Response:
        return self.bring(event_id, EventState.CLOSED, **CloseInput.read(request.data))


class EventCopyView(ResourceView):
    permits = {"POST": "event.edit"}

    @described(takes=CopyInput, gives=EventShape, status=201)
    def post(self, request: Request, event_id: int) -> Response:
        given = CopyInput.read(request.data)
        return self.write(
            lambda c: copy_event(
                c,
                event_id,
                shift_days=given["shift_days"],
                name=given.get("name"),
                with_bookings=given.get("bookings", True),
                either_or=given.get("either_or", False),
            ),
            lambda copied: shown_event(copied, clients=self.user().may("client.read")),
            status=201,
            location=lambda body: f"/api/v1/events/{body['id']}/",
        )


def shown_event(event_id: int, *, clients: bool) -> EventShape:
    return one(event_rows(), event_id, lambda rows: show_events(rows, clients=clients))


def moved_event(c: Change, event_id: int, *, clients: bool) -> MovedEventShape:
    return {**shown_event(event_id, clients=clients), "affected_bookings": c.consequences}


def _fields(given: dict[str, Any]) -> EventFields:
    fields: Any = dict(given)
    if "phases" in given:
        fields["phases"] = [PhaseDraft(**phase) for phase in given["phases"]]
    checked: EventFields = fields
    return checked
