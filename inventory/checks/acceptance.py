"""Living with a finding: a named person, a reason, bound to what the finding rests on."""

from datetime import datetime

from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.base.models import User
from inventory.errors import NotYoursToAcceptError
from inventory.models import Acceptance, Finding
from inventory.services.fetching import row_at

ABOUT_MAINS = frozenset(
    {
        "mains-voltage", "coupler-overload", "unprotected-reduction", "circuit-overload", "same-breaker",
        "inrush-group", "leakage-high", "neutral-overload", "cord-drop", "loop-too-long", "drum-coiled",
        "earth-broken", "live-pins", "unbreakable-coupler", "connect-order",
    }
)  # fmt: skip
"""Findings that only the role electrics accepts."""


def accept_finding(c: Change, finding_id: int, *, reason: str, until: datetime | None) -> int:
    """Accept a finding, or change the reason of an acceptance, and return the finding's id.

    It stays visible, and it dies when the finding's value, range, limit or inputs move.

    Raises:
        NotFoundError: there is no such finding.
        NotYoursToAcceptError: it is about mains, and the person has not the role for that.
        InvalidError: ``until`` has passed.
    """
    finding = row_at(Finding, finding_id)
    person = row_at(User, c.actor_id or 0)
    if finding.code in ABOUT_MAINS and not person.may("finding.accept-mains"):
        raise NotYoursToAcceptError("Findings about mains are accepted by the role electrics only.")
    if until is not None and until <= c.now:
        raise InvalidError.of_field("until", "It has passed already.")
    kit = finding.check_run.kit
    Acceptance.objects.update_or_create(
        kit=kit,
        fingerprint=finding.fingerprint,
        defaults={"reason": reason, "until": until, "by": person, "at": c.now},
    )
    c.record("kit", kit.pk, "accept-finding", kit.name, code=finding.code, reason=reason)
    return finding.pk
