"""What the tests of promises ask with: signed-in clients by role, an event, a kit."""

import pytest


@pytest.fixture
def planner(api):
    return api("planner")


@pytest.fixture
def crew(api):
    return api("crew")


@pytest.fixture
def event(db):
    # Imported late: this file is read before Django is ready.
    from tests.scheduling.factories import EventFactory

    return EventFactory()


@pytest.fixture
def kit(db):
    """A case with a required unit, ``switch A``, and a spare one, ``switch B``."""
    from tests.scheduling.factories import KitFactory, PositionFactory

    kit = KitFactory()
    PositionFactory(kit=kit, label="switch A")
    PositionFactory(kit=kit, label="switch B", role="spare")
    return kit
