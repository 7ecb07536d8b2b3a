"""Allocating again what a booking wants, as a person asks for it."""

import pytest
from django.utils import timezone

from inventory.base.changes import change
from scheduling.errors import PencilExpiredError
from scheduling.models import Booking, Claim
from scheduling.services.alternatives import reallocate
from scheduling.services.powers import Powers
from tests.scheduling.asking import made, post
from tests.scheduling.state import units_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def pencil(planner, event, kit):
    """A pencil of the kit that has lost its claims."""
    booking = Booking.objects.get(pk=made(post(planner, "/bookings/", {"event": event.pk, "kit": kit.pk}))["id"])
    Claim.objects.filter(booking=booking).update(standing="released", released_at=timezone.now())
    return booking


def reallocate_own(booking):
    with change(actor_id=booking.booked_by_id, request_id="test") as c:
        reallocate(c, booking.pk, powers=Powers())


def unreleased_units(booking):
    return set(Claim.objects.filter(booking=booking).exclude(standing="released").values_list("unit", flat=True))


def test_a_pencil_is_allocated_what_is_free(pencil, kit):
    reallocate_own(pencil)
    assert unreleased_units(pencil) == units_of(kit)


def test_an_expired_pencil_is_refused_and_gets_no_claims(pencil):
    Booking.objects.filter(pk=pencil.pk).update(expires_at=timezone.now())
    with pytest.raises(PencilExpiredError):
        reallocate_own(pencil)
    assert unreleased_units(pencil) == set()
    assert Booking.objects.get(pk=pencil.pk).version == pencil.version
