"""What the tables of promises hold, to compare before and after."""

from typing import Any

from inventory.models import Kit
from scheduling.models import Booking, Claim, Shortfall


def tables() -> list[list[dict[str, Any]]]:
    return [list(model.objects.order_by("pk").values()) for model in (Booking, Claim, Shortfall)]


def units_of(kit: Kit, *roles: str) -> set[int]:
    """Return the units of a kit's own positions of these roles, or of all of them."""
    return set(kit.positions.filter(role__in=roles or ["case", "required", "spare"]).values_list("unit", flat=True))
