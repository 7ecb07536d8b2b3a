"""Bookings: book, confirm, cancel, extend."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, TypedDict

from django.db import transaction

from inventory.base.changes import Change
from inventory.base.errors import DomainError, FieldProblem, InvalidError
from inventory.base.models import User
from inventory.models import Kit, Spec, Unit
from inventory.rows import has_case
from inventory.services.fetching import row_at, row_named
from scheduling.errors import ClaimConflictError, DraftKitError, NotYoursError, PencilExpiredError, WrongStateError
from scheduling.models import BOOKING_MOVES, Booking, BookingState, Event
from scheduling.promises.apply import release_expired_claims
from scheduling.promises.decide import BOOK, CONFIRM, EXTEND
from scheduling.promises.verbs import allocate_bookings, release_bookings
from scheduling.rows import has_expired
from scheduling.services.events import require_takes_bookings

PENCIL_LASTS = timedelta(days=14)


@dataclass(frozen=True, slots=True, kw_only=True)
class Powers:
    """What the asker's role lets them do to promises, beyond making and changing their own."""

    others: bool = False
    """Change what somebody else has booked."""
    shortfalls: bool = False
    """Accept shortfalls, one's own or those that fall on a rival."""

    @classmethod
    def of(cls, user: User) -> "Powers":
        """Return what the user's role allows."""
        return cls(others=user.may("booking.change-others"), shortfalls=user.may("booking.accept-shortfalls"))


class BookingFields(TypedDict, total=False):
    """What a booking is asked with; exactly one of kit, unit and spec."""

    kit: int
    unit: int
    spec: int
    quantity: int
    state: str
    expires_at: datetime
    starts_at: datetime
    ends_at: datetime
    from_kits: bool
    accept_shortfalls: bool


@dataclass(frozen=True, slots=True)
class LineResult:
    """What became of one line: a booking, or the problem that refused it."""

    booking: int | None
    problem: DomainError | None


def book(c: Change, *, event_id: int, fields: BookingFields, powers: Powers) -> int:
    """Book a kit, a unit or a number of a spec for an event, and return the booking's id.

    Raises:
        InvalidError: something that is named does not exist, or the fields do not go together.
        WrongStateError: the event is over.
        DraftKitError: the kit has no case.
        ClaimConflictError, NotEnoughError, ClaimUndecidedError: something needed cannot be had.
        NotYoursError: accepting shortfalls is not for this role.
    """
    event = row_named(Event, event_id, "event")
    require_takes_bookings(event)
    booking = _create_row(c, event, fields, powers)
    allocate_bookings(c, [booking], BOOK, accepting=_accepting([booking], [fields]))
    c.record("booking", booking.pk, "book", event.name, state=booking.state)
    return booking.pk


def book_all(c: Change, *, event_id: int, lines: Sequence[BookingFields], powers: Powers) -> list[int]:
    """Book several lines for an event, all of them or none, and return their ids in order.

    Raises:
        DomainError: as for one; everything that is in the way of any line is listed.
    """
    event = row_at(Event, event_id)
    require_takes_bookings(event)
    bookings = [_create_row(c, event, fields, powers, path=f"lines.{n}.") for n, fields in enumerate(lines)]
    try:
        allocate_bookings(c, bookings, BOOK, accepting=_accepting(bookings, lines))
    except ClaimConflictError as problem:
        _name_lines(problem, bookings)
        raise
    for booking in bookings:
        c.record("booking", booking.pk, "book", event.name, state=booking.state)
    return [booking.pk for booking in bookings]


def book_each(c: Change, *, event_id: int, lines: Sequence[BookingFields], powers: Powers) -> list[LineResult]:
    """Book several lines for an event, each for itself, and return what became of each."""
    row_at(Event, event_id)
    results = []
    for fields in lines:
        try:
            with transaction.atomic():
                results.append(LineResult(book(c, event_id=event_id, fields=fields, powers=powers), None))
        except DomainError as problem:
            results.append(LineResult(None, problem))
    return results


def confirm(c: Change, booking_id: int, *, accept_shortfalls: bool = False, powers: Powers) -> int:
    """Make a pencil firm; its units are chosen anew where somebody else has taken them firmly in the meantime.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, PencilExpiredError: it is not a pencil, or not any more.
        DraftKitError: the kit has lost its case.
        ClaimConflictError, NotEnoughError, ClaimUndecidedError: something needed cannot be had.
    """
    booking = _own_booking(c, booking_id, powers)
    _require_may_accept_shortfalls(accept_shortfalls, powers)
    require_not_expired(c, booking)
    _set_state(booking, BookingState.CONFIRMED)
    if booking.kit_id is not None:
        _require_case(booking.kit_id, booking.kit.name if booking.kit else "")
    booking.version += 1
    booking.save()
    allocate_bookings(c, [booking], CONFIRM, accepting=[booking.pk] if accept_shortfalls else ())
    c.record("booking", booking.pk, "confirm", booking.event.name)
    return booking.pk


def cancel(c: Change, booking_id: int, *, powers: Powers) -> int:
    """Give a booking up: its claims are released, its shortfalls closed; it stays as history.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError: it is cancelled already.
    """
    booking = _own_booking(c, booking_id, powers)
    _set_state(booking, BookingState.CANCELLED)
    booking.version += 1
    booking.save()
    release_bookings(c, [booking.pk])
    c.record("booking", booking.pk, "cancel", booking.event.name)
    return booking.pk


def extend(
    c: Change,
    booking_id: int,
    *,
    ends_at: datetime | None,
    starts_at: datetime | None = None,
    accept_shortfalls: bool = False,
    powers: Powers,
) -> int:
    """Give a booking another period of its own. Units that are out with it stay with it: whoever else is promised them
    in the added time is given other ones, and the fewest lose them. What is not out yet is booked like any other gear.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError, PencilExpiredError: it is cancelled or expired.
        InvalidError: it would end before it starts.
        ClaimConflictError, NotEnoughError, ClaimUndecidedError: something needed that is not out cannot be had then.
    """
    booking = _own_booking(c, booking_id, powers)
    _require_may_accept_shortfalls(accept_shortfalls, powers)
    require_not_cancelled(booking)
    require_not_expired(c, booking)
    booking.starts_at, booking.ends_at = _period_in_order(
        starts_at or booking.starts_at, ends_at or booking.ends_at, ""
    )
    booking.follows_event = False
    booking.version += 1
    booking.save()
    allocate_bookings(c, [booking], EXTEND, accepting=[booking.pk] if accept_shortfalls else ())
    c.record("booking", booking.pk, "extend", booking.event.name)
    return booking.pk


def edit_booking(c: Change, booking_id: int, *, fields: BookingFields, powers: Powers) -> int:
    """Do what the verbs do, by fields: another expiry, another period, another state, in this order.

    Raises:
        DomainError: as the verbs that it stands for.
    """
    booking = _own_booking(c, booking_id, powers)
    accepted = fields.get("accept_shortfalls", False)
    if "expires_at" in fields:
        keep_pencil(c, booking_id, expires_at=fields["expires_at"], powers=powers)
    if "starts_at" in fields or "ends_at" in fields:
        extend(
            c,
            booking_id,
            starts_at=fields.get("starts_at"),
            ends_at=fields.get("ends_at"),
            accept_shortfalls=accepted,
            powers=powers,
        )
    state = fields.get("state", booking.state)
    if state == booking.state:
        return booking_id
    if state == BookingState.CONFIRMED:
        return confirm(c, booking_id, accept_shortfalls=accepted, powers=powers)
    if state == BookingState.CANCELLED:
        return cancel(c, booking_id, powers=powers)
    raise WrongStateError(f"The booking is {booking.state} and cannot become {state}.", state=booking.state)


def keep_pencil(c: Change, booking_id: int, *, expires_at: datetime, powers: Powers) -> int:
    """Give a pencil another date on which it expires; one that had expired is judged anew.

    Raises:
        NotFoundError, NotYoursError: there is no such booking, or it is somebody else's.
        WrongStateError: it is not a pencil.
        InvalidError: the date has passed.
        ClaimConflictError, NotEnoughError, ClaimUndecidedError: it had expired, and what it wants cannot be had now.
    """
    booking = _own_booking(c, booking_id, powers)
    if booking.state != BookingState.PENCIL:
        raise WrongStateError(f"The booking is {booking.state}: only a pencil expires.", state=booking.state)
    _require_to_come(c, expires_at, "")
    had_expired = has_expired(booking, c.now)
    if had_expired:
        release_expired_claims(c)
    booking.expires_at = expires_at
    booking.version += 1
    booking.save()
    if had_expired:
        allocate_bookings(c, [booking], BOOK)
    c.record("booking", booking.pk, "keep", booking.event.name)
    return booking.pk


def _create_row(c: Change, event: Event, fields: BookingFields, powers: Powers, path: str = "") -> Booking:
    """Write the booking's row; nothing is promised to it yet. Anyone may accept a pencil's shortfalls."""
    state = fields.get("state", BookingState.PENCIL)
    if state != BookingState.PENCIL:
        _require_may_accept_shortfalls(fields.get("accept_shortfalls", False), powers)
    _require_consistent(fields, path)
    own_period = "starts_at" in fields or "ends_at" in fields
    starts_at, ends_at = _period_in_order(
        fields.get("starts_at", event.gear_out_at), fields.get("ends_at", event.gear_back_at), path
    )
    booking = Booking(
        event=event,
        quantity=fields.get("quantity", 1),
        state=state,
        starts_at=starts_at,
        ends_at=ends_at,
        follows_event=not own_period,
        expires_at=_expiry(c, fields, starts_at, path) if state == BookingState.PENCIL else None,
        from_kits=fields.get("from_kits", False),
        booked_by_id=c.actor_id,
        booked_at=c.now,
        ranked_at=c.now,
    )
    if "kit" in fields:
        kit = row_named(Kit, fields["kit"], f"{path}kit")
        _require_case(kit.pk, kit.name)
        booking.kit = kit
    elif "unit" in fields:
        booking.unit = row_named(Unit, fields["unit"], f"{path}unit")
    else:
        booking.spec = row_named(Spec, fields["spec"], f"{path}spec")
    booking.save()
    return booking


def _require_consistent(fields: BookingFields, path: str) -> None:
    problems: list[tuple[str, str]] = []
    wanted = [name for name in ("kit", "unit", "spec") if name in fields]
    if len(wanted) != 1:
        problems += [(name, "Name exactly one of kit, unit and spec.") for name in wanted or ("kit", "unit", "spec")]
    if "spec" not in fields:
        problems += [
            (name, "Only a spec is booked by the number.")
            for name, given in (("quantity", fields.get("quantity", 1) != 1), ("from_kits", fields.get("from_kits")))
            if given
        ]
    if fields.get("state") == BookingState.CONFIRMED and "expires_at" in fields:
        problems.append(("expires_at", "Only a pencil expires."))
    if problems:
        raise InvalidError(
            "The fields do not go together.",
            errors=[FieldProblem(field=path + name, code="invalid", message=message) for name, message in problems],
        )


def _expiry(c: Change, fields: BookingFields, starts_at: datetime, path: str) -> datetime:
    given = fields.get("expires_at")
    if given is not None:
        _require_to_come(c, given, path)
        return given
    in_two_weeks = c.now + PENCIL_LASTS
    return min(in_two_weeks, starts_at) if starts_at > c.now else in_two_weeks


def _require_to_come(c: Change, expiry: datetime, path: str) -> None:
    if expiry <= c.now:
        raise InvalidError.of_field(f"{path}expires_at", "That instant has passed.")


def _period_in_order(starts_at: datetime, ends_at: datetime, path: str) -> tuple[datetime, datetime]:
    if ends_at <= starts_at:
        raise InvalidError.of_field(f"{path}ends_at", "A booking ends after it starts.")
    return starts_at, ends_at


def _require_case(kit_id: int, name: str) -> None:
    if not Kit.objects.filter(has_case(), pk=kit_id).exists():
        raise DraftKitError(f"{name} has no case yet: it is a draft.", kit=kit_id)


def _own_booking(c: Change, booking_id: int, powers: Powers) -> Booking:
    booking = row_at(Booking, booking_id)
    require_may_change(c, booking, powers)
    return booking


def require_may_change(c: Change, booking: Booking, powers: Powers) -> None:
    """Refuse who neither made the booking nor may change the bookings of others.

    Raises:
        NotYoursError: it is somebody else's.
    """
    if booking.booked_by_id != c.actor_id and not powers.others:
        raise NotYoursError("Somebody else has booked this.", booking=booking.pk)


def require_not_cancelled(booking: Booking) -> None:
    """Refuse a booking that has been given up.

    Raises:
        WrongStateError: it is cancelled.
    """
    if booking.state == BookingState.CANCELLED:
        raise WrongStateError("The booking is cancelled.", state=booking.state)


def require_not_expired(c: Change, booking: Booking) -> None:
    """Refuse a pencil whose date has passed.

    Raises:
        PencilExpiredError: it has expired.
    """
    if has_expired(booking, c.now):
        raise PencilExpiredError("The pencil has expired.", expires_at=booking.expires_at)


def _require_may_accept_shortfalls(accept_shortfalls: bool, powers: Powers) -> None:
    if accept_shortfalls and not powers.shortfalls:
        raise NotYoursError("Accepting shortfalls is for a planner to do.")


def _set_state(booking: Booking, state: BookingState) -> None:
    if state not in BOOKING_MOVES[booking.state]:
        raise WrongStateError(f"The booking is {booking.state} and cannot become {state}.", state=booking.state)
    booking.state = state


def _name_lines(problem: ClaimConflictError, bookings: Sequence[Booking]) -> None:
    """Name a rival that is another line of the same request by its number: its booking will not exist."""
    lines = {booking.pk: number for number, booking in enumerate(bookings)}
    conflicts: Any = problem.members["conflicts"]
    for conflict in conflicts:
        if conflict.get("booking") in lines:
            conflict["line"] = lines[conflict.pop("booking")]
            del conflict["event"]


def _accepting(bookings: Sequence[Booking], lines: Sequence[BookingFields]) -> list[int]:
    return [row.pk for row, fields in zip(bookings, lines, strict=True) if fields.get("accept_shortfalls")]
