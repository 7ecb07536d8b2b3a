from scheduling.models.booking import BOOKING_MOVES, BOOKING_STATES, PROOFS, Booking
from scheduling.models.claim import STANDINGS, Claim
from scheduling.models.event import EVENT_MOVES, EVENT_STATES, PHASE_KINDS, Event, Phase
from scheduling.models.shortfall import CLOSED_HOW, SHORTFALL_REASONS, Shortfall
from scheduling.models.venue import RCD_TYPES, Venue, VenueCircuit

__all__ = [
    "BOOKING_MOVES",
    "BOOKING_STATES",
    "CLOSED_HOW",
    "EVENT_MOVES",
    "EVENT_STATES",
    "PHASE_KINDS",
    "PROOFS",
    "RCD_TYPES",
    "SHORTFALL_REASONS",
    "STANDINGS",
    "Booking",
    "Claim",
    "Event",
    "Phase",
    "Shortfall",
    "Venue",
    "VenueCircuit",
]
