"""What has been decided so far, beside the claims: results, shortfalls, and claims that others lost."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from scheduling.promises.decide.claimant import UnitRequest
from scheduling.promises.decide.terms import CERTAINTY, BookingResult, ClaimRow, Obstacle, ShortfallDraft


@dataclass(slots=True)
class ResultSoFar:
    """The result of one booking while it is being decided."""

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
    """What has been decided so far, beside the claims of the occupancy."""

    results: defaultdict[int, ResultSoFar] = field(default_factory=lambda: defaultdict(ResultSoFar))
    """By booking."""
    shortfalls: list[ShortfallDraft] = field(default_factory=list)
    """All shortfalls that the decided bookings have afterwards."""
    displaced: list[ClaimRow] = field(default_factory=list)
    """Claims of other bookings that were released for a decided one."""

    def add_shortfall(self, request: UnitRequest, obstacles: Sequence[Obstacle]) -> None:
        """Note that a named unit cannot be allocated, and why."""
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
            result = self.results[request.want.booking]
            result.conflicts += obstacles
            result.short = True
