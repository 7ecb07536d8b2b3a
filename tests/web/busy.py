"""A company with so many of everything, for what pages cost: so many rows in each list, and on each single thing."""

from django.utils import timezone
from knox.models import AuthToken

from inventory.base.models import HistoryEntry
from inventory.base.queues import take
from inventory.checks.drain import check_one, drain
from inventory.models import (
    Acceptance,
    Check,
    Fault,
    Finding,
    Inspection,
    Kit,
    Link,
    Location,
    Port,
    Position,
    Repair,
    Tag,
    UnitPort,
)
from inventory.services.clone import clone_kit
from inventory.services.kits import edit_kit
from scheduling.models import Booking, Event, Phase, Venue
from tests.scheduling.factories import (
    BookingFactory,
    ClaimFactory,
    DowntimeFactory,
    EventFactory,
    KitFactory,
    PositionFactory,
    ShortfallFactory,
    SpecFactory,
    UnitFactory,
    UserFactory,
    VenueFactory,
)
from tests.service import People
from tests.web.company import BRIEF, Gear, stage_case, write
from tests.web.shows import moment

Things = dict[str, object]
"""What addresses name: ``kit_id``, ``unit_id`` …"""


def company(number: int, people: People) -> Things:
    """Enter the company, check its kits, and return what its pages are about."""
    gear = stage_case()
    venue = VenueFactory(name="Lamp hall")
    events = [_event(venue, day) for day in range(1, number + 1)]
    for day in range(1, number + 1):
        _add_gear(gear, day)
        _add_bookings(gear, events[0], events[day - 1])
        _add_around(venue, events[0], people)
    contested = Kit.objects.filter(name="Contested lamps").latest("pk")
    things = _things(gear, events[0], venue) | {"contested": contested.pk, "user_id": people["planner"].pk}
    things["dealt"] = gear.specs["desk"]
    things["hurting_id"] = Fault.objects.get(unit__positions__kit=contested).pk
    computers = [{"name": "lamps", "positions": ["switch A"], "computers": [things["lamp_id"]]}]
    write(None, lambda c: edit_kit(c, gear.kit, fields={"brief": BRIEF | {"controllers": computers}}))
    _check(gear.kit, number, people)
    things["finding_id"] = Finding.objects.filter(check_run__kit=gear.kit).latest("pk").pk
    _add_history(things, number, people)
    return things


def due_now(kit: int) -> None:
    """Let the check run that an edit asked for; it falls due a moment later."""
    Kit.objects.filter(pk=kit).update(check_due_at="2020-01-01T00:00:00Z")
    drain(pause=lambda _: None)


def break_check(kit: int) -> None:
    """Let the check of the kit break off: a connector that no register has can only come past the services."""
    Port.objects.filter(connector="dc-5.5x2.1").update(connector="no-such")
    Kit.objects.filter(pk=kit).update(check_due_at="2020-01-01T00:00:00Z")
    taken = take()
    assert taken is not None
    check_one(taken)


def _event(venue: Venue, day: int) -> Event:
    return EventFactory(
        name=f"Lamp show {day}", venue=venue, state="confirmed", gear_out_at=moment(day), gear_back_at=moment(day + 0.5)
    )


def _add_gear(gear: Gear, day: int) -> None:
    """Put a damaged and tested lamp and a kit into the stage case, linked; and wear out its first switch."""
    kit, switch = Kit.objects.get(pk=gear.kit), gear.units["switch A"]
    port = Port.objects.filter(spec=gear.specs["switch"]).earliest("pk").pk
    lamp = UnitFactory(tag=f"LAMP{day}", spec=SpecFactory(name=f"Lamp {day}", inspection_interval_days=10))
    places = [
        PositionFactory(kit=kit, label=f"lamp {day}", unit=lamp),
        PositionFactory(kit=kit, label=f"inner {day}", unit=KitFactory(name=f"Lamp bag {day}").positions.get().unit),
    ]
    places[0].accepts.add(gear.specs["switch"], gear.specs["desk"])
    link = Link.objects.create(kit=kit, label=f"W-{day}")
    for end, place in zip("ab", places, strict=True):
        link.ends.create(end=end, position=place, port_name="in")
    for unit in (lamp.pk, switch):
        fault = Fault.objects.create(unit_id=unit, what="label", usable=unit == switch, reported_at=moment(-day))
        UnitPort.objects.create(fault=fault, unit_id=unit, port_id=port, what="label")
        Inspection.objects.create(unit_id=unit, at=moment(-day), passed=True)
        DowntimeFactory(unit_id=unit, unit=None, starts_at=moment(-day - 1), ends_at=moment(-day - 0.5))
    DowntimeFactory(unit=lamp, cause="fault", starts_at=moment(-day))
    Repair.objects.create(unit_id=switch, at=moment(-day))
    Tag.objects.create(tag=f"OLD{day}", unit_id=switch)
    UnitFactory(spec_id=gear.specs["switch"], spec=None)


def _add_bookings(gear: Gear, first: Event, event: Event) -> None:
    """Book the stage case for one event, and for the first one things of every kind, which all lack something."""
    booking = BookingFactory(event=event, unit=None, kit_id=gear.kit)
    ClaimFactory(booking=booking, unit_id=gear.units["switch A"], unit=None)
    BookingFactory(event=event, unit=None, kit_id=gear.kit, state="pencil", expires_at=moment(1))
    position = Position.objects.get(kit=gear.kit, label="switch A")
    ShortfallFactory(
        booking=BookingFactory(event=event, unit=None, kit_id=gear.kit),
        spec=position.spec,
        position=position,
        unit=position.unit,
    )
    kit = KitFactory(name="Contested lamps", case=UnitFactory(spec_id=gear.specs["case"], spec=None))
    contested = PositionFactory(kit=kit, unit=UnitFactory(spec_id=gear.specs["desk"], spec=None))
    unwell = Fault.objects.create(unit=contested.unit, what="label", usable=True, reported_at=moment(-1))
    ShortfallFactory(
        booking=BookingFactory(event=event, unit=None, kit=kit),
        spec=contested.spec,
        position=contested,
        unit=unwell.unit,
    )
    counted = BookingFactory(event=first, unit=None, spec=contested.unit.spec, from_kits=True)
    ClaimFactory(booking=counted, unit=contested.unit, dealt=True)
    single = BookingFactory(event=first)
    ClaimFactory(booking=single)
    whole = BookingFactory(event=first, unit=None, kit=PositionFactory().kit)
    for each in (single, counted, whole):
        position = each.kit.positions.latest("pk") if each.kit else None
        spec = position.spec if position else each.spec or each.unit.spec
        ShortfallFactory(booking=each, spec=spec, position=position, reason="conflict")


def _add_around(venue: Venue, event: Event, people: People) -> None:
    VenueFactory()
    venue.circuits.create(name=f"Circuit {venue.circuits.count()}")
    Phase.objects.create(event=event, kind="show", starts_at=event.gear_out_at, ends_at=event.gear_back_at)
    UserFactory().groups.set(people["planner"].groups.all())
    AuthToken.objects.create(user=people["owner"])
    Location.objects.create(name="Shelf")


def _things(gear: Gear, event: Event, venue: Venue) -> Things:
    return {
        "kit_id": gear.kit,
        "other": stage_case(name="Lamp case", specs=gear.specs).kit,
        "draft_id": write(None, lambda c: clone_kit(c, gear.kit, name="Planned")),
        "position_id": Position.objects.get(kit=gear.kit, label="switch A").pk,
        "link_id": Link.objects.filter(kit=gear.kit).latest("pk").pk,
        "spec_id": gear.specs["switch"],
        "unit_id": gear.units["switch A"],
        "lamp_id": Position.objects.get(kit=gear.kit, label="lamp 1").unit_id,
        "fault_id": Fault.objects.filter(unit=gear.units["switch A"]).latest("pk").pk,
        "event_id": event.pk,
        "booking_id": Booking.objects.filter(event=event, unit__isnull=False).latest("pk").pk,
        "pencil_id": Booking.objects.filter(event=event, state="pencil").latest("pk").pk,
        "venue_id": venue.pk,
        "circuit_id": venue.circuits.latest("pk").pk,
    }


def _check(kit: int, number: int, people: People) -> None:
    """Check the kit, which was checked so many times before, and accept each finding and so many more of the kind."""
    now = timezone.now()
    Check.objects.bulk_create(
        Check(kit_id=kit, revision=0, rules=1, state="failed", as_of=now, finished_at=now, error="Broke off")
        for _ in range(number)
    )
    due_now(kit)
    check = Check.objects.filter(kit=kit).latest("pk")
    more = check.findings.latest("pk")
    for each in range(number):
        more.pk, more.sort, more.fingerprint = None, more.sort + 1, f"further {each}"
        more.save()
    Acceptance.objects.bulk_create(
        Acceptance(kit_id=kit, fingerprint=print_, reason="Only tonight.", by=people["planner"], at=now)
        for print_ in set(check.findings.values_list("fingerprint", flat=True))
    )


def _add_history(things: Things, number: int, people: People) -> None:
    HistoryEntry.objects.bulk_create(
        HistoryEntry(version=1, at=timezone.now(), actor=people["planner"], noun=noun, object_id=things[f"{noun}_id"],
                     verb="edit", label="")
        for noun in ("kit", "spec", "unit", "event", "booking", "fault")
        for _ in range(number)
    )  # fmt: skip
