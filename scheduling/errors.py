"""What can go wrong with promises, said so that the reader knows what to do."""

from inventory.base.errors import DomainError


class ClaimConflictError(DomainError):
    code = "claim-conflict"
    title = "Some of it is promised to others, or held back, at that time"
    advice = (
        "'conflicts' lists every unit in the way and what it is promised to; 'alternatives' lists what could stand in. "
        "Take another period or other gear, agree with whoever has it, or book all the same with accept_shortfalls."
    )


class NotEnoughError(DomainError):
    code = "not-enough"
    title = "There is not that much of it"
    advice = "'bookable' is the most that can be booked for that period. Ask for less, or hire the rest in."


class ClaimUndecidedError(DomainError):
    code = "claim-undecided"
    title = "Nobody can say yet whether it fits"
    advice = "The search ended without a proof either way. Ask for a proposal, or pin some of the dealt units by hand."


class DraftKitError(DomainError):
    code = "draft-kit"
    title = "The kit has no case yet"
    advice = "A kit without a case is a draft: it can be checked and compared. Give it a case, then book it."


class WrongStateError(DomainError):
    code = "wrong-state"
    title = "It is not in a state for that"
    advice = (
        "'state' says where it stands, and 'legal' which verbs it can be used with. A cancelled booking or event stays "
        "cancelled: make a new one."
    )


class StillOutError(DomainError):
    code = "still-out"
    title = "Its gear is still out"
    advice = (
        "'tags' lists what is out. Wait until it is back; or say that it never left (never_left), or, to close an "
        "event, that it is back now (ends_now)."
    )


class DateOpenError(DomainError):
    code = "date-open"
    title = "The date is not settled yet"
    advice = "The event is one of several dates, and gear is only pencilled for each. Confirm the event first."


class DateTakenError(DomainError):
    code = "date-taken"
    title = "Another date was taken"
    advice = "Of several dates one is confirmed. Cancel that event first, or plan a new one."


class NotBehindError(DomainError):
    code = "not-behind"
    title = "You are not waiting behind that pencil"
    status = 403
    advice = "Pencil the same gear for the same time first, or ask a planner."


class PencilExpiredError(DomainError):
    code = "pencil-expired"
    title = "The pencil has expired"
    advice = "A pencil holds its gear until its date. Book again, or give the pencil a later date first."


class NotYoursError(DomainError):
    code = "not-yours"
    title = "That is for a planner to do"
    status = 403
    advice = "Ask whoever booked it, or a planner."


class NameTakenError(DomainError):
    code = "name-taken"
    title = "That name is used here already"
    advice = "Choose another name, or change the one that has it."
