"""What the tests of promises ask with: signed-in clients by role, and the words in which the interface is asked."""

import pytest


@pytest.fixture
def planner(api):
    return api("planner")


@pytest.fixture
def crew(api):
    return api("crew")
