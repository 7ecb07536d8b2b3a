"""Plan an event again on another day, at the same hours by the clock on the wall."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from inventory.base.changes import Change
from inventory.models import Company
from inventory.services.fetching import row_at
from scheduling.models import Booking, BookingState, Event, EventState, Phase
from scheduling.promises.decide import BOOK
from scheduling.promises.verbs import allocate_bookings
from scheduling.rows import not_cancelled
from scheduling.services.either_or import add_date
from scheduling.services.ordering import expiry


def copy_event(
    c: Change,
    event_id: int,
    *,
    shift_days: int,
    name: str | None = None,
    with_bookings: bool = True,
    either_or: bool = False,
) -> int:
    """Return the id of a new enquiry like the event, some days later or earlier.

    The hours are those of the clock where the show is, so they stay the same over a change of clocks. What was booked
    is pencilled; what is not in the pool any more is a shortfall of the pencil.

    Args:
        c: The open change.
        event_id: What is copied; its state does not matter.
        shift_days: Days from the old event to the new one; not zero. [d]
        name: Of the new event; that of the old one unless given.
        with_bookings: Whether what is booked is pencilled for the new one.
        either_or: Whether only one of the two, and of the dates tied to the old one, will be taken.

    Raises:
        NotFoundError: there is no such event.
        WrongStateError: a date to choose from is an enquiry without confirmed bookings, and the old event is not.
    """
    event = row_at(Event, event_id)
    later = _Shift(event, shift_days)
    copied = Event.objects.create(
        name=name or event.name,
        client=event.client,
        venue=event.venue,
        state=EventState.ENQUIRY,
        gear_out_at=later.of(event.gear_out_at),
        gear_back_at=later.of(event.gear_back_at),
    )
    Phase.objects.bulk_create(
        Phase(event=copied, kind=row.kind, starts_at=later.of(row.starts_at), ends_at=later.of(row.ends_at))
        for row in event.phases.all()
    )
    if with_bookings:
        _pencil_again(c, event, copied, later)
    if either_or:
        add_date(c, event.pk, copied.pk)
    c.touch("event", copied.pk)
    c.record("event", copied.pk, "copy", copied.name, copied_from=event.pk)
    return copied.pk


class _Shift:
    """Instants moved by days on the calendar of the place where the event is."""

    def __init__(self, event: Event, days: int) -> None:
        zone = event.venue.timezone if event.venue is not None else Company.objects.get(pk=1).timezone
        self.zone, self.days = ZoneInfo(zone), timedelta(days=days)

    def of(self, instant: datetime) -> datetime:
        return instant.astimezone(self.zone) + self.days  # the same wall clock: the offset is taken anew


def _pencil_again(c: Change, event: Event, copied: Event, later: _Shift) -> None:
    pencils = []
    for booking in Booking.objects.filter(not_cancelled(), event=event).order_by("pk"):
        starts_at = copied.gear_out_at if booking.follows_event else later.of(booking.starts_at)
        ends_at = copied.gear_back_at if booking.follows_event else later.of(booking.ends_at)
        pencil = Booking(
            event=copied,
            kit=booking.kit,
            unit=booking.unit,
            spec=booking.spec,
            quantity=booking.quantity,
            state=BookingState.PENCIL,
            starts_at=starts_at,
            ends_at=ends_at,
            follows_event=booking.follows_event,
            expires_at=expiry(c, None, starts_at, ""),
            from_kits=booking.from_kits,
            booked_by_id=c.actor_id,
            booked_at=c.now,
            ranked_at=c.now,
        )
        pencil.save()
        pencils.append(pencil)
        c.record("booking", pencil.pk, "book", copied.name, state=pencil.state)
    if pencils:
        allocate_bookings(c, pencils, BOOK)
