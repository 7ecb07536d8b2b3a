"""Readers of pages: a client of Django's for each role, with a session as a browser has one."""

from collections.abc import Callable

import pytest
from django.test import Client

from tests.service import People

Reader = Callable[..., Client]


@pytest.fixture
def reader(people: People) -> Reader:
    """Return ``reader(role)``: somebody who is signed in; ``reader()`` is nobody."""

    def client(role: str | None = None) -> Client:
        looking = Client()
        if role is not None:
            looking.force_login(people[role])
        return looking

    return client
