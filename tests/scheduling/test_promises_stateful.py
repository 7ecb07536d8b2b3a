"""All verbs in any order, and what must hold after each of them: a state machine over the services."""

from collections import Counter
from datetime import timedelta

import pytest
from django.db import connection
from django.test import TestCase
from django.utils import timezone
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from inventory.base.changes import change, ledger_version
from inventory.base.errors import DomainError
from inventory.models import Position, Unit
from inventory.services.contents import edit_position
from inventory.services.faults import record_repair, report_fault
from inventory.services.units import edit_unit
from scheduling.models import Booking, Claim, Event, Shortfall
from scheduling.promises.apply import pin_claims
from scheduling.promises.decide import Period
from scheduling.promises.queue import confirmable
from scheduling.selectors.availability import Question, available
from scheduling.services import bookings, events, ordering
from scheduling.services.events import PhaseDraft
from scheduling.services.powers import Powers
from tests.scheduling.factories import (
    EventFactory,
    KitFactory,
    PositionFactory,
    SpecFactory,
    UnitFactory,
    UserFactory,
    at,
)
from tests.scheduling.seen import (
    Seen,
    claims_out,
    live,
    movable_claims,
    open_events,
    pencils,
    promised_by_name,
    tables,
)
from tests.scheduling.sweep import Sweep

ALL_POWERS = Powers(others=True, shortfalls=True)
REACHED: Counter[str] = Counter()
HOURS = st.integers(0, 10)
LENGTHS = st.integers(1, 8)

VERBS = (
    "book kit", "book unit", "book number", "book what is not free", "pencil", "confirm", "cancel", "extend", "move",
    "repack", "fault", "repair", "lose", "return", "pin", "expire", "cancel event", "go out", "extend what is out",
)  # fmt: skip
ENDS = (
    "refused", "dealt again", "lost something", "shortfall filled", "proof bound", "proof exact", "short on site",
    "stray",
)  # fmt: skip


class Promises(RuleBasedStateMachine):
    """Ten units of two specs, an outer kit with a nested one, and whatever the rules do with them."""

    def __init__(self):
        super().__init__()
        self.atomics = TestCase._enter_atomics()
        self.pinned: dict[int, int] = {}

    def teardown(self):
        TestCase._rollback_atomics(self.atomics)

    @initialize()
    def furnish(self):
        self.user = UserFactory()
        self.spec, self.rare = SpecFactory(), SpecFactory()
        self.outer, self.inner = KitFactory(), KitFactory()
        UnitFactory.create_batch(3, spec=self.spec)
        UnitFactory(spec=self.rare)
        PositionFactory(kit=self.outer, label="a", unit=UnitFactory(spec=self.spec))
        PositionFactory(kit=self.outer, label="b", unit=UnitFactory(spec=self.rare), role="spare")
        PositionFactory(kit=self.inner, label="a", unit=UnitFactory(spec=self.spec))
        PositionFactory(kit=self.outer, label="inner", unit=self.inner.positions.get(role="case").unit)
        EventFactory(gear_out_at=at(0, 2), gear_back_at=at(0, 6))
        EventFactory(gear_out_at=at(0, 4), gear_back_at=at(0, 9))

    # What is done.

    def do(self, verb, service, *arguments, **named):
        """Run a service; a refusal must leave every table and the ledger as they were. Return the problem, if any."""
        before, version = tables(), ledger_version()
        units = dict(Claim.objects.exclude(standing="released").values_list("pk", "unit"))
        missing = Shortfall.objects.filter(closed_how="filled").count()
        out = set() if verb in {"cancel", "cancel event", "move"} else set(claims_out().values_list("pk", "unit_id"))
        try:
            with change(actor_id=self.user.pk, request_id="test") as c:
                service(c, *arguments, **named)
        except DomainError as problem:
            assert (tables(), ledger_version()) == (before, version), f"{verb} was refused and wrote something"
            REACHED["refused"] += 1
            return problem
        assert ledger_version() == version + 1
        REACHED[verb] += 1
        REACHED["lost something"] += bool(c.consequences)
        REACHED["shortfall filled"] += Shortfall.objects.filter(closed_how="filled").count() > missing
        now = dict(Claim.objects.filter(pk__in=units).exclude(standing="released").values_list("pk", "unit"))
        REACHED["dealt again"] += any(unit != units[claim] for claim, unit in now.items())
        assert out <= set(now.items()), "what is out stays with whoever has it"
        REACHED["short on site"] += Shortfall.objects.filter(closed_at=None, reason="taken-on-site").exists()
        REACHED["stray"] += Claim.objects.filter(standing="firm", stray=True).exists()
        return None

    def book(self, verb, event, fields, *, confirmed):
        fields = fields | {"state": "confirmed" if confirmed else "pencil"}
        problem = self.do(verb, ordering.book, event_id=event.pk, fields=fields, powers=ALL_POWERS)
        if problem is None:
            booking = Booking.objects.latest("pk")
            REACHED[f"proof {booking.proof}"] += 1
            REACHED["pencil"] += not confirmed
        return problem

    def pick(self, rows, number):
        found = list(rows.order_by("pk"))
        return found[number % len(found)] if found else None

    @rule(start=HOURS, length=LENGTHS)
    @precondition(lambda self: Event.objects.count() < 5)
    def plan_event(self, start, length):
        with change(actor_id=self.user.pk, request_id="test") as c:
            phase = PhaseDraft("show", at(0, start), at(0, start + length))
            events.create_event(c, fields={"name": "Show", "phases": [phase]})

    @rule(number=HOURS, accepted=st.booleans(), confirmed=st.booleans(), which=st.booleans())
    def book_kit(self, number, accepted, confirmed, which):
        event, kit = self.pick(open_events(), number), self.outer if which else self.inner
        seen = Seen(timezone.now())
        possible = seen.can_have(seen.needed_units(kit.pk), event.gear_out_at, event.gear_back_at)
        fields = {"kit": kit.pk, "accept_shortfalls": accepted}
        problem = self.book("book kit", event, fields, confirmed=confirmed)
        assert (problem is None) == (possible or accepted or not confirmed)

    @rule(number=HOURS, unit=HOURS, confirmed=st.booleans())
    def book_unit(self, number, unit, confirmed):
        event, row = self.pick(open_events(), number), self.pick(Unit.objects.all(), unit)
        possible = Sweep(timezone.now()).can_have({row.pk}, event.gear_out_at, event.gear_back_at)
        problem = self.book("book unit", event, {"unit": row.pk}, confirmed=confirmed)
        assert (problem is None) == (possible or not confirmed)

    @rule(number=HOURS, quantity=st.integers(1, 4), accepted=st.booleans(), confirmed=st.booleans(), kits=st.booleans())
    def book_number(self, number, quantity, accepted, confirmed, kits):
        event = self.pick(open_events(), number)
        bookable = Sweep(timezone.now()).bookable(self.spec.pk, event.gear_out_at, event.gear_back_at)
        fields = {"spec": self.spec.pk, "quantity": quantity, "accept_shortfalls": accepted, "from_kits": kits}
        problem = self.book("book number", event, fields, confirmed=confirmed)
        if not kits:
            assert (problem is None) == (quantity <= bookable or accepted or not confirmed)

    @rule(first=st.integers(0, 2), length=st.integers(2, 3))
    def book_what_is_not_free(self, first, length):
        """Make the world in which nothing is free for a long period and yet something can be had; then have it."""
        for number in range(3):
            start = first + length * number
            event = EventFactory(gear_out_at=at(1, start), gear_back_at=at(1, start + length))
            self.book("book number", event, {"spec": self.spec.pk}, confirmed=True)
            one_each = Claim.objects.filter(booking__event=event, standing="firm", dealt=True).first()
            free = Unit.objects.filter(spec=self.spec, positions=None, state="in-service").order_by("pk")
            rivals = Claim.objects.filter(
                standing="firm", starts_at__lt=event.gear_back_at, ends_at__gt=event.gear_out_at
            )
            others = free.exclude(pk__in=rivals.values("unit")).order_by("pk")
            if one_each is not None and number < len(free) and free[number] in others:
                Claim.objects.filter(pk=one_each.pk).update(unit=free[number])
        whole = EventFactory(gear_out_at=at(1, first), gear_back_at=at(1, first + 3 * length))
        period = whole.gear_out_at, whole.gear_back_at
        cell = Sweep(timezone.now()).cell(self.spec.pk, *period)
        if cell["free"] == 0 < cell["bookable"]:
            fields = {"spec": self.spec.pk, "quantity": cell["bookable"]}
            assert self.book("book what is not free", whole, fields, confirmed=True) is None

    @rule(number=HOURS, accepted=st.booleans())
    @precondition(lambda self: pencils().exists())
    def confirm(self, number, accepted):
        self.confirm_as_foretold(self.pick(pencils(), number), accepted)

    @rule(number=HOURS, unit=HOURS)
    def pencil_one_and_confirm_it(self, number, unit):
        event, row = self.pick(open_events(), number), self.pick(Unit.objects.all(), unit)
        assert self.book("book unit", event, {"unit": row.pk}, confirmed=False) is None
        self.confirm_as_foretold(Booking.objects.latest("pk"), accepted=False)

    def confirm_as_foretold(self, pencil, accepted):
        foretold = confirmable([pencil.pk], timezone.now()).get(pencil.pk, False)
        problem = self.do("confirm", bookings.confirm, pencil.pk, accept_shortfalls=accepted, powers=ALL_POWERS)
        assert foretold is None or accepted or (problem is None) == foretold

    @rule(number=HOURS)
    def cancel(self, number):
        if booking := self.pick(Booking.objects.exclude(state="cancelled"), number):
            self.do("cancel", bookings.cancel, booking.pk, powers=ALL_POWERS)

    @rule(number=HOURS, end=st.integers(2, 16), accepted=st.booleans())
    def extend(self, number, end, accepted):
        if booking := self.pick(live(), number):
            ends_at = max(at(0, end), booking.starts_at + timedelta(hours=1))
            named = {"ends_at": ends_at, "accept_shortfalls": accepted, "powers": ALL_POWERS}
            self.do("extend", bookings.extend, booking.pk, **named)

    @rule(quantity=st.integers(0, 2), end=LENGTHS)
    @precondition(lambda self: not claims_out().exists())
    def go_out(self, quantity, end):
        """A show that has begun is booked: its gear is out from this instant on. One unit breaks, the kit is repacked,
        and the show runs into all that come after it."""
        event = EventFactory(gear_out_at=timezone.now() - timedelta(hours=1), gear_back_at=at(0, 0))
        wanted = {"spec": self.spec.pk, "quantity": quantity} if quantity else {"kit": self.outer.pk}
        self.book("go out", event, wanted | {"accept_shortfalls": True}, confirmed=True)
        out = claims_out().filter(unit__state="in-service").first()
        if out is not None:
            self.do("fault", report_fault, unit_id=out.unit_id, what="dead", port=None, usable=False, note="")
            named = {"fault_ids": None, "note": "", "cost": None, "currency": None, "minutes": None}
            self.do("repair", record_repair, unit_id=out.unit_id, **named)
        if not quantity:
            position = self.outer.positions.get(label="a")
            self.do("repack", edit_position, self.outer.pk, position.pk, fields={"unit": None})
        if claims_out().exists():
            self.extend_what_is_out(end + 4)

    @rule(end=st.integers(2, 20))
    @precondition(lambda self: claims_out().exists())
    def extend_what_is_out(self, end):
        """It succeeds whoever is promised the gear next, and takes from as few as any way of doing it."""
        booking = claims_out().first().booking
        longer = {"ends_at": at(0, end), "accept_shortfalls": False, "powers": ALL_POWERS}
        assert self.do("extend what is out", bookings.extend, booking.pk, **longer) is None

    @rule(number=HOURS, start=HOURS, length=LENGTHS, accepted=st.booleans())
    def move(self, number, start, length, accepted):
        event = self.pick(open_events(), number)
        fields = {"gear_out_at": at(0, start), "gear_back_at": at(0, start + length)}
        self.do("move", events.edit_event, event.pk, fields=fields, accept_shortfalls=accepted)

    @rule(number=HOURS)
    @precondition(lambda self: open_events().count() > 1)
    def cancel_event(self, number):
        self.do("cancel event", events.change_event_state, self.pick(open_events(), number).pk, state="cancelled")

    @rule(number=HOURS, unit=HOURS, empty=st.booleans())
    def repack(self, number, unit, empty):
        position = self.pick(Position.objects.exclude(role="case").exclude(label="inner"), number)
        other = self.pick(Unit.objects.filter(spec=position.spec, positions=None), unit)
        to = None if empty or other is None else other.pk
        self.do("repack", edit_position, position.kit_id, position.pk, fields={"unit": to})

    @rule(number=HOURS, breaks=st.booleans())
    def break_or_repair(self, number, breaks):
        unit = self.pick(Unit.objects.filter(state="in-service" if breaks else "held-back"), number)
        if unit is not None and breaks:
            named = {"unit_id": unit.pk, "what": "dead", "port": None, "usable": False, "note": ""}
            self.do("fault", report_fault, **named)
        elif unit is not None:
            named = {"fault_ids": None, "note": "", "cost": None, "currency": None, "minutes": None}
            self.do("repair", record_repair, unit_id=unit.pk, **named)

    @rule(number=HOURS)
    @precondition(lambda self: promised_by_name().exists())
    def break_what_is_promised_and_repair_it(self, number):
        claim = self.pick(promised_by_name(), number)
        self.do("fault", report_fault, unit_id=claim.unit_id, what="dead", port=None, usable=False, note="")
        named = {"fault_ids": None, "note": "", "cost": None, "currency": None, "minutes": None}
        self.do("repair", record_repair, unit_id=claim.unit_id, **named)
        own = Claim.objects.filter(booking=claim.booking, unit=claim.unit)
        assert own.exclude(standing="released").exists(), "what broke and was repaired is promised as before"

    @rule(number=HOURS, found=st.booleans())
    def lose(self, number, found):
        if unit := self.pick(Unit.objects.filter(state="in-service"), number):
            self.do("lose", edit_unit, unit.pk, fields={"state": "lost"})
            if found:
                self.do("return", edit_unit, unit.pk, fields={"state": "in-service"})

    @rule(number=HOURS)
    @precondition(lambda self: Unit.objects.filter(state="lost").exists())
    def find_what_was_lost(self, number):
        unit = self.pick(Unit.objects.filter(state="lost"), number)
        self.do("return", edit_unit, unit.pk, fields={"state": "in-service"})

    @rule(number=HOURS)
    @precondition(lambda self: movable_claims().exists())
    def pin_one(self, number):
        claim = self.pick(movable_claims(), number)
        self.do("pin", pin_claims, [claim.pk], why="picked")
        self.pinned[claim.pk] = claim.unit_id

    @rule(number=HOURS)
    @precondition(lambda self: pencils().exists())
    def expire(self, number):
        """The date of a pencil passes; nothing else happens."""
        Booking.objects.filter(pk=self.pick(pencils(), number).pk).update(expires_at=timezone.now())
        REACHED["expire"] += 1

    # What must hold.

    @invariant()
    def what_must_hold_after_each_step(self):
        seen = Seen(timezone.now())
        self.no_unit_is_promised_twice(seen)
        self.what_a_booking_wants_is_what_it_has_and_what_it_lacks(seen)
        self.nobody_else_has_or_lacks_anything(seen)
        self.what_is_promised_can_go_out(seen)
        self.what_is_pinned_stays_where_it_is(seen)
        self.what_is_said_to_be_free_is_free(seen)

    def no_unit_is_promised_twice(self, seen):
        firm = [claim for claim in seen.claims if claim["standing"] == "firm"]
        for number, claim in enumerate(firm):
            for other in firm[number + 1 :]:
                apart = claim["ends_at"] <= other["starts_at"] or other["ends_at"] <= claim["starts_at"]
                assert claim["unit_id"] != other["unit_id"] or apart

    def what_a_booking_wants_is_what_it_has_and_what_it_lacks(self, seen):
        for booking in seen.live():
            claims, lacks = seen.claims_of(booking), seen.lacks_of(booking)
            claims = [claim for claim in claims if not claim["stray"]]
            lacks = [lack for lack in lacks if lack["claim_id"] is None]
            assert {claim["standing"] for claim in claims} <= {"firm" if booking["state"] == "confirmed" else "soft"}
            period = booking["starts_at"], booking["ends_at"]
            assert {(claim["starts_at"], claim["ends_at"]) for claim in claims} <= {period}
            if booking["kit_id"] is None:
                assert len(claims) + sum(lack["quantity"] for lack in lacks) == booking["quantity"]
                continue
            units, empty = seen.expansion(booking["kit_id"])
            missing = [lack["unit_id"] for lack in lacks if lack["unit_id"]]
            assert sorted([claim["unit_id"] for claim in claims] + missing) == sorted(units)
            assert sorted(lack["position_id"] for lack in lacks if lack["unit_id"] is None) == sorted(empty)

    def nobody_else_has_or_lacks_anything(self, seen):
        for booking in seen.bookings.values():
            if booking["state"] == "cancelled":
                assert seen.claims_of(booking) == []
                assert seen.lacks_of(booking) == []

    def what_is_promised_can_go_out(self, seen):
        units = {unit["id"]: unit for unit in seen.units}
        for booking in seen.live():
            for claim in seen.claims_of(booking):
                period = claim["starts_at"], claim["ends_at"]
                if claim["standing"] == "firm" and claim["starts_at"] <= seen.now:
                    continue
                assert seen.is_owned(units[claim["unit_id"]], *period)
                assert not seen.is_down(claim["unit_id"], *period)

    def what_is_pinned_stays_where_it_is(self, seen):
        for claim in seen.claims:
            assert claim["unit_id"] == self.pinned.get(claim["id"], claim["unit_id"])

    def what_is_said_to_be_free_is_free(self, seen):
        if not hasattr(self, "spec"):
            return
        periods = [Period(at(0, 0), at(0, 5)), Period(at(0, 5), at(0, 9)), Period(at(0, 0), at(1, 12))]
        answer, _ = available(
            Question(windows=periods, specs=type(self.spec).objects.filter(pk=self.spec.pk), kits=None, now=seen.now)
        )
        expected = [seen.cell(self.spec.pk, period.starts_at, period.ends_at) for period in periods]
        assert answer["specs"][0]["windows"] == expected


@pytest.mark.long(20)
@pytest.mark.django_db
def test_promises_hold_whatever_is_done():
    run_state_machine_as_test(
        Promises,
        settings=settings(
            # The decisions are the same on every database; a second one shows that it keeps them as well.
            max_examples=60 if connection.vendor == "sqlite" else 25,
            stateful_step_count=25,
            deadline=None,
            # What is reached is asserted below, so the same steps are taken each time.
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        ),
    )
    if connection.vendor != "sqlite":
        return  # fewer steps: what they reach is asserted where all of them are taken
    hardly = {way: REACHED[way] for way in (*VERBS, *ENDS) if REACHED[way] < 2}
    assert not hardly, f"hardly reached: {hardly} of {dict(REACHED)}"
