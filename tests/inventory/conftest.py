"""What the tests of the inventory share."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from tests.inventory.gear import Gear


@pytest.fixture
def gear(api: Callable[..., Any]) -> "Gear":
    from tests.inventory.gear import Gear

    return Gear(api("planner"))
