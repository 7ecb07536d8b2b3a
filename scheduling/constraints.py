"""The named constraints of scheduling, each as a sentence and a problem."""

from inventory.base.constraints import Rule, explain
from scheduling.errors import ClaimConflictError, DateTakenError, NameTakenError

explain(
    {
        "scheduling_venue_rules_known": Rule("The rule set is one of those that are built in."),
        "scheduling_venue_down_not_negative": Rule("A rate is not negative."),
        "scheduling_venue_up_not_negative": Rule("A rate is not negative."),
        "scheduling_venuecircuit_name_once_a_venue": Rule("The venue has a circuit of that name.", NameTakenError),
        "scheduling_venuecircuit_curve_known": Rule("A breaker curve is B, C or D."),
        "scheduling_venuecircuit_rcd_type_known": Rule("The type of a residual current device is AC, A, F or B."),
        "scheduling_venuecircuit_breaker_positive": Rule("A breaker has a rating above zero."),
        "scheduling_venuecircuit_volts_positive": Rule("A voltage is above zero."),
        "scheduling_venuecircuit_rcd_positive": Rule("A residual current is above zero."),
        "scheduling_venuecircuit_used_not_negative": Rule("A current is not negative."),
        "scheduling_event_state_known": Rule("The state of an event is one of the list."),
        "scheduling_event_back_after_out": Rule("Gear comes back after it went out."),
        "scheduling_event_one_date_taken": Rule("Another of these dates is confirmed already.", DateTakenError),
        "scheduling_phase_kind_known": Rule("The kind of a phase is one of the list."),
        "scheduling_phase_ends_after_start": Rule("A phase ends after it starts."),
        "scheduling_booking_wants_one_thing": Rule("A booking wants one kit, one unit, or a number of one spec."),
        "scheduling_booking_counts_specs_only": Rule("Only a spec is booked by the number."),
        "scheduling_booking_only_specs_strip_kits": Rule("Only a spec is dealt from kits."),
        "scheduling_booking_pencil_expires": Rule("A pencil has a date on which it expires."),
        "scheduling_booking_state_known": Rule("The state of a booking is one of the list."),
        "scheduling_booking_proof_known": Rule("A proof is one of the list."),
        "scheduling_booking_quantity_positive": Rule("A quantity is at least one."),
        "scheduling_booking_ends_after_start": Rule("A booking ends after it starts."),
        "scheduling_claim_firm_alone": Rule("That unit is promised to somebody else then.", ClaimConflictError),
        "scheduling_claim_unit_once_a_booking": Rule("A booking claims a unit once."),
        "scheduling_claim_released_when": Rule("A released claim says when it was released."),
        "scheduling_claim_standing_known": Rule("A claim is soft, firm or released."),
        "scheduling_claim_ends_after_start": Rule("A claim ends after it starts."),
        "scheduling_shortfall_reason_known": Rule("The reason of a shortfall is one of the list."),
        "scheduling_shortfall_closed_how_known": Rule("A shortfall is closed in one of the known ways."),
        "scheduling_shortfall_closed_somehow": Rule("A closed shortfall says when and how."),
        "scheduling_shortfall_names_one_unit": Rule("A shortfall that names a unit is about that one."),
        "scheduling_claim_only_firm_ones_stray": Rule("Only what is out with a confirmed booking can be a stray."),
        "scheduling_shortfall_one_beside_a_claim": Rule("One shortfall is open beside a claim."),
        "scheduling_standin_one_a_position": Rule("A place of a booked kit has one stand-in."),
        "scheduling_standin_unit_once_a_booking": Rule("A unit stands in once for a booking."),
        "scheduling_shortfall_quantity_positive": Rule("A shortfall is of at least one."),
    }
)
