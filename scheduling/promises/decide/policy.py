"""How a verb allocates: one named policy for each of them, so that no call carries a row of booleans.

Two rules hold for all verbs and are no part of a policy. A pencil takes soft claims and is never refused for the sake
of others. Units that are out with a booking stay with it, whoever else is promised them.
"""

from dataclasses import dataclass
from enum import Enum


class Refusal(Enum):
    """When a verb is refused, unless shortfalls are accepted for the booking."""

    SHORT = "a needed unit is missing"
    WORSE_OFF = "a needed unit is missing, and the booking lacks more than it did before"
    NEVER = "never: what is missing becomes a shortfall"


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """What a verb may do to the bookings that it is about, and to others."""

    refusal: Refusal
    """When the whole verb is refused."""
    together: bool = False
    """All bookings give their claims up before the first is allocated units, so they may exchange them. Otherwise
    they are allocated one after the other, and each avoids the claims that the rest still holds."""
    fills_shortfalls: bool = True
    """Everything that a confirmed booking wants is allocated. Otherwise only what it already claimed, and the units
    that its shortfalls name; a missing number of a spec stays missing until a person asks for it."""


BOOK = Policy(refusal=Refusal.SHORT)
"""A new booking, or a pencil that had expired: all of it or a refusal; no other booking loses a unit."""
CONFIRM = Policy(refusal=Refusal.SHORT)
"""A pencil becomes firm. It competes for its units like a new booking."""
EXTEND = Policy(refusal=Refusal.WORSE_OFF)
"""Another period. A shortfall that the booking had before is no reason to refuse."""
MOVE = Policy(refusal=Refusal.WORSE_OFF, together=True)
"""All bookings of an event change their period at once."""
FOLLOW = Policy(refusal=Refusal.NEVER, fills_shortfalls=False)
"""Units or contents have changed. Lost units are replaced where the service chose them, and restored where the
shortfall names them."""
END = Policy(refusal=Refusal.NEVER, fills_shortfalls=False)
"""A booking ends before its time, because its gear is back."""
ALLOCATE_AGAIN = Policy(refusal=Refusal.NEVER)
"""A person asks for everything that can be allocated now."""
