"""The predicates of rows: what each takes in, in querysets, through relations, in written SQL and on a row in hand."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import pytest
from django.db import connection

from inventory.base.predicates import InstantColumn, sql_of, through
from scheduling import rows
from scheduling.models import Booking, Claim, Shortfall
from tests.scheduling.factories import (
    BookingFactory,
    ClaimFactory,
    ShortfallFactory,
    at,
)

pytestmark = pytest.mark.django_db

NOW = at(2)
INSTANT = timedelta(microseconds=1)


@dataclass(frozen=True)
class Window:
    starts_at: datetime
    ends_at: datetime


WINDOW = Window(at(3), at(4))


@pytest.fixture
def bookings():
    """One booking of each state and expiry, by its name; each once over and once to come."""
    states = {
        "confirmed": {"state": "confirmed", "expires_at": None},
        "confirmed in time": {"state": "confirmed", "expires_at": NOW - INSTANT},
        "pencil": {"state": "pencil", "expires_at": NOW + INSTANT},
        "pencil at its date": {"state": "pencil", "expires_at": NOW},
        "cancelled": {"state": "cancelled", "expires_at": NOW + INSTANT},
    }
    over, ahead = {"starts_at": at(0), "ends_at": NOW}, {"starts_at": at(0), "ends_at": NOW + INSTANT}
    return {name: BookingFactory(**state, **ahead) for name, state in states.items()} | {
        f"{name}, over": BookingFactory(**state, **over) for name, state in states.items()
    }


def names(bookings, condition):
    chosen = set(Booking.objects.filter(condition).values_list("pk", flat=True))
    return {name for name, booking in bookings.items() if booking.pk in chosen}


def test_in_force_is_what_is_confirmed_or_pencilled_before_its_date_over_or_not(bookings):
    holding = {"confirmed", "confirmed in time", "pencil"}
    assert names(bookings, rows.in_force(NOW)) == holding | {f"{name}, over" for name in holding}


def test_live_leaves_out_what_is_over(bookings):
    assert names(bookings, rows.live(NOW)) == {"confirmed", "confirmed in time", "pencil"}


def test_only_pencils_expire_and_a_booking_in_hand_says_the_same(bookings):
    in_the_database = names(bookings, rows.expired(NOW))
    assert in_the_database == {"pencil at its date", "pencil at its date, over"}
    assert {name for name, booking in bookings.items() if rows.has_expired(booking, NOW)} == in_the_database


def test_each_booking_that_is_not_cancelled_is_in_force_or_expired(bookings):
    in_force, expired = names(bookings, rows.in_force(NOW)), names(bookings, rows.expired(NOW))
    assert in_force | expired == names(bookings, rows.not_cancelled())
    assert in_force & expired == set()


def test_a_predicate_reaches_through_a_relation(bookings):
    shortfalls = {name: ShortfallFactory(booking=booking) for name, booking in bookings.items()}
    chosen = set(Shortfall.objects.filter(rows.live(NOW, "booking")).values_list("pk", flat=True))
    assert {name for name, row in shortfalls.items() if row.pk in chosen} == names(bookings, rows.live(NOW))


def test_only_lookups_reach_through_a_relation():
    with pytest.raises(TypeError, match="Only lookups"):
        through("claims", rows.reallocatable(NOW))


def test_a_claim_holds_its_unit_when_it_is_firm_or_its_pencil_is_in_force(bookings):
    standing = {"confirmed": "firm", "pencil": "soft", "pencil at its date": "soft", "cancelled": "released"}
    for name, value in standing.items():
        released_at = NOW if value == "released" else None
        ClaimFactory(booking=bookings[name], standing=value, released_at=released_at)
    holding = Claim.objects.filter(rows.holding(NOW)).values_list("booking", flat=True)
    assert set(holding) == {bookings["confirmed"].pk, bookings["pencil"].pk}


@pytest.mark.parametrize(
    ("starts_at", "ends_at", "overlaps"),
    [
        (at(2), at(3), False),
        (at(2), at(3) + INSTANT, True),
        (at(3.5), at(3.6), True),
        (at(4) - INSTANT, at(5), True),
        (at(4), at(5), False),
    ],
)
def test_periods_overlap_half_open(starts_at, ends_at, overlaps):
    booking = BookingFactory(starts_at=starts_at, ends_at=ends_at)
    assert Booking.objects.filter(rows.overlapping(WINDOW), pk=booking.pk).exists() is overlaps


def test_written_sql_says_what_the_queryset_says(bookings):
    for booking in bookings.values():
        if booking.state != "cancelled":
            ClaimFactory(booking=booking, standing="firm" if booking.state == "confirmed" else "soft")
    held = rows.holding(NOW) & rows.overlapping(Window(at(1), at(1, 12)))
    statement = "SELECT c.id FROM scheduling_claim c JOIN scheduling_booking b ON b.id = c.booking_id WHERE "
    expected = set(Claim.objects.filter(rows.holding(NOW)).values_list("pk", flat=True))
    assert chosen(statement, sql_of(rows.holding(NOW), {Claim: "c", Booking: "b"})) == expected
    assert chosen(statement, sql_of(held, {Claim: "c", Booking: "b"})) == set(
        Claim.objects.filter(held).values_list("pk", flat=True)
    )


def test_written_sql_may_compare_with_columns_of_the_statement(bookings):
    for booking in bookings.values():
        ClaimFactory(booking=booking)
    itself = sql_of(rows.overlapping(Window(InstantColumn("c.starts_at"), InstantColumn("c.ends_at"))), {Claim: "c"})
    after = sql_of(rows.overlapping(Window(InstantColumn("c.ends_at"), InstantColumn("c.ends_at"))), {Claim: "c"})
    assert len(chosen("SELECT c.id FROM scheduling_claim c WHERE ", itself)) == len(bookings)
    assert chosen("SELECT c.id FROM scheduling_claim c WHERE ", after) == set()


def test_written_sql_names_every_table_that_it_reaches():
    with pytest.raises(ValueError, match="scheduling_booking"):
        sql_of(rows.holding(NOW), {Claim: "c"})


def chosen(statement, fragment):
    with connection.cursor() as cursor:
        cursor.execute(statement + fragment.sql, fragment.parameters)
        return {pk for (pk,) in cursor.fetchall()}
