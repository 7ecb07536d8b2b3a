"""Rows for the tests of scheduling: valid by default; a test names only what it is about."""

from datetime import UTC, datetime, timedelta

import factory
from factory.django import DjangoModelFactory

from inventory.base.models import User
from inventory.models import Downtime, Kit, Position, Spec, Unit
from scheduling.models import Booking, Claim, Event, Shortfall, Venue

MONDAY = datetime(2031, 5, 5, tzinfo=UTC)
"""Far enough ahead that nothing in it has begun."""


def at(day: int, hour: float = 0) -> datetime:
    """Return an instant of that week: day 0 is Monday."""
    return MONDAY + timedelta(days=day, hours=hour)


class SpecFactory(DjangoModelFactory):
    class Meta:
        model = Spec

    name = factory.Sequence("Switch, layout {}".format)
    kind = "switch"


class UnitFactory(DjangoModelFactory):
    class Meta:
        model = Unit

    tag = factory.Sequence("U{:05d}".format)
    spec = factory.SubFactory(SpecFactory)


class KitFactory(DjangoModelFactory):
    """A kit with its case and nothing else in it."""

    class Meta:
        model = Kit
        skip_postgeneration_save = True

    name = factory.Sequence("Case {}".format)
    check_due_at = MONDAY

    @factory.post_generation
    def case(self, create, extracted, **kwargs):
        unit = extracted or UnitFactory(spec=SpecFactory(kind="case"))
        Position.objects.create(kit=self, label="case", role="case", spec=unit.spec, unit=unit)


class PositionFactory(DjangoModelFactory):
    class Meta:
        model = Position

    kit = factory.SubFactory(KitFactory)
    label = factory.Sequence("place {}".format)
    role = "required"
    unit = factory.SubFactory(UnitFactory)
    spec = factory.LazyAttribute(lambda o: o.unit.spec if o.unit else SpecFactory())


class UserFactory(DjangoModelFactory):
    class Meta:
        model = User

    username = factory.Sequence("person{}".format)


class VenueFactory(DjangoModelFactory):
    class Meta:
        model = Venue

    name = factory.Sequence("Hall {}".format)
    timezone = "Europe/Zurich"


class EventFactory(DjangoModelFactory):
    class Meta:
        model = Event

    name = factory.Sequence("Show {}".format)
    gear_out_at = at(0, 8)
    gear_back_at = at(0, 20)


class BookingFactory(DjangoModelFactory):
    """A confirmed booking of one unit, without its claim."""

    class Meta:
        model = Booking

    event = factory.SubFactory(EventFactory)
    unit = factory.SubFactory(UnitFactory)
    state = "confirmed"
    starts_at = factory.SelfAttribute("event.gear_out_at")
    ends_at = factory.SelfAttribute("event.gear_back_at")
    follows_event = True
    booked_by = factory.SubFactory(UserFactory)
    booked_at = MONDAY
    ranked_at = MONDAY


class ClaimFactory(DjangoModelFactory):
    class Meta:
        model = Claim

    booking = factory.SubFactory(BookingFactory)
    unit = factory.SelfAttribute("booking.unit")
    starts_at = factory.SelfAttribute("booking.starts_at")
    ends_at = factory.SelfAttribute("booking.ends_at")
    standing = "firm"
    dealt = False


class ShortfallFactory(DjangoModelFactory):
    class Meta:
        model = Shortfall

    booking = factory.SubFactory(BookingFactory)
    spec = factory.SelfAttribute("booking.unit.spec")
    reason = "not-enough"
    opened_at = MONDAY


class DowntimeFactory(DjangoModelFactory):
    class Meta:
        model = Downtime

    unit = factory.SubFactory(UnitFactory)
    cause = "other"
    starts_at = at(0, 0)
