"""The register of checks: each is a generator over a wired kit, known by the code of its findings."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

from calc.checking.drafts import Draft
from calc.rig.wiring import Wired
from calc.vocabulary import SEVERITIES

Evaluate: TypeAlias = Callable[[Wired], Iterator[Draft]]

RULES_VERSION = 14
"""Rises with every release that changes what a check answers; older results are then made again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One entry of the register."""

    code: str
    severities: tuple[str, ...]
    """What its findings may be; the first is meant where a draft names none."""
    source: str
    holds_when: str
    evaluate: Evaluate
    theme: str
    """Name of the file that it stands in."""
    of_units: bool
    """Whether it looks at the units themselves, and not only at what is wired to what."""


CHECKS: dict[str, Check] = {}
"""By code, in the order in which ``calc.checks`` imports them."""


def registered() -> tuple[Check, ...]:
    """Return every check, in the order of the register.

    Raises:
        LookupError: none is registered yet, since ``calc.checks`` was not imported; no kit may pass because of that.
    """
    if not CHECKS:
        raise LookupError("Import calc.checks before checks are run: no check is registered.")
    return tuple(CHECKS.values())


def check(
    code: str, severity: str | tuple[str, ...], source: str, *, of_units: bool = False
) -> Callable[[Evaluate], Evaluate]:
    """Register the decorated generator as the check of that code; its docstring tells when a finding holds.

    A check that reads ``Place.unit`` beside its damage must say ``of_units``: the others are not asked again about a
    kit that is packed as planned and sound.

    Raises:
        ValueError: the code is taken, a severity is not one of ``SEVERITIES``, or the docstring is missing.
    """
    severities = (severity,) if isinstance(severity, str) else severity

    def register(evaluate: Evaluate) -> Evaluate:
        if code in CHECKS:
            raise ValueError(f"The check {code} is registered twice.")
        if not severities or not set(severities) <= set(SEVERITIES):
            raise ValueError(f"The check {code} may only use the severities {', '.join(SEVERITIES)}.")
        if not evaluate.__doc__:
            raise ValueError(f"The check {code} needs a docstring that tells when it holds.")
        CHECKS[code] = Check(
            code=code,
            severities=severities,
            source=source,
            holds_when=_first_line(evaluate.__doc__),
            evaluate=evaluate,
            theme=evaluate.__module__.rpartition(".")[2],
            of_units=of_units,
        )
        return evaluate

    return register


def _first_line(text: str) -> str:
    return text.strip().partition("\n")[0]
