"""The pure half of a promise: (rows, wants, policy) → what is to be written. No database, no clock."""

from scheduling.promises.decide.bookable import most_bookable
from scheduling.promises.decide.bookings import decide_bookings, decide_release
from scheduling.promises.decide.decision import Decision
from scheduling.promises.decide.occupancy import Occupancy, as_obstacles
from scheduling.promises.decide.policy import (
    ALLOCATE_AGAIN,
    BOOK,
    CONFIRM,
    END,
    EXTEND,
    FOLLOW,
    MOVE,
    Policy,
    Refusal,
)
from scheduling.promises.decide.terms import (
    BookingResult,
    ClaimRow,
    DowntimeRow,
    FixedReason,
    Obstacle,
    Period,
    ShortfallDraft,
    ShortfallRow,
    Snapshot,
    UnitRow,
)
from scheduling.promises.decide.wants import SpecQuantity, Want, WantedItem

__all__ = [
    "ALLOCATE_AGAIN",
    "BOOK",
    "CONFIRM",
    "END",
    "EXTEND",
    "FOLLOW",
    "MOVE",
    "BookingResult",
    "ClaimRow",
    "Decision",
    "DowntimeRow",
    "FixedReason",
    "Obstacle",
    "Occupancy",
    "Period",
    "Policy",
    "Refusal",
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
