from scheduling.models.booking import BOOKING_MOVES, PROOFS, Booking, BookingState
from scheduling.models.claim import Claim, ClaimStanding
from scheduling.models.event import EVENT_MOVES, Event, EventState, Phase, PhaseKind
from scheduling.models.shortfall import CLOSED_HOW, SHORTFALL_REASONS, Shortfall
from scheduling.models.venue import RCD_TYPES, Venue, VenueCircuit

__all__ = [
    "BOOKING_MOVES",
    "CLOSED_HOW",
    "EVENT_MOVES",
    "PROOFS",
    "RCD_TYPES",
    "SHORTFALL_REASONS",
    "Booking",
    "BookingState",
    "Claim",
    "ClaimStanding",
    "Event",
    "EventState",
    "Phase",
    "PhaseKind",
    "Shortfall",
    "Venue",
    "VenueCircuit",
]
