from scheduling.models.booking import PROOFS, Booking, BookingState
from scheduling.models.claim import Claim, ClaimStanding
from scheduling.models.either_or import EitherOr
from scheduling.models.event import Event, EventState, Phase, PhaseKind
from scheduling.models.shortfall import CLOSED_HOW, SHORTFALL_REASONS, Shortfall
from scheduling.models.stand_in import StandIn
from scheduling.models.venue import RCD_TYPES, Venue, VenueCircuit

__all__ = [
    "CLOSED_HOW",
    "PROOFS",
    "RCD_TYPES",
    "SHORTFALL_REASONS",
    "Booking",
    "BookingState",
    "Claim",
    "ClaimStanding",
    "EitherOr",
    "Event",
    "EventState",
    "Phase",
    "PhaseKind",
    "Shortfall",
    "StandIn",
    "Venue",
    "VenueCircuit",
]
