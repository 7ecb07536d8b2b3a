"""The verbs of bookings and events: from which stage each may be used, and where it leads. Services and pages ask here.

A stage is a state told more finely: a pencil whose date has passed and a booking whose gear is out allow other verbs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum


class Stage(StrEnum):
    PENCIL = "pencil"
    EXPIRED = "expired"
    """A pencil whose date has passed."""
    CONFIRMED = "confirmed"
    OUT = "out"
    """Confirmed, and its gear has gone out."""
    CANCELLED = "cancelled"
    ENQUIRY = "enquiry"
    CLOSED = "closed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Verb:
    name: str
    """The last part of its address, such as ``confirm``."""
    does: str
    stages: tuple[Stage, ...]
    """From which it may be used."""
    to: Stage | None = None
    """The stage that it leads to; None: the stage stays."""
    takes: tuple[str, ...] = ()
    """Fields of its body."""
    refused_with: tuple[str, ...] = ()
    """Codes of the problems that refuse it, beside ``wrong-state``."""


LIVE = (Stage.PENCIL, Stage.CONFIRMED, Stage.OUT)
SHORT = ("claim-conflict", "not-enough", "claim-undecided")

BOOKING_VERBS = (
    Verb(
        name="confirm",
        does="Make a pencil firm. Its units are chosen anew where somebody else has taken them firmly.",
        stages=(Stage.PENCIL,),
        to=Stage.CONFIRMED,
        takes=("accept_shortfalls", "bump", "reason"),
        refused_with=(*SHORT, "draft-kit", "pencil-expired", "date-open"),
    ),
    Verb(
        name="loosen",
        does="Make a confirmed booking a pencil again; its units can be promised to others at once.",
        stages=(Stage.CONFIRMED,),
        to=Stage.PENCIL,
        takes=("expires_at",),
        refused_with=("still-out",),
    ),
    Verb(
        name="keep",
        does="Give a pencil another date on which it expires. One that had expired takes its place again.",
        stages=(Stage.PENCIL, Stage.EXPIRED),
        to=Stage.PENCIL,
        takes=("expires_at",),
    ),
    Verb(
        name="challenge",
        does="Ask the holder of a pencil that is ahead to confirm it by a date; otherwise it expires then.",
        stages=(Stage.PENCIL,),
        takes=("answer_by",),
        refused_with=("not-behind",),
    ),
    Verb(
        name="rank",
        does="Put a pencil ahead of another one. For a planner, with a reason.",
        stages=(Stage.PENCIL,),
        takes=("before", "reason"),
        refused_with=("not-yours",),
    ),
    Verb(
        name="extend",
        does="Give a booking another period of its own. Gear that is out stays with it, whoever is promised it next.",
        stages=LIVE,
        takes=("starts_at", "ends_at", "accept_shortfalls", "bump", "reason"),
        refused_with=(*SHORT, "pencil-expired"),
    ),
    Verb(
        name="swap",
        does="Take another kit in place of the one that is booked.",
        stages=(Stage.PENCIL, Stage.CONFIRMED),
        takes=("kit", "accept_shortfalls"),
        refused_with=(*SHORT, "draft-kit", "still-out"),
    ),
    Verb(
        name="stand-in",
        does="Give the booking a unit in place of one that it lacks.",
        stages=LIVE,
        takes=("shortfall", "unit", "for_good"),
        refused_with=("claim-conflict", "unit-not-usable", "unit-taken"),
    ),
    Verb(
        name="take-back",
        does="Want the packed unit again in place of the one that stands in for it.",
        stages=(Stage.PENCIL, Stage.CONFIRMED),
        takes=("position",),
        refused_with=("still-out",),
    ),
    Verb(
        name="follow",
        does="Give the booking the times of its event again; from then on it moves with them.",
        stages=LIVE,
        takes=("accept_shortfalls",),
        refused_with=SHORT,
    ),
    Verb(
        name="deal-again",
        does="Allocate everything that the booking wants and that can be had now.",
        stages=LIVE,
        refused_with=("pencil-expired",),
    ),
    Verb(
        name="choose",
        does="Take a particular unit in place of one that the service chose; whoever has it is given another one.",
        stages=(Stage.PENCIL, Stage.CONFIRMED),
        takes=("unit", "instead_of"),
        refused_with=("claim-conflict", "still-out"),
    ),
    Verb(
        name="pin",
        does="Keep the units that the service chose, all of them or those that are named.",
        stages=LIVE,
        takes=("units", "why"),
    ),
    Verb(
        name="unpin",
        does="Let the service choose other units again where that helps somebody else.",
        stages=(Stage.PENCIL, Stage.CONFIRMED),
        takes=("units",),
        refused_with=("still-out",),
    ),
    Verb(
        name="cancel",
        does="Give the booking up; its units are free again. It stays as history.",
        stages=(Stage.PENCIL, Stage.EXPIRED, Stage.CONFIRMED, Stage.OUT),
        to=Stage.CANCELLED,
        takes=("never_left",),
        refused_with=("still-out",),
    ),
)
EVENT_VERBS = (
    Verb(
        name="confirm",
        does="Confirm an event. Of an either/or it is the date that is taken: the others are cancelled.",
        stages=(Stage.ENQUIRY,),
        to=Stage.CONFIRMED,
        refused_with=("date-taken",),
    ),
    Verb(
        name="copy",
        does="Plan it again some days later, by the clock on the wall; its bookings become pencils.",
        stages=(Stage.ENQUIRY, Stage.CONFIRMED, Stage.CLOSED, Stage.CANCELLED),
        takes=("shift_days", "name", "bookings", "either_or"),
    ),
    Verb(
        name="close",
        does="Say that the event is over and its gear is back. Bookings that have not begun are given up.",
        stages=(Stage.CONFIRMED,),
        to=Stage.CLOSED,
        takes=("ends_now",),
        refused_with=("still-out",),
    ),
    Verb(
        name="cancel",
        does="Cancel the event and all its bookings.",
        stages=(Stage.ENQUIRY, Stage.CONFIRMED),
        to=Stage.CANCELLED,
        takes=("never_left",),
        refused_with=("still-out",),
    ),
)


def legal_verbs(verbs: Sequence[Verb], stage: Stage) -> list[str]:
    """Return the names of the verbs that may be used at a stage, in the order of the table."""
    return [verb.name for verb in verbs if stage in verb.stages]


def verb_named(verbs: Sequence[Verb], name: str) -> Verb:
    return next(verb for verb in verbs if verb.name == name)
