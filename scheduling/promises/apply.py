"""The only place that writes claims and shortfalls.

A firm claim that changes is made soft first and firm again last: the database judges row by row, and would refuse two
claims that exchange their units half-way.
"""

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence

from django.db.models import BigIntegerField, Case, Value, When
from django.db.models.functions import Cast

from inventory.base.changes import Change
from scheduling.models import Booking, Claim, ClaimStanding, Shortfall
from scheduling.promises.decide import ClaimRow, Decision, ShortfallDraft
from scheduling.rows import expired, firm, soft

FREED = "freed unit"
"""Noun under which a change names units that lost a claim, so that shortfalls which name them are filled."""
DISPLACED = "displaced booking"
"""Noun under which a change names bookings that lost a claim to another, so that their shortfalls are opened."""


def write_decision(c: Change, decision: Decision) -> None:
    """Write what was decided. A fixed number of statements, plus one for each distinct new period."""
    _release(c, decision.release)
    _change(decision.change, decision.moved)
    Claim.objects.bulk_create(_as_row(claim) for claim in decision.add)
    _close(c, decision)
    Shortfall.objects.bulk_create(_as_shortfall(c, draft) for draft in decision.open)
    c.touch("booking", *_written(decision))
    c.touch(DISPLACED, *decision.displaced)
    c.touch(FREED, *decision.freed)


def release_expired_claims(c: Change) -> int:
    """Release the soft claims of expired pencils, which every question ignores already. Return how many."""
    claims = Claim.objects.filter(soft(), expired(c.now, "booking"))
    return claims.update(standing=ClaimStanding.RELEASED, released_at=c.now)


def pin_claims(c: Change, claim_ids: Iterable[int], *, why: str) -> None:
    """Fix allocated claims to their units from now on: picked by hand, or printed on a list."""
    Claim.objects.filter(pk__in=list(claim_ids), pinned_at__isnull=True).update(pinned_at=c.now, pinned_why=why)


def unpin_claims(claim_ids: Iterable[int]) -> None:
    """Let allocated claims be given other units again."""
    Claim.objects.filter(pk__in=list(claim_ids)).update(pinned_at=None, pinned_why="")


def _written(decision: Decision) -> set[int]:
    """Return the bookings whose claims or shortfalls the decision writes; closings are of bookings with a result."""
    claims = (*decision.release, *decision.change, *decision.add)
    own = {claim.booking for claim in claims} | {draft.booking for draft in decision.open}
    return own | set(decision.results) if decision.close else own


def _release(c: Change, claims: Sequence[ClaimRow]) -> None:
    if claims:
        ids = [claim.id for claim in claims]
        Claim.objects.filter(pk__in=ids).update(standing=ClaimStanding.RELEASED, released_at=c.now)


def _change(claims: Sequence[ClaimRow], moved: Container[int]) -> None:
    if not claims:
        return
    Claim.objects.filter(firm(), pk__in=[claim.id for claim in claims]).update(standing=ClaimStanding.SOFT, stray=False)
    by_period: defaultdict[tuple[object, object], list[ClaimRow]] = defaultdict(list)
    for claim in claims:
        by_period[claim.period.starts_at, claim.period.ends_at].append(claim)
    for (starts_at, ends_at), alike in by_period.items():
        Claim.objects.filter(pk__in=[claim.id for claim in alike]).update(starts_at=starts_at, ends_at=ends_at)
    moving = [claim for claim in claims if claim.id in moved]
    Claim.objects.filter(pk__in=[claim.id for claim in moving]).update(
        unit=_by_claim({claim.id: claim.unit for claim in moving}),
        position=_by_claim({claim.id: claim.position for claim in moving}),
    )
    Claim.objects.filter(pk__in=[claim.id for claim in claims if claim.firm]).update(standing=ClaimStanding.FIRM)
    if strays := [claim.id for claim in claims if claim.stray]:
        Claim.objects.filter(pk__in=strays).update(stray=True)


def _by_claim(values: Mapping[int, int | None]) -> Cast:
    whens = [When(pk=pk, then=Value(value)) for pk, value in values.items()]
    return Cast(Case(*whens, output_field=BigIntegerField()), BigIntegerField())


def _close(c: Change, decision: Decision) -> None:
    by_way: defaultdict[str, list[int]] = defaultdict(list)
    for closing in decision.close:
        by_way[closing.how].append(closing.shortfall)
    for how, ids in by_way.items():
        Shortfall.objects.filter(pk__in=ids).update(closed_at=c.now, closed_how=how)


def _as_row(claim: ClaimRow) -> Claim:
    return Claim(
        booking_id=claim.booking,
        unit_id=claim.unit,
        position_id=claim.position,
        starts_at=claim.period.starts_at,
        ends_at=claim.period.ends_at,
        standing=ClaimStanding.FIRM if claim.firm else ClaimStanding.SOFT,
        dealt=claim.allocated,
    )


def _as_shortfall(c: Change, draft: ShortfallDraft) -> Shortfall:
    return Shortfall(
        booking_id=draft.booking,
        spec_id=draft.spec,
        position_id=draft.position,
        unit_id=draft.unit,
        quantity=draft.quantity,
        reason=draft.reason,
        rival_id=draft.rival,
        claim_id=draft.claim,
        opened_at=c.now,
    )


def write_proofs(bookings: Sequence[Booking], decision: Decision) -> None:
    """Write on each booking how sure its decision was."""
    for proof in {decision.results[row.pk].proof for row in bookings}:
        alike = [row.pk for row in bookings if decision.results[row.pk].proof == proof]
        Booking.objects.filter(pk__in=alike).update(proof=proof)
