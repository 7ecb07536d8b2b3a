"""Search of specs and kits by words and kinds."""

from django.db.models import Exists, OuterRef, Q, QuerySet

from inventory.models import Kit, Spec, Unit
from inventory.rows import in_pool


def specs_sought(words: str, kinds: tuple[str, ...], only: int | None = None) -> QuerySet[Spec]:
    """Return specs with a unit in the pool, or only the one with that id."""
    rows = Spec.objects.filter(_named(words))
    if only is not None:
        return rows.filter(pk=only)
    if kinds:
        rows = rows.filter(kind__in=kinds)
    return rows.filter(Exists(Unit.objects.filter(in_pool(), spec=OuterRef("pk"))))


def kits_sought(words: str, only: int | None = None) -> QuerySet[Kit]:
    """Return kits that are in use, or only the one with that id."""
    rows = Kit.objects.filter(_named(words), retired_at__isnull=True)
    return rows if only is None else rows.filter(pk=only)


def _named(words: str) -> Q:
    matches = Q()
    for word in words.split():
        matches &= Q(name__icontains=word)
    return matches
