"""Numbers worth measuring: what is missing on data sheets, that first which would settle most kits."""

from typing import TypedDict

from django.db.models import Count, Max, OuterRef, Subquery

from inventory.models import Check, Finding


class MissingNumberShape(TypedDict):
    """One number that nobody typed; ``number`` is its path on the sheet of ``spec``."""

    spec: int | None
    name: str
    number: str
    kits: int
    """How many kits wait for it."""


def numbers_worth_measuring(limit: int = 100) -> list[MissingNumberShape]:
    """Return the missing numbers of the newest finished checks; one statement."""
    newest = (
        Check.objects.filter(kit=OuterRef("check_run__kit"), state="done")
        .order_by()
        .values("kit")
        .annotate(newest=Max("pk"))
        .values("newest")
    )
    rows = (
        Finding.objects.filter(code="data-missing", unlocks__isnull=False, check_run=Subquery(newest))
        .values("position__spec", "position__spec__name", "unlocks")
        .annotate(kits=Count("check_run__kit", distinct=True))
        .order_by("-kits", "position__spec__name", "unlocks")
    )
    return [
        {
            "spec": row["position__spec"],
            "name": row["position__spec__name"] or "",
            "number": str(row["unlocks"]),
            "kits": row["kits"],
        }
        for row in rows[:limit]
    ]
