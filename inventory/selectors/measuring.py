"""Numbers worth measuring: what is missing on data sheets, of units and in briefs, that first which would settle most
kits."""

from typing import Any, TypedDict

from django.db.models import BigIntegerField, Case, Count, F, Max, OuterRef, Q, Subquery, When
from django.db.models.functions import Coalesce

from inventory.base.models.checked import CheckState
from inventory.models import Check, Finding, Kit, Position

OF_BRIEF = Q(unlocks__startswith="brief.")
OF_UNIT = Q(unlocks__startswith="unit.")
OF_KIT = Q(unlocks__startswith="kit.")


class MissingNumberShape(TypedDict):
    """One number that nobody typed; ``number`` is its path on the sheet of ``spec``, of ``unit``, or of ``kit``."""

    spec: int | None
    unit: int | None
    kit: int | None
    """The kit that lacks it, or whose brief does."""
    name: str
    """Of the spec or the kit, or the tag of the unit."""
    number: str
    kits: int
    """How many kits wait for it."""


ASKED = Coalesce(
    Subquery(Position.objects.filter(role="case", unit=OuterRef("position__unit")).values("kit")[:1]),
    "position__kit",
    "check_run__kit",
    output_field=BigIntegerField(),
)
"""The kit that a finding about a brief, or a kit itself, is of: whose case is there, or that was checked."""
WHOSE = {
    "spec": Case(When(OF_BRIEF | OF_UNIT | OF_KIT, then=None), default=F("position__spec")),
    "packed": Case(When(OF_UNIT, then=F("position__unit"))),
    "kit": Case(When(OF_BRIEF | OF_KIT, then=ASKED)),
    "name": Case(
        When(OF_BRIEF | OF_KIT, then=Subquery(Kit.objects.filter(pk=OuterRef("kit")).values("name"))),
        When(OF_UNIT, then=F("position__unit__tag")),
        default=F("position__spec__name"),
    ),
}
"""What lacks the number of a finding, and its name."""


def numbers_worth_measuring(limit: int = 100) -> list[MissingNumberShape]:
    """Return the missing numbers of the newest finished checks; one statement."""
    newest = (
        Check.objects.filter(kit=OuterRef("check_run__kit"), state=CheckState.DONE)
        .order_by()
        .values("kit")
        .annotate(newest=Max("pk"))
        .values("newest")
    )
    missing: Any = Finding.objects.filter(code="data-missing", unlocks__isnull=False, check_run=Subquery(newest))
    rows = (
        missing.values("unlocks", **WHOSE)
        .annotate(kits=Count("check_run__kit", distinct=True))
        .order_by("-kits", "name", "unlocks", "packed", "kit")
    )
    return [
        {
            "spec": row["spec"],
            "unit": row["packed"],
            "kit": row["kit"],
            "name": row["name"] or "",
            "number": row["unlocks"],
            "kits": row["kits"],
        }
        for row in rows[:limit]
    ]
