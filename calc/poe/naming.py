"""The order of names: as people count, 2 before 10."""

import re

_NUMBER = re.compile(r"(\d+)")


def by_name(name: str) -> tuple[list[int | str], str]:
    """Return the key by which names are put in order; numbers in them count as numbers."""
    parts = _NUMBER.split(name)
    return [int(part) if place % 2 else part for place, part in enumerate(parts)], name
