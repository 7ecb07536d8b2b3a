"""Accept findings: by a named person, with a reason, for as long as value, range, limit and inputs stay the same."""

from collections.abc import Mapping
from datetime import datetime

from calc.checking.deferral import codes_behind, matter_of
from inventory.base.changes import Change
from inventory.base.errors import InvalidError
from inventory.base.models import User
from inventory.errors import NotYoursToAcceptError
from inventory.models import Acceptance, Finding
from inventory.services.fetching import row_at

REFUSALS = {
    "finding.accept": "Findings are accepted by planners and owners.",
    "finding.accept-mains": "Findings about mains are accepted by the role electrics only.",
}
"""Verb of acceptance → the refusal for a person whose role does not permit it."""


def verb_to_accept(code: str, inputs: Mapping[str, object]) -> str:
    """Return the verb of the permits that accepting a finding takes.

    A missing number is about mains if one of the checks that wait for it is.
    """
    about_mains = any(matter_of(each) == "mains" for each in codes_behind(code, inputs))
    return "finding.accept-mains" if about_mains else "finding.accept"


def accept_finding(c: Change, finding_id: int, *, reason: str, until: datetime | None) -> int:
    """Accept a finding, or change the reason of an acceptance, and return the finding's id.

    The finding stays visible. The acceptance ends when the finding's value, range, limit or inputs change.

    Raises:
        NotFoundError: there is no such finding.
        NotYoursToAcceptError: the person's role does not permit it.
        InvalidError: ``until`` has passed.
    """
    finding = row_at(Finding, finding_id)
    person = row_at(User, c.actor_id or 0)
    verb = verb_to_accept(finding.code, finding.inputs)
    if not person.may(verb):
        raise NotYoursToAcceptError(REFUSALS[verb])
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
