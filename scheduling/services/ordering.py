"""Book a kit, a unit or a number of a spec for an event: one line, several, all of them or each for itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, TypedDict

from django.db import transaction

from inventory.base.changes import Change
from inventory.base.errors import DomainError, FieldProblem, InvalidError
from inventory.models import Kit, Spec, Unit
from inventory.rows import has_case
from inventory.services.fetching import row_at, row_named
from scheduling.errors import ClaimConflictError, DateOpenError, DraftKitError
from scheduling.models import Booking, BookingState, Event, EventState
from scheduling.promises.decide import BOOK
from scheduling.promises.verbs import allocate_bookings
from scheduling.services.bumping import Bump, bump_of, require_bump, taken_from
from scheduling.services.events import require_takes_bookings
from scheduling.services.powers import Powers, require_may_accept_shortfalls

PENCIL_LASTS = timedelta(days=14)


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
    bump: Sequence[int]
    reason: str


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
    bump = _bump(fields, powers)
    allocate_bookings(c, [booking], BOOK, accepting=_accepting([booking], [fields]), pushes=taken_from(c, bump))
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
    for number, fields in enumerate(lines):
        if fields.get("bump") or fields.get("reason"):
            raise InvalidError.of_field(f"lines.{number}.bump", "Book a line that takes gear from others by itself.")
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


def _create_row(c: Change, event: Event, fields: BookingFields, powers: Powers, path: str = "") -> Booking:
    """Write the booking's row; nothing is promised to it yet. Anyone may accept a pencil's shortfalls."""
    state = fields.get("state", BookingState.PENCIL)
    if state != BookingState.PENCIL:
        require_may_accept_shortfalls(fields.get("accept_shortfalls", False), powers)
    _require_consistent(fields, path)
    if state == BookingState.CONFIRMED:
        require_date_settled(event)
    own_period = "starts_at" in fields or "ends_at" in fields
    starts_at, ends_at = period_in_order(
        fields.get("starts_at", event.gear_out_at), fields.get("ends_at", event.gear_back_at), path
    )
    booking = Booking(
        event=event,
        quantity=fields.get("quantity", 1),
        state=state,
        starts_at=starts_at,
        ends_at=ends_at,
        follows_event=not own_period,
        expires_at=expiry(c, fields.get("expires_at"), starts_at, path) if state == BookingState.PENCIL else None,
        from_kits=fields.get("from_kits", False),
        booked_by_id=c.actor_id,
        booked_at=c.now,
        ranked_at=c.now,
    )
    if "kit" in fields:
        kit = row_named(Kit, fields["kit"], f"{path}kit")
        require_case(kit.pk, kit.name)
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


def expiry(c: Change, given: datetime | None, starts_at: datetime, path: str) -> datetime:
    """Return when a pencil expires: on the given date, else in two weeks or when its gear goes out."""
    if given is not None:
        require_to_come(c, given, f"{path}expires_at")
        return given
    in_two_weeks = c.now + PENCIL_LASTS
    return starts_at if c.now < starts_at < in_two_weeks else in_two_weeks


def require_to_come(c: Change, instant: datetime, field: str) -> None:
    if instant <= c.now:
        raise InvalidError.of_field(field, "That instant has passed.")


def period_in_order(starts_at: datetime, ends_at: datetime, path: str) -> tuple[datetime, datetime]:
    if ends_at <= starts_at:
        raise InvalidError.of_field(f"{path}ends_at", "A booking ends after it starts.")
    return starts_at, ends_at


def require_date_settled(event: Event) -> None:
    """Refuse to promise gear firmly for one of several dates before the date itself is confirmed.

    Raises:
        DateOpenError: none of the dates is confirmed.
    """
    if event.either_or_id is not None and event.state == EventState.ENQUIRY:
        raise DateOpenError(
            f"{event.name} is one of several dates. Confirm the date first; the others are cancelled then.",
            event=event.pk,
        )


def require_case(kit_id: int, name: str) -> None:
    if not Kit.objects.filter(has_case(), pk=kit_id).exists():
        raise DraftKitError(f"{name} has no case yet: it is a draft.", kit=kit_id)


def _bump(fields: BookingFields, powers: Powers) -> Bump | None:
    bump = require_bump(bump_of(fields.get("bump"), fields.get("reason")), powers)
    if bump is not None and fields.get("state", BookingState.PENCIL) == BookingState.PENCIL:
        raise InvalidError.of_field("bump", "A pencil takes nothing from others.")
    return bump


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
