"""A rule that Django does not know of, on a table that is built anew."""

import pytest
from django.db import IntegrityError, connection, models

from inventory.base.constraints import violated_constraint
from scheduling.models import Claim
from tests.scheduling.factories import BookingFactory, ClaimFactory
from tests.scheduling.test_rules_of_the_database import ALONE, stored

pytestmark = pytest.mark.django_db(transaction=True)


def test_the_rule_outlives_a_rebuild_of_the_table():
    """SQLite copies the table at most schema changes; whatever it is not told of is gone afterwards."""
    standing = ClaimFactory()
    other = BookingFactory(unit=standing.unit)
    passing = models.IntegerField(default=0)
    passing.set_attributes_from_name("passing")
    with connection.schema_editor() as editor:
        editor.add_field(Claim, passing)
    try:
        with pytest.raises(IntegrityError) as caught, connection.cursor() as cursor:
            cursor.execute(
                "INSERT INTO scheduling_claim (booking_id, unit_id, starts_at, ends_at, standing, dealt, pinned_why,"
                " stray, passing) VALUES (%s, %s, %s, %s, 'firm', %s, '', %s, 0)",
                [other.pk, standing.unit_id, stored(standing.starts_at), stored(standing.ends_at), False, False],
            )
        assert violated_constraint(caught.value) == ALONE
    finally:
        with connection.schema_editor() as editor:
            editor.remove_field(Claim, passing)
