"""What a check writes: a finding before the runner knows in which views it holds."""

from collections.abc import Iterable
from dataclasses import dataclass

from calc.checking.compared import Compared
from calc.rig.inputs import Input
from calc.rig.subjects import Subject

DATA_MISSING = "data-missing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A finding without its views. Write one about a number with ``judged``, one about a gap with ``undecided``."""

    subject: Subject
    message: str
    severity: str | None = None
    """None means the first severity of the check."""
    compared: Compared | None = None
    """What is held against a limit; None where the finding is not about a number."""
    value: float | None = None
    """The number to tell; None where it is not known as one number, or there is none."""
    inputs: tuple[Input, ...] = ()
    code: str | None = None
    """None means the check's own."""
    unlocks: str | None = None
    of_spec: int | None = None
    """Whose sheet lacks the number, where it is not the subject's: one number is asked for once."""

    @property
    def margin(self) -> float | None:
        """Return how far the value is on the good side of the limit; without a value, how far the worse end is."""
        if self.compared is None:
            return None
        return self.compared.margin if self.value is None else self.compared.margin_of(self.value)


def judged(
    subject: Subject,
    message: str,
    compared: Compared,
    *,
    severity: str | None = None,
    value: float | None = None,
    inputs: Iterable[Input] = (),
) -> Draft:
    """Return the finding about a number that was held against its limit.

    Args:
        subject: What it is about.
        message: What to do, and why.
        compared: The number at both ends of what is not known, and the limit.
        severity: One of the check's; None means its first.
        value: The number that the message tells, where it is not the better end: what is surely there.
        inputs: What the answer depends on.
    """
    return Draft(
        subject=subject,
        message=message,
        severity=severity,
        compared=compared,
        value=compared.better_end if value is None else value,
        inputs=tuple(inputs),
    )


def undecided(
    subject: Subject,
    message: str,
    *,
    unlocks: str,
    compared: Compared | None = None,
    inputs: Iterable[Input] = (),
    of_spec: int | None = None,
) -> Draft:
    """Return the finding that a missing number could change the answer of a check.

    Args:
        subject: What to type the number for.
        message: What to do, and what depends on it.
        unlocks: The number that would settle it.
        compared: What the check holds against a limit, for a check that does.
        inputs: What else the answer depends on.
        of_spec: Whose sheet lacks the number, where it is not the subject's.
    """
    given = tuple(inputs)
    if all(one.provenance != "unknown" for one in given):
        given += (Input(name=f"{subject.label}: {unlocks}".removeprefix(": "), value=None, provenance="unknown"),)
    return Draft(
        subject=subject,
        message=message,
        severity="unknown",
        compared=compared,
        value=compared.value if compared else None,
        code=DATA_MISSING,
        unlocks=unlocks,
        inputs=given,
        of_spec=of_spec,
    )
