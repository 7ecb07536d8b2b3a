from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from scheduling.promises.decide.terms import (
    CERTAINTY,
    BookingResult,
    ClaimRow,
    Obstacle,
    ShortfallDraft,
    Want,
    WantedItem,
)


@dataclass(frozen=True, slots=True)
class UnitRequest:
    """One named unit wanted by one booking, with the claim on it that the booking had."""

    want: Want
    item: WantedItem
    unit: int
    had: ClaimRow | None


@dataclass(slots=True)
class ResultSoFar:
    """What has been found out about one booking so far."""

    conflicts: list[Obstacle] = field(default_factory=list)
    short: bool = False
    bookable: int | None = None
    proofs: list[str] = field(default_factory=list)

    def result(self) -> BookingResult:
        return BookingResult(
            short=self.short,
            conflicts=tuple(dict.fromkeys(self.conflicts)),
            bookable=self.bookable,
            proof=max(self.proofs, key=CERTAINTY.index, default="bound" if self.short else "free"),
        )


@dataclass(slots=True)
class Outcome:
    """What has come out so far, beside the claims on the board."""

    findings: defaultdict[int, ResultSoFar] = field(default_factory=lambda: defaultdict(ResultSoFar))
    shortfalls: list[ShortfallDraft] = field(default_factory=list)
    pushed: list[ClaimRow] = field(default_factory=list)
    """Claims of others that had to give way."""

    def miss(self, request: UnitRequest, obstacles: Sequence[Obstacle]) -> None:
        """Note that a named unit cannot be had."""
        first = obstacles[0]
        self.shortfalls.append(
            ShortfallDraft(
                booking=request.want.booking,
                spec=request.item.spec,
                position=request.item.position,
                unit=request.unit,
                reason=first.reason,
                rival=first.booking,
            )
        )
        if request.item.needed:
            finding = self.findings[request.want.booking]
            finding.conflicts += obstacles
            finding.short = True
