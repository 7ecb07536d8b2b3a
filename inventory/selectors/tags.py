"""Tags as people type them: found in any case, and told apart when one character is wrong."""

import re
from typing import TypedDict

from stdnum.iso7064 import mod_37_36

from inventory.models import Tag

OUR_TAG = re.compile(r"T[0-9A-Z]{5,}")
"""What the company's own tags look like: a letter, a running number, a check character (ISO/IEC 7064, MOD 37,36)."""
SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class NearTagShape(TypedDict):
    """A tag that differs from what was typed by one character, or by two that were swapped."""

    tag: str
    unit: int


class MistypedShape(TypedDict):
    """Why a tag cannot be right, and the tags of this company that it may have been."""

    typed: str
    last: str
    wanted: str
    """The check character for the characters before it."""
    near: list[NearTagShape]


def mistyped(tag: str) -> MistypedShape | None:
    """Return what is wrong with a tag of the company's own kind, or None when its check character agrees.

    One statement where it does not.
    """
    typed = re.sub(r"[\s-]", "", tag).upper()
    if not OUR_TAG.fullmatch(typed) or mod_37_36.is_valid(typed):
        return None
    rows = Tag.objects.filter(tag__in=sorted(_near(typed))).order_by("tag").values_list("tag", "unit_id")
    return {
        "typed": typed,
        "last": typed[-1],
        "wanted": mod_37_36.calc_check_digit(typed[:-1]),
        "near": [{"tag": near, "unit": unit} for near, unit in rows],
    }


def _near(typed: str) -> set[str]:
    """Return the valid tags that one wrong character, or one swap of neighbours, leads away from."""
    changed = {typed[:place] + sign + typed[place + 1 :] for place in range(1, len(typed)) for sign in SIGNS}
    swapped = {
        typed[:place] + typed[place + 1] + typed[place] + typed[place + 2 :] for place in range(1, len(typed) - 1)
    }
    return {tag for tag in changed | swapped if mod_37_36.is_valid(tag)}
