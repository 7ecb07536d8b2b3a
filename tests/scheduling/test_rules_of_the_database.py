"""What the database itself refuses, and what it lets stand right beside that."""

from functools import partial

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction

from inventory.base.constraints import RULES, violated_constraint
from scheduling.models import Booking, Claim, Event, Phase, Shortfall, Venue, VenueCircuit
from tests.scheduling.factories import (
    BookingFactory,
    ClaimFactory,
    EventFactory,
    KitFactory,
    ShortfallFactory,
    SpecFactory,
    UnitFactory,
    VenueFactory,
    at,
)

pytestmark = pytest.mark.django_db

ALONE = "scheduling_claim_firm_alone"


def refused_by(write) -> str | None:
    """Return the name of the constraint that refuses ``write``; fail if nothing does."""
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        write()
    return violated_constraint(caught.value)


def stored(instant):
    """Return an instant as the database keeps it, for statements that no model writes."""
    return connection.ops.adapt_datetimefield_value(instant)


def insert_by_hand(claim: Claim, *, booking: int, starts_at, ends_at, standing: str = "firm", unit=None) -> None:
    """Insert a claim past every model, as a program beside the service would."""
    released_at = stored(at(0)) if standing == "released" else None
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO scheduling_claim (booking_id, unit_id, starts_at, ends_at, standing, dealt, pinned_why,"
            " stray, released_at) VALUES (%s, %s, %s, %s, %s, %s, '', %s, %s)",
            [booking, unit or claim.unit_id, stored(starts_at), stored(ends_at), standing, False, False, released_at],
        )


@pytest.fixture
def standing():
    """A firm claim on Monday from 8 to 20."""
    return ClaimFactory()


OVERLAPS = {
    "the same hours": (at(0, 8), at(0, 20)),
    "inside": (at(0, 9), at(0, 10)),
    "around": (at(0, 0), at(1, 0)),
    "over the start": (at(0, 7), at(0, 8.01)),
    "over the end": (at(0, 19.99), at(0, 22)),
}


@pytest.mark.parametrize("period", OVERLAPS.values(), ids=OVERLAPS)
def test_firm_claims_on_one_unit_never_overlap(standing, period):
    other = BookingFactory(unit=standing.unit)
    assert (
        refused_by(lambda: insert_by_hand(standing, booking=other.pk, starts_at=period[0], ends_at=period[1])) == ALONE
    )


NEIGHBOURS = {
    "right before": {"starts_at": at(0, 6), "ends_at": at(0, 8)},
    "right after": {"starts_at": at(0, 20), "ends_at": at(0, 22)},
    "soft": {"standing": "soft"},
    "released": {"standing": "released"},
}


@pytest.mark.parametrize("different", NEIGHBOURS.values(), ids=NEIGHBOURS)
def test_what_may_stand_beside_a_firm_claim(standing, different):
    other = BookingFactory(unit=standing.unit)
    claim = {"starts_at": standing.starts_at, "ends_at": standing.ends_at} | different
    insert_by_hand(standing, booking=other.pk, **claim)
    assert Claim.objects.count() == 2


def test_another_unit_may_be_claimed_for_the_same_hours(standing):
    insert_by_hand(
        standing,
        booking=BookingFactory().pk,
        unit=UnitFactory().pk,
        starts_at=standing.starts_at,
        ends_at=standing.ends_at,
    )
    assert Claim.objects.filter(standing="firm").count() == 2


@pytest.mark.parametrize("way", ["made firm", "moved in time", "moved onto the unit"])
def test_a_claim_cannot_be_changed_into_an_overlap(standing, way):
    other = BookingFactory(unit=standing.unit)
    before, change = {
        "made firm": ({"standing": "soft"}, {"standing": "firm"}),
        "moved in time": ({"starts_at": at(0, 20), "ends_at": at(1, 0)}, {"starts_at": at(0, 12)}),
        "moved onto the unit": ({"unit": UnitFactory()}, {"unit": standing.unit}),
    }[way]
    moved = ClaimFactory(booking=other, **before)
    assert refused_by(write(Claim, moved, **change)) == ALONE


def test_a_claim_may_be_written_again_as_it_stands(standing):
    assert Claim.objects.filter(pk=standing.pk).update(starts_at=at(0, 8), standing="firm") == 1


def test_the_model_explains_an_overlap_before_the_database_refuses_it(standing):
    other = Claim(booking=BookingFactory(unit=standing.unit), unit=standing.unit, starts_at=at(0, 19), ends_at=at(1, 0))
    other.standing, other.dealt = "firm", False
    with pytest.raises(ValidationError):
        other.validate_constraints()
    other.starts_at = at(0, 20)
    other.validate_constraints()


def test_every_constraint_has_its_sentence():
    named = {
        constraint.name
        for model in apps.get_app_config("scheduling").get_models()
        for constraint in model._meta.constraints
    }
    assert named == {name for name in RULES if name.startswith("scheduling_")}


def write(model, instance, **columns):
    return lambda: model.objects.filter(pk=instance.pk).update(**columns)


def test_a_booking_wants_exactly_one_thing():
    booking = BookingFactory()
    one_thing = "scheduling_booking_wants_one_thing"
    assert refused_by(write(Booking, booking, unit=None)) == one_thing
    assert refused_by(write(Booking, booking, spec=SpecFactory())) == one_thing
    assert refused_by(write(Booking, booking, kit=KitFactory())) == one_thing
    write(Booking, booking, unit=None, spec=SpecFactory(), quantity=4, from_kits=True)()
    assert refused_by(write(Booking, booking, unit=booking.unit, spec=None, quantity=1)) == (
        "scheduling_booking_only_specs_strip_kits"
    )
    write(Booking, booking, spec=None, quantity=1, kit=KitFactory(), from_kits=False)()


@pytest.mark.parametrize(
    ("columns", "rule", "beside"),
    [
        ({"quantity": 2}, "scheduling_booking_counts_specs_only", {"quantity": 1}),
        ({"state": "pencil"}, "scheduling_booking_pencil_expires", {"state": "pencil", "expires_at": at(0)}),
        ({"state": "maybe"}, "scheduling_booking_state_known", {"state": "cancelled"}),
        ({"proof": "likely"}, "scheduling_booking_proof_known", {"proof": "exact"}),
        ({"ends_at": at(0, 8)}, "scheduling_booking_ends_after_start", {"ends_at": at(0, 8.001)}),
    ],
)
def test_a_booking_keeps_its_rules(columns, rule, beside):
    booking = BookingFactory()
    assert refused_by(write(Booking, booking, **columns)) == rule
    write(Booking, booking, **beside)()


def test_a_number_of_a_spec_is_at_least_one():
    booking = BookingFactory(unit=None, spec=SpecFactory(), quantity=2)
    assert refused_by(write(Booking, booking, quantity=0)) == "scheduling_booking_quantity_positive"


@pytest.mark.parametrize(
    ("columns", "rule", "beside"),
    [
        ({"standing": "perhaps"}, "scheduling_claim_standing_known", {"standing": "soft"}),
        ({"standing": "released"}, "scheduling_claim_released_when", {"standing": "released", "released_at": at(0)}),
        ({"released_at": at(0)}, "scheduling_claim_released_when", {"standing": "soft"}),
        ({"ends_at": at(0, 8)}, "scheduling_claim_ends_after_start", {"ends_at": at(0, 8.001)}),
    ],
)
def test_a_claim_keeps_its_rules(standing, columns, rule, beside):
    assert refused_by(write(Claim, standing, **columns)) == rule
    write(Claim, standing, **beside)()


def test_a_booking_claims_a_unit_once_unless_released(standing):
    again = {"booking": standing.booking, "starts_at": at(3), "ends_at": at(4)}
    assert refused_by(lambda: ClaimFactory(**again)) == "scheduling_claim_unit_once_a_booking"
    write(Claim, standing, standing="released", released_at=at(0))()
    ClaimFactory(**again)


@pytest.mark.parametrize(
    ("columns", "rule", "beside"),
    [
        ({"reason": "whim"}, "scheduling_shortfall_reason_known", {"reason": "late"}),
        ({"closed_at": at(1)}, "scheduling_shortfall_closed_somehow", {"closed_at": at(1), "closed_how": "filled"}),
        ({"closed_how": "filled"}, "scheduling_shortfall_closed_somehow", {}),
        (
            {"closed_at": at(1), "closed_how": "magic"},
            "scheduling_shortfall_closed_how_known",
            {"closed_at": at(1), "closed_how": "cancelled"},
        ),
        ({"quantity": 0}, "scheduling_shortfall_quantity_positive", {"quantity": 3}),
    ],
)
def test_a_shortfall_keeps_its_rules(columns, rule, beside):
    shortfall = ShortfallFactory()
    assert refused_by(write(Shortfall, shortfall, **columns)) == rule
    if beside:
        write(Shortfall, shortfall, **beside)()


def test_a_shortfall_that_names_a_unit_is_of_one():
    shortfall = ShortfallFactory(unit=UnitFactory())
    assert refused_by(write(Shortfall, shortfall, quantity=2)) == "scheduling_shortfall_names_one_unit"
    write(Shortfall, shortfall, quantity=2, unit=None)()


def test_an_event_keeps_its_rules():
    event = EventFactory()
    assert refused_by(write(Event, event, state="dreamt")) == "scheduling_event_state_known"
    assert refused_by(write(Event, event, gear_back_at=at(0, 8))) == "scheduling_event_back_after_out"
    write(Event, event, state="closed", gear_back_at=at(0, 8.001))()


def test_a_phase_keeps_its_rules():
    phase = Phase.objects.create(event=EventFactory(), kind="show", starts_at=at(0, 8), ends_at=at(0, 9))
    assert refused_by(write(Phase, phase, kind="party")) == "scheduling_phase_kind_known"
    assert refused_by(write(Phase, phase, ends_at=at(0, 8))) == "scheduling_phase_ends_after_start"
    write(Phase, phase, kind="load-out", ends_at=at(0, 8.001))()


def test_a_venue_keeps_its_rules():
    venue = VenueFactory()
    assert refused_by(write(Venue, venue, rules="local")) == "scheduling_venue_rules_known"
    assert refused_by(write(Venue, venue, internet_down_mbps=-1)) == "scheduling_venue_down_not_negative"
    assert refused_by(write(Venue, venue, internet_up_mbps=-1)) == "scheduling_venue_up_not_negative"
    write(Venue, venue, rules="north_america", internet_down_mbps=0, internet_up_mbps=None)()


def test_a_circuit_keeps_its_rules():
    venue = VenueFactory()
    circuit = VenueCircuit.objects.create(venue=venue, name="A1")
    for columns, rule in [
        ({"curve": "Z"}, "scheduling_venuecircuit_curve_known"),
        ({"rcd_type": "X"}, "scheduling_venuecircuit_rcd_type_known"),
        ({"breaker_a": 0}, "scheduling_venuecircuit_breaker_positive"),
        ({"volts": 0}, "scheduling_venuecircuit_volts_positive"),
        ({"rcd_ma": 0}, "scheduling_venuecircuit_rcd_positive"),
        ({"already_used_a": -1}, "scheduling_venuecircuit_used_not_negative"),
    ]:
        assert refused_by(write(VenueCircuit, circuit, **columns)) == rule
    write(VenueCircuit, circuit, curve="C", rcd_type="A", breaker_a=16, volts=230, rcd_ma=30, already_used_a=0)()
    once_more = partial(VenueCircuit.objects.create, venue=venue, name="A1")
    assert refused_by(once_more) == "scheduling_venuecircuit_name_once_a_venue"
    VenueCircuit.objects.create(venue=VenueFactory(), name="A1")
