"""What can be had in which window: counts by spec, and kits with what keeps them."""

from scheduling.selectors.availability.answer import (
    ROWS,
    AvailabilityShape,
    AvailableKitShape,
    AvailableSpecShape,
    Question,
    WindowShape,
    available,
    changes_by_itself_at,
)

__all__ = [
    "ROWS",
    "AvailabilityShape",
    "AvailableKitShape",
    "AvailableSpecShape",
    "Question",
    "WindowShape",
    "available",
    "changes_by_itself_at",
]
