"""Where a kit is promised, a line for each booking."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.vocabulary import NOTHING_FOUND
from scheduling.models import BookingState
from scheduling.selectors.kits import KitBookingShape
from web.components.spans import moment, span


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPromise:
    event: int
    event_name: str
    when: str
    severity: str
    words: str
    """``promised``, ``pencilled until …``, ``short 2``."""
    state: str
    """Said beside a shortfall; else empty."""
    around: int | None
    """The kit that is booked, where it is one that this kit lies in."""
    around_name: str
    short: int


def kit_promises(shapes: Sequence[KitBookingShape], kit: int) -> tuple[KitPromise, ...]:
    """Return the lines of one kit, the next first."""
    return tuple(_line(shape, kit) for shape in shapes)


def _line(shape: KitBookingShape, kit: int) -> KitPromise:
    pencil, short = shape["state"] == BookingState.PENCIL, shape["short"]
    until = f" until {moment(shape['expires_at'])}" if shape["expires_at"] is not None else ""
    state = f"pencilled{until}" if pencil else "promised"
    elsewhere = shape["kit"] != kit
    return KitPromise(
        event=shape["event"],
        event_name=shape["event_name"],
        when=span(shape["starts_at"], shape["ends_at"]),
        severity=("caution" if pencil else "stop") if short else "note" if pencil else NOTHING_FOUND,
        words=f"short {short}" if short else state,
        state=state if short else "",
        around=shape["kit"] if elsewhere else None,
        around_name=shape["kit_name"] if elsewhere else "",
        short=short,
    )
