"""Who changed what, read back."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import QuerySet

from inventory.base.changes import ledger_version
from inventory.base.models import HistoryEntry

CHANGES_AT_ONCE = 500


class HistoryShape(TypedDict):
    """One line of history."""

    id: int
    version: int
    at: datetime
    actor: int | None
    name: str | None
    noun: str
    object: int
    verb: str
    label: str
    details: dict[str, Any]


def history_rows() -> QuerySet[HistoryEntry]:
    """Rows of history with who did it, for filtering and paging."""
    return HistoryEntry.objects.select_related("actor")


def changes_after(version: int, *, most: int = CHANGES_AT_ONCE) -> tuple[list[HistoryEntry], int, bool]:
    """Return the changes after a version, oldest first, the version up to which they are complete, and if more wait.

    A version is never cut in two: when more are waiting than fit, the last one that may be incomplete is left out.
    """
    newest = ledger_version()
    rows = list(history_rows().filter(version__gt=version).order_by("version", "id")[: most + 1])
    if len(rows) <= most:
        return rows, max(newest, version), False
    cut = rows[-1].version
    whole = [row for row in rows if row.version < cut]
    if not whole:  # one change with more lines than fit: given whole
        whole = list(history_rows().filter(version=cut).order_by("id"))
    return whole, whole[-1].version, True


def show_history(rows: Sequence[HistoryEntry]) -> list[HistoryShape]:
    return [
        {
            "id": row.pk,
            "version": row.version,
            "at": row.at,
            "actor": row.actor_id,
            "name": row.actor.username if row.actor else None,
            "noun": row.noun,
            "object": row.object_id,
            "verb": row.verb,
            "label": row.label,
            "details": row.details,
        }
        for row in rows
    ]
