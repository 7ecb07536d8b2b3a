"""A unit's tag, with its check character set apart where it has one (ISO/IEC 7064)."""

from dataclasses import dataclass

from stdnum.iso7064 import mod_37_36


@dataclass(frozen=True, slots=True, kw_only=True)
class TagModel:
    body: str
    check: str


def tag_model(tag: str) -> TagModel:
    """Return a tag to be drawn; one that somebody wrote without a check character stays in one piece."""
    if len(tag) > 1 and tag.isascii() and tag.isalnum() and tag.isupper() and mod_37_36.is_valid(tag):
        return TagModel(body=tag[:-1], check=tag[-1])
    return TagModel(body=tag, check="")
