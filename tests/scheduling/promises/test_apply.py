"""Writing a decision: what the database would trip over half-way."""

from dataclasses import replace

import pytest

from inventory.base.changes import change
from scheduling.models import Claim
from scheduling.promises.apply import write_decision
from scheduling.promises.decide import ClaimRow, Decision, Period
from tests.scheduling.factories import BookingFactory, ClaimFactory, SpecFactory, UnitFactory


@pytest.mark.django_db
def test_firm_claims_may_trade_units_although_the_database_judges_row_by_row():
    spec = SpecFactory()
    claims = [ClaimFactory(booking=BookingFactory(unit=None, spec=spec), unit=UnitFactory(spec=spec)) for _ in range(3)]
    units = [claim.unit_id for claim in claims]
    seen = [
        ClaimRow(
            id=claim.pk,
            booking=claim.booking_id,
            event=claim.booking.event_id,
            unit=claim.unit_id,
            period=Period(claim.starts_at, claim.ends_at),
            firm=True,
        )
        for claim in claims
    ]
    round_about = tuple(replace(claim, unit=units[number - 1]) for number, claim in enumerate(seen))
    with change(actor_id=None, request_id="test") as c:
        write_decision(c, Decision(change=round_about, moved=frozenset(claim.id for claim in seen)))
    assert list(Claim.objects.order_by("pk").values_list("unit", "standing")) == [
        (units[2], "firm"),
        (units[0], "firm"),
        (units[1], "firm"),
    ]
