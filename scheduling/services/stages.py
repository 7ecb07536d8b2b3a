"""Refuse verbs that a booking or an event is not at the stage for, and say which ones it is at the stage for."""

from collections.abc import Collection

from inventory.base.changes import Change
from scheduling.errors import PencilExpiredError, StillOutError, WrongStateError
from scheduling.models import Booking, BookingState, Claim, Event
from scheduling.rows import has_expired, out
from scheduling.verbs import BOOKING_VERBS, EVENT_VERBS, Stage, legal_verbs, verb_named


def require_verb(c: Change, booking: Booking, name: str) -> None:
    """Refuse a verb that is not for the stage of the booking.

    Raises:
        PencilExpiredError: it is for pencils, and this one has expired.
        StillOutError: it is for confirmed bookings, and the gear of this one is out.
        WrongStateError: it is not for that stage.
    """
    verb, stage = verb_named(BOOKING_VERBS, name), stage_of(c, booking)
    if stage in verb.stages:
        return
    legal = legal_verbs(BOOKING_VERBS, stage)
    if stage is Stage.EXPIRED and Stage.PENCIL in verb.stages:
        raise PencilExpiredError("The pencil has expired.", expires_at=booking.expires_at, legal=legal)
    if stage is Stage.OUT and Stage.CONFIRMED in verb.stages:
        require_nothing_out(c, [booking.pk])
    raise WrongStateError(_refusal("booking", stage, name, legal), state=booking.state, legal=legal)


def require_event_verb(event: Event, state: str) -> None:
    """Refuse to bring an event into a state that no verb leads to from where it is.

    Raises:
        WrongStateError: there is no such verb.
    """
    stage = Stage(event.state)
    if not any(verb.to == state and stage in verb.stages for verb in EVENT_VERBS):
        legal = legal_verbs(EVENT_VERBS, stage)
        can = f"It can be used with: {', '.join(legal)}."
        raise WrongStateError(
            f"{event.name} is {event.state} and cannot become {state}. {can}", state=event.state, legal=legal
        )


def stage_of(c: Change, booking: Booking) -> Stage:
    """Return the stage of a booking; one statement where it is confirmed."""
    if has_expired(booking, c.now):
        return Stage.EXPIRED
    if booking.state == BookingState.CONFIRMED and tags_out(c, [booking.pk]):
        return Stage.OUT
    return Stage(booking.state)


def tags_out(c: Change, bookings: Collection[int]) -> list[str]:
    """Return the tags of the units that are out with bookings."""
    claims = Claim.objects.filter(out(c.now), booking__in=bookings).order_by("unit__tag")
    return list(claims.values_list("unit__tag", flat=True))


def require_nothing_out(c: Change, bookings: Collection[int]) -> None:
    """Refuse to give up bookings whose units are out.

    Raises:
        StillOutError: some are; it names them.
    """
    if tags := tags_out(c, bookings):
        named = ", ".join(tags[:5]) + (f" and {len(tags) - 5} more" if len(tags) > 5 else "")
        raise StillOutError(f"Still out: {named}.", tags=tags)


def _refusal(noun: str, stage: Stage, verb: str, legal: list[str]) -> str:
    can = f"It can be used with: {', '.join(legal)}." if legal else "Nothing can be done with it any more."
    return f"The {noun} is {stage}, which {verb} is not for. {can}"
