"""Search by tag, serial or words."""

from collections.abc import Collection, Iterable
from typing import TypedDict

from django.db.models import Exists, OuterRef, Q, Subquery

from inventory.base.rows import rows_as
from inventory.models import Kit, Tag
from inventory.rows import case_of
from inventory.selectors.specs import SpecSummaryShape, spec_summaries
from inventory.selectors.whereabouts import WhereaboutsShape, show_whereabouts, whereabouts

UNIT_COLUMNS = ("serial", "spec__name", "spec__maker", "condition", "location__name", "signed_to__username")
SPEC_COLUMNS = ("name", "maker", "part_number")
KIT_COLUMNS = ("name", "purpose")


class FoundKitShape(TypedDict):
    """A kit, with where its case is."""

    id: int
    name: str
    purpose: str
    verdict: str | None
    tag: str | None
    at: str | None
    with_whom: str | None


class FoundUnitShape(WhereaboutsShape):
    """A unit, with a tag that it had once if it was found by that."""

    once: str | None


def found_units(words: str, *, most: int) -> list[FoundUnitShape]:
    """Return units by tag (retired ones too), serial, place, holder or words of their spec; one statement.

    One whose tag is just what was typed comes first.
    """
    tags = Tag.objects.filter(unit=OuterRef("pk"))
    answering = _any(Q(tag__icontains=word) for word in words.split())
    once = tags.filter(answering).exclude(tag=OuterRef("tag")).order_by("tag").values("tag")[:1]
    rows = whereabouts().annotate(exact=Exists(tags.filter(tag__iexact=words)), once=Subquery(once))
    for word in words.split():
        by_tag = Q(pk__in=Tag.objects.filter(tag__icontains=word).values("unit_id"))
        rows = rows.filter(by_tag | _in(UNIT_COLUMNS, word))
    found = list(rows.order_by("-exact", "tag")[:most])
    return [{**shown, "once": row["once"]} for shown, row in zip(show_whereabouts(found), found, strict=True)]


def found_kits(words: str, *, most: int) -> list[FoundKitShape]:
    """Return kits by name, purpose or the tag of their case, by name; one statement."""
    case = case_of()
    rows = rows_as(
        FoundKitShape,
        Kit.objects.order_by("name", "id"),
        tag=Subquery(case.values("unit__tag")[:1]),
        at=Subquery(case.values("unit__location__name")[:1]),
        with_whom=Subquery(case.values("unit__signed_to__username")[:1]),
    )
    for word in words.split():
        rows = rows.filter(_in((*KIT_COLUMNS, "tag"), word))
    return list(rows[:most])


def found_specs(words: str, *, most: int) -> list[SpecSummaryShape]:
    """Return data sheets by name, maker or part number, by name; one statement."""
    rows = spec_summaries().order_by("name", "id")
    for word in words.split():
        rows = rows.filter(_in(SPEC_COLUMNS, word))
    return list(rows[:most])


def _in(columns: Collection[str], word: str) -> Q:
    return _any(Q(**{f"{column}__icontains": word}) for column in columns)


def _any(conditions: Iterable[Q]) -> Q:
    found = Q()
    for condition in conditions:
        found |= condition
    return found
