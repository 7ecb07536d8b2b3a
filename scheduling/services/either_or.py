"""Several dates for one show, of which one will be taken."""

from collections.abc import Collection

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.services.fetching import row_at
from scheduling.errors import WrongStateError
from scheduling.models import Booking, BookingState, EitherOr, Event, EventState


def tie_dates(c: Change, *, name: str, event_ids: Collection[int]) -> int:
    """Make enquiries the dates of one choice, and return its id. Confirming one of them then cancels the others.

    Raises:
        InvalidError: fewer than two events, or one that does not exist.
        WrongStateError: one is no enquiry, is tied already, or has confirmed bookings.
    """
    ids = sorted(set(event_ids))
    if len(ids) < 2:
        raise InvalidError.of_field("events", "Name at least two events: a choice of one is none.")
    events = list(Event.objects.filter(pk__in=ids).order_by("pk"))
    if missing := set(ids) - {event.pk for event in events}:
        raise InvalidError.of_field("events", f"There is no event {min(missing)}.")
    for event in events:
        if event.state != EventState.ENQUIRY or event.either_or_id is not None:
            state = "one of other dates" if event.either_or_id is not None else event.state
            raise WrongStateError(
                f"{event.name} is {state}: only enquiries are dates to choose from.", state=event.state
            )
    firm = Booking.objects.filter(event__in=ids, state=BookingState.CONFIRMED).select_related("event").first()
    if firm is not None:
        raise WrongStateError(
            f"{firm.event.name} has a confirmed booking. Loosen it first: the gear of a possible date is pencilled.",
            state=firm.state,
            booking=firm.pk,
        )
    choice = EitherOr.objects.create(name=name)
    for event in events:
        event.either_or = choice
        event.version += 1
        event.save()
        c.touch("event", event.pk)
    c.record("either-or", choice.pk, "create", name, events=ids)
    return choice.pk


def add_date(c: Change, event_id: int, other_id: int) -> None:
    """Make an enquiry a further date of the choice that an event is one of; without one, the two are a new choice.

    Raises:
        WrongStateError: the event is no enquiry, or has confirmed bookings.
    """
    event = row_at(Event, event_id)
    if event.either_or_id is None:
        tie_dates(c, name=event.name, event_ids=[event_id, other_id])
        return
    if event.state != EventState.ENQUIRY:
        raise WrongStateError(
            f"{event.name} is {event.state}: only enquiries are dates to choose from.", state=event.state
        )
    other = row_at(Event, other_id)
    other.either_or_id = event.either_or_id
    other.version += 1
    other.save()


def untie_dates(c: Change, choice_id: int) -> None:
    """Let the events of a choice be events of their own again.

    Raises:
        NotFoundError: there is no such choice.
    """
    choice = row_at(EitherOr, choice_id)
    for event in choice.events.all():
        event.either_or = None
        event.version += 1
        event.save()
        c.touch("event", event.pk)
    c.record("either-or", choice.pk, "delete", choice.name)
    choice.delete()
