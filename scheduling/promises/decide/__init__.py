"""The pure half of a promise: (what stands, what is wanted) → what is to be written. No database, no clock."""

from scheduling.promises.decide.bookable import most_bookable
from scheduling.promises.decide.bookings import decide_bookings, decide_release
from scheduling.promises.decide.decision import Decision
from scheduling.promises.decide.occupancy import Occupancy, as_obstacles
from scheduling.promises.decide.terms import (
    BookingResult,
    ClaimRow,
    DowntimeRow,
    Obstacle,
    Period,
    ShortfallDraft,
    ShortfallRow,
    Snapshot,
    SpecQuantity,
    UnitRow,
    Want,
    WantedItem,
)

__all__ = [
    "BookingResult",
    "ClaimRow",
    "Decision",
    "DowntimeRow",
    "Obstacle",
    "Occupancy",
    "Period",
    "ShortfallDraft",
    "ShortfallRow",
    "Snapshot",
    "SpecQuantity",
    "UnitRow",
    "Want",
    "WantedItem",
    "as_obstacles",
    "decide_bookings",
    "decide_release",
    "most_bookable",
]
