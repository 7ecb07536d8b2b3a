"""The pure half of a promise: (what stands, what is wanted) → what is to be written. No database, no clock."""

from scheduling.promises.decide.board import Board, as_obstacles
from scheduling.promises.decide.bookable import most_bookable
from scheduling.promises.decide.decision import Decision
from scheduling.promises.decide.settle import give_up, settle
from scheduling.promises.decide.terms import (
    ClaimSeen,
    Deal,
    DowntimeSeen,
    Lack,
    Line,
    Obstacle,
    Period,
    ShortfallSeen,
    Snapshot,
    UnitSeen,
    Verdict,
    Want,
)

__all__ = [
    "Board",
    "ClaimSeen",
    "Deal",
    "Decision",
    "DowntimeSeen",
    "Lack",
    "Line",
    "Obstacle",
    "Period",
    "ShortfallSeen",
    "Snapshot",
    "UnitSeen",
    "Verdict",
    "Want",
    "as_obstacles",
    "give_up",
    "most_bookable",
    "settle",
]
