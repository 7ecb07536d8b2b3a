"""What makes a check due.

| what changed | kits whose revision rises |
| --- | --- |
| a kit's own fields, a position, a link | the kit, and every kit that it is packed in |
| a unit: damage, downtime, inspection, readings | the kit it is packed in, and those around |
| a spec: sheet, port | every kit with a position planned or filled with it, or a cable of it, and those around |
| the rule set of the company | all |
| rules or registers shipped with a release | all, by ``checked_rules`` |
| the calendar | by ``recheck_at`` |
"""

from collections.abc import Collection, Mapping, Set
from datetime import timedelta

from django.db import transaction
from django.db.models import Q

from inventory.base import queues
from inventory.base.changes import Change
from inventory.base.queues import bump
from inventory.checks.bell import ring
from inventory.checks.kits import KITS
from inventory.models import Kit
from inventory.selectors.nesting import kits_around

SOON = timedelta(milliseconds=300)
"""Long enough for a burst of edits to count as one."""
LATER = timedelta(seconds=3)
"""For kits that only follow a change elsewhere: the kits that are edited are checked first."""


def follow(c: Change, touched: Mapping[str, Set[int]]) -> None:
    """Raise the revision of every kit whose checks could answer differently now, and ring once after the commit."""
    edited = set(touched.get("kit", ()))
    elsewhere = _kits_of(touched.get("unit", ()), touched.get("spec", ()))
    around = set().union(*kits_around(edited | elsewhere).values())
    if not edited | around:
        return
    bump(KITS, edited, due=c.now + SOON)
    bump(KITS, around - edited, due=c.now + LATER)
    transaction.on_commit(ring, robust=True)


def request_check(c: Change, kit_id: int) -> None:
    """Make a check of the kit due now although nothing changed, and ring after the commit."""
    queues.request(KITS, kit_id, due=c.now)
    c.record("kit", kit_id, "request-check")
    transaction.on_commit(ring, robust=True)


def _kits_of(unit_ids: Collection[int], spec_ids: Collection[int]) -> set[int]:
    found: set[int] = set()
    if unit_ids:
        found |= set(Kit.objects.filter(positions__unit_id__in=unit_ids).values_list("pk", flat=True))
    if spec_ids:
        by_position = Q(positions__spec_id__in=spec_ids) | Q(positions__unit__spec_id__in=spec_ids)
        found |= set(Kit.objects.filter(by_position).values_list("pk", flat=True))
        found |= set(Kit.objects.filter(links__cable_spec_id__in=spec_ids).values_list("pk", flat=True))
    return found
