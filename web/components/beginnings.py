"""What a company begins with: one data sheet, one unit, one kit, one show."""

from dataclasses import dataclass

from inventory.base.models import User
from scheduling.selectors.today import BeginningsShape


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    title: str
    words: str
    address: str
    button: str
    done: bool
    next: bool


def steps(begun: BeginningsShape, person: User) -> tuple[Step, ...]:
    """Return the four steps of a company that lacks one of them, for somebody who may take them."""
    known = (begun["specs"], begun["units"], begun["kits"], begun["events"])
    if all(known) or not person.may("spec.edit"):
        return ()
    coming = known.index(False)
    return tuple(
        Step(title=title, words=words, address=address, button=button, done=known[number], next=number == coming)
        for number, (title, words, address, button) in enumerate(STEPS)
    )


STEPS = (
    (
        "Write one data sheet",
        "What one make and model is: its ports in a line, and two or three numbers.",
        "/specs/new/",
        "Write the sheet",
    ),
    (
        "Enter one unit",
        "The thing itself, with a tag of its own. From then on it can be found, flagged and promised.",
        "/units/new/",
        "Enter a unit",
    ),
    (
        "Make one kit",
        "A case and what lies in it. Its check says what will not work, and which number is missing.",
        "/kits/new/",
        "Make a kit",
    ),
    (
        "Plan one show",
        "When gear leaves and when it is back. What is booked for it is promised to nobody else.",
        "/events/new/",
        "Plan a show",
    ),
)
