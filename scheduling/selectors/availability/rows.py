"""Which specs and kits are asked about, by words and kinds."""

from django.db.models import Exists, OuterRef, Q, QuerySet

from inventory.models import Kit, Spec, Unit
from inventory.rows import in_pool


def specs_sought(words: str, kinds: tuple[str, ...], only: int | None = None) -> QuerySet[Spec]:
    """Return specs of which there is a unit, or the one that is asked for."""
    rows = Spec.objects.filter(_named(words))
    if only is not None:
        return rows.filter(pk=only)
    if kinds:
        rows = rows.filter(kind__in=kinds)
    return rows.filter(Exists(Unit.objects.filter(in_pool(), spec=OuterRef("pk"))))


def kits_sought(words: str, only: int | None = None) -> QuerySet[Kit]:
    """Return kits, or the one that is asked for."""
    rows = Kit.objects.filter(_named(words))
    return rows if only is None else rows.filter(pk=only)


def _named(words: str) -> Q:
    found = Q()
    for word in words.split():
        found &= Q(name__icontains=word)
    return found
