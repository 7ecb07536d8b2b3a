"""Tests with real transactions leave nothing behind, and nothing missing."""

import pytest

from inventory.base.models import Ledger


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("turn", [1, 2])
def test_a_test_with_real_transactions_finds_the_rows_of_the_migrations(turn, people):
    assert Ledger.objects.get().version == 0
    assert people["owner"].roles == {"owner"}
    Ledger.objects.update(version=turn)
