"""What the other tests stand on: people of the right roles, clients that speak for them, a broker that nobody runs."""

import pytest

from config.celery import app
from inventory.base.roles import ALL_ROLES
from tests.service import PASSWORD


@pytest.mark.django_db
def test_each_person_has_the_role_of_that_name_and_can_sign_in(people):
    for role in ALL_ROLES:
        assert role in people[role].roles
        assert people[role].check_password(PASSWORD)
    assert people["electrics"].roles == {"crew", "electrics"}


def test_messages_go_nowhere_outside_this_process():
    with app.connection_for_write() as connection:
        assert connection.transport_cls == "memory"
