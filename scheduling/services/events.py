"""Events: plan, move, confirm, cancel, close, remove."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import QuerySet

from inventory.base.changes import Change
from inventory.base.errors import FieldProblem, HeldByHistoryError, InvalidError
from inventory.services.fetching import row_at, row_named
from scheduling.errors import DateTakenError, WrongStateError
from scheduling.models import Booking, BookingState, Event, EventState, Phase, Venue
from scheduling.promises.decide import END, MOVE
from scheduling.promises.verbs import allocate_bookings, release_bookings
from scheduling.rows import live, not_cancelled
from scheduling.services.stages import require_event_verb, require_nothing_out


@dataclass(frozen=True, slots=True)
class PhaseDraft:
    kind: str
    starts_at: datetime
    ends_at: datetime


class EventFields(TypedDict, total=False):
    """What of an event is set; a field that is absent stays as it is."""

    name: str
    client: str
    state: str
    venue: int | None
    phases: Sequence[PhaseDraft]
    gear_out_at: datetime
    gear_back_at: datetime


def create_event(c: Change, *, fields: EventFields) -> int:
    """Plan an event and return its id. Gear times that are not given are those of its phases.

    Raises:
        InvalidError: no phases and not both gear times, a reversed period, or no such venue.
    """
    phases = fields.get("phases", ())
    _require_phases_in_order(phases)
    event = Event(state=fields.get("state", EventState.ENQUIRY), **_columns(fields))
    event.gear_out_at, event.gear_back_at = _gear_times(fields, phases)
    event.save()
    _write_phases(event, phases)
    c.touch("event", event.pk)
    c.record("event", event.pk, "create", event.name)
    return event.pk


def edit_event(
    c: Change,
    event_id: int,
    *,
    fields: EventFields,
    accept_shortfalls: bool = False,
    pushes: Collection[int] = (),
) -> int:
    """Change what ``fields`` names. When the gear times move, the bookings that follow the event move with it.

    From the bookings of others in ``pushes`` gear may be taken for that, unless it is out.

    Raises:
        NotFoundError: there is no such event.
        InvalidError: a reversed period, or no such venue.
        WrongStateError: the event is over, or cannot go to that state.
        ClaimConflictError, NotEnoughError: what is booked cannot be had then; everything in the way is listed.
    """
    event = row_at(Event, event_id)
    before = event.gear_out_at, event.gear_back_at
    for name, value in _columns(fields).items():
        setattr(event, name, value)
    if "phases" in fields:
        _require_phases_in_order(fields["phases"])
    event.gear_out_at, event.gear_back_at = _moved_gear_times(event, fields)
    event.version += 1
    event.save()
    if "phases" in fields:
        event.phases.all().delete()
        _write_phases(event, fields["phases"])
    if (event.gear_out_at, event.gear_back_at) != before:
        _require_open(event, "its times stay")
        _move_bookings(c, event, accept_shortfalls=accept_shortfalls, pushes=pushes)
    c.touch("event", event.pk)
    c.record("event", event.pk, "edit", event.name, fields=sorted(fields))
    if (state := fields.get("state", event.state)) != event.state:
        return change_event_state(c, event_id, state=state)
    return event.pk


def change_event_state(
    c: Change, event_id: int, *, state: str, never_left: bool = False, ends_now: bool = False
) -> int:
    """Confirm, close or cancel an event.

    Confirming one of several dates cancels the others. Cancelling cancels the bookings that are not over. Closing gives
    up the bookings that have not begun.

    Raises:
        NotFoundError: there is no such event.
        WrongStateError: its state does not allow that.
        DateTakenError: another of its dates is confirmed already.
        StillOutError: gear of it is out, unless it never left or, to close it, is back now.
    """
    event = row_at(Event, event_id)
    require_event_verb(event, state)
    if state == EventState.CONFIRMED:
        _cancel_other_dates(c, event)
    elif not (never_left or (ends_now and state == EventState.CLOSED)):
        require_nothing_out(c, _bookings_not_over(c, event).values_list("pk", flat=True))
    event.state = state
    event.version += 1
    event.save()
    if state == EventState.CLOSED and ends_now:
        _end_bookings_now(c, list(_bookings_not_over(c, event).filter(starts_at__lt=c.now)))
    if state != EventState.CONFIRMED:
        _cancel_bookings(c, event)
    c.touch("event", event.pk)
    c.record("event", event.pk, state, event.name)
    return event.pk


def delete_event(c: Change, event_id: int) -> None:
    """Remove an event that nothing was booked for.

    Raises:
        NotFoundError: there is no such event.
        HeldByHistoryError: bookings refer to it.
    """
    event = row_at(Event, event_id)
    bookings = list(event.bookings.order_by("pk").values_list("pk", flat=True)[:100])
    if bookings:
        raise HeldByHistoryError(
            f"{event.name} has bookings. Cancel it instead.", held_by=["bookings"], bookings=bookings
        )
    c.record("event", event.pk, "delete", event.name)
    event.delete()


def _columns(fields: EventFields) -> dict[str, Any]:
    columns: dict[str, Any] = {name: fields[name] for name in ("name", "client") if name in fields}
    if "venue" in fields:
        venue = fields["venue"]
        columns["venue_id"] = None if venue is None else row_named(Venue, venue, "venue").pk
    return columns


def _require_phases_in_order(phases: Sequence[PhaseDraft]) -> None:
    problems = [
        FieldProblem(field=f"phases.{number}.ends_at", code="invalid", message="A phase ends after it starts.")
        for number, phase in enumerate(phases)
        if phase.ends_at <= phase.starts_at
    ]
    if problems:
        raise InvalidError("Some phases end before they start.", errors=problems)


def _gear_times(fields: EventFields, phases: Sequence[PhaseDraft]) -> tuple[datetime, datetime]:
    hull = _hull(phases)
    out, back = fields.get("gear_out_at"), fields.get("gear_back_at")
    if hull is not None:
        out, back = out or hull[0], back or hull[1]
    if out is None or back is None:
        raise InvalidError(
            "Say when: give phases, or both gear times.",
            errors=[
                FieldProblem(field=name, code="required", message="Give phases, or both gear_out_at and gear_back_at.")
                for name in ("phases", "gear_out_at", "gear_back_at")
            ],
        )
    return _in_order(out, back)


def _moved_gear_times(event: Event, fields: EventFields) -> tuple[datetime, datetime]:
    """Return the gear times after an edit: given ones, else as far from the phases as they were before."""
    out, back = event.gear_out_at, event.gear_back_at
    old, new = _hull(_drafts(event)), _hull(fields.get("phases", ()))
    if old is not None and new is not None:
        out, back = out + (new[0] - old[0]), back + (new[1] - old[1])
    return _in_order(fields.get("gear_out_at", out), fields.get("gear_back_at", back))


def _in_order(out: datetime, back: datetime) -> tuple[datetime, datetime]:
    if back <= out:
        raise InvalidError.of_field("gear_back_at", "Gear comes back after it went out.")
    return out, back


def _hull(phases: Sequence[PhaseDraft]) -> tuple[datetime, datetime] | None:
    if not phases:
        return None
    return min(phase.starts_at for phase in phases), max(phase.ends_at for phase in phases)


def _drafts(event: Event) -> list[PhaseDraft]:
    return [PhaseDraft(phase.kind, phase.starts_at, phase.ends_at) for phase in event.phases.all()]


def _write_phases(event: Event, phases: Sequence[PhaseDraft]) -> None:
    Phase.objects.bulk_create(
        Phase(event=event, kind=phase.kind, starts_at=phase.starts_at, ends_at=phase.ends_at) for phase in phases
    )


def require_takes_bookings(event: Event) -> None:
    """Refuse an event that gear cannot be booked for any more.

    Raises:
        WrongStateError: it is closed or cancelled.
    """
    _require_open(event, "nothing is booked for it any more")


def _require_open(event: Event, otherwise: str) -> None:
    if event.state not in EventState.open():
        raise WrongStateError(f"{event.name} is {event.state}: {otherwise}.", state=event.state)


def _move_bookings(c: Change, event: Event, *, accept_shortfalls: bool, pushes: Collection[int]) -> None:
    following = list(Booking.objects.filter(live(c.now), event=event, follows_event=True).order_by("pk"))
    if not following:
        return
    for booking in following:
        booking.starts_at, booking.ends_at = event.gear_out_at, event.gear_back_at
        booking.version += 1
    Booking.objects.bulk_update(following, ["starts_at", "ends_at", "version"])
    accepting = {booking.pk for booking in following} if accept_shortfalls else ()
    allocate_bookings(c, following, MOVE, accepting=accepting, pushes=pushes)
    for booking in following:
        c.record("booking", booking.pk, "move", event.name)


def _cancel_other_dates(c: Change, event: Event) -> None:
    if event.either_or_id is None:
        return
    others = Event.objects.filter(either_or=event.either_or_id).exclude(pk=event.pk).order_by("pk")
    if taken := others.filter(state__in=[EventState.CONFIRMED, EventState.CLOSED]).first():
        raise DateTakenError(
            f"{taken.name} is confirmed already, and only one of these dates is taken.", event=taken.pk
        )
    for other in others.filter(state=EventState.ENQUIRY):
        change_event_state(c, other.pk, state=EventState.CANCELLED)


def _bookings_not_over(c: Change, event: Event) -> QuerySet[Booking]:
    return Booking.objects.filter(not_cancelled(), event=event, ends_at__gt=c.now).order_by("pk")


def _end_bookings_now(c: Change, bookings: Sequence[Booking]) -> None:
    """End bookings whose gear is back before its time; others may have it from now on."""
    for booking in bookings:
        booking.ends_at = c.now
        booking.follows_event = False
        booking.version += 1
    Booking.objects.bulk_update(bookings, ["ends_at", "follows_event", "version"])
    allocate_bookings(c, bookings, END)


def _cancel_bookings(c: Change, event: Event) -> None:
    cancelled = list(_bookings_not_over(c, event))
    for booking in cancelled:
        booking.state = BookingState.CANCELLED
        booking.version += 1
        c.record("booking", booking.pk, "cancel", event.name)
    Booking.objects.bulk_update(cancelled, ["state", "version"])
    release_bookings(c, [booking.pk for booking in cancelled])
