"""What a person is told: others have changed something of theirs."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, TypedDict

from django.db.models import QuerySet

from inventory.base.changes import Change
from inventory.base.errors import NotFoundError
from inventory.base.models import Notice


class NoticeShape(TypedDict):
    """One thing that a person is told."""

    id: int
    noun: str
    object: int
    words: str
    at: datetime
    due_at: datetime | None
    seen_at: datetime | None


def notice_rows(person_id: int) -> QuerySet[Notice, Any]:
    """Rows of a person's notices, for filtering and paging."""
    return Notice.objects.filter(person=person_id).values("id", "noun", "object_id", "words", "at", "due_at", "seen_at")


def show_notices(rows: Sequence[dict[str, Any]]) -> list[NoticeShape]:
    return [
        {
            "id": row["id"],
            "noun": row["noun"],
            "object": row["object_id"],
            "words": row["words"],
            "at": row["at"],
            "due_at": row["due_at"],
            "seen_at": row["seen_at"],
        }
        for row in rows
    ]


def mark_seen(c: Change, notice_ids: Sequence[int]) -> None:
    """Note that the person has read notices; ones that were read before keep their time.

    Raises:
        NotFoundError: one of them is not the person's.
    """
    own = Notice.objects.filter(person=c.actor_id, pk__in=notice_ids)
    if own.count() != len(set(notice_ids)):
        raise NotFoundError("You have no such notice.")
    own.filter(seen_at__isnull=True).update(seen_at=c.now)
