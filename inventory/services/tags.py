"""The company's own marks: a running number with a check character (ISO/IEC 7064, MOD 37,36), unique for ever."""

from django.db.models import F
from stdnum.iso7064 import mod_37_36

from inventory.errors import TagTakenError
from inventory.models import Company, Tag, Unit


def tag_of_number(number: int) -> str:
    """Return the tag for a running number; the last character catches a mistyped or swapped one."""
    body = f"T{number:04d}"
    return body + mod_37_36.calc_check_digit(body)


def free_tags(count: int) -> list[str]:
    """Take the next ``count`` tags that no unit ever had."""
    first: int = Company.objects.values_list("next_tag", flat=True).get(pk=1)
    found: list[str] = []
    number = first
    while len(found) < count:
        batch = [tag_of_number(number + offset) for offset in range(count - len(found))]
        taken = set(Tag.objects.filter(tag__in=batch).values_list("tag", flat=True))
        found += [tag for tag in batch if tag not in taken]
        number += len(batch)
    Company.objects.filter(pk=1).update(next_tag=F("next_tag") + (number - first))
    return found


def refuse_taken_tag(tag: str, *, unit_id: int | None = None) -> None:
    """Raise when another unit has, or ever had, this tag.

    Raises:
        TagTakenError: with the unit that has it.
    """
    owner = Tag.objects.filter(tag=tag).values("unit_id", "unit__tag").first()
    if owner is not None and owner["unit_id"] != unit_id:
        raise TagTakenError(
            f"The tag {tag} belongs to unit {owner['unit__tag']}.", unit=owner["unit_id"], tag=owner["unit__tag"]
        )


def note_tags(units: list[Unit]) -> None:
    """Enter the tags of new units into the list of all tags ever."""
    Tag.objects.bulk_create([Tag(tag=unit.tag, unit=unit) for unit in units])


def retag(unit: Unit, tag: str) -> None:
    """Give a unit a new tag; the old one stays its alias."""
    refuse_taken_tag(tag, unit_id=unit.pk)
    Tag.objects.get_or_create(tag=tag, defaults={"unit": unit})
    unit.tag = tag
