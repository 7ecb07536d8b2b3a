from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from scheduling.promises.decide.terms import CERTAINTY, ClaimSeen, Lack, Line, Obstacle, Verdict, Want


@dataclass(frozen=True, slots=True)
class Ask:
    """One named unit wanted by one booking, with the claim on it that the booking had."""

    want: Want
    line: Line
    unit: int
    had: ClaimSeen | None


@dataclass(slots=True)
class Finding:
    """What has been found out about one booking so far."""

    conflicts: list[Obstacle] = field(default_factory=list)
    short: bool = False
    bookable: int | None = None
    proofs: list[str] = field(default_factory=list)

    def verdict(self) -> Verdict:
        return Verdict(
            short=self.short,
            conflicts=tuple(dict.fromkeys(self.conflicts)),
            bookable=self.bookable,
            proof=max(self.proofs, key=CERTAINTY.index, default="bound" if self.short else "free"),
        )


@dataclass(slots=True)
class Outcome:
    """What has come out so far, beside the claims on the board."""

    findings: defaultdict[int, Finding] = field(default_factory=lambda: defaultdict(Finding))
    lacks: list[Lack] = field(default_factory=list)
    pushed: list[ClaimSeen] = field(default_factory=list)
    """Claims of others that had to give way."""

    def miss(self, ask: Ask, obstacles: Sequence[Obstacle]) -> None:
        """Note that a named unit cannot be had."""
        first = obstacles[0]
        self.lacks.append(
            Lack(
                booking=ask.want.booking,
                spec=ask.line.spec,
                position=ask.line.position,
                unit=ask.unit,
                reason=first.reason,
                rival=first.booking,
            )
        )
        if ask.line.needed:
            finding = self.findings[ask.want.booking]
            finding.conflicts += obstacles
            finding.short = True
