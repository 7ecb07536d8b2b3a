"""The nearest word for a piece of a line of ports that cannot be read, tried before it is offered."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from rapidfuzz import fuzz, process

from calc.connector_words import ALIASES, POE_WORDS
from calc.connectors import all_connectors
from calc.vocabulary import CARRIES, FACES, SIDES
from inventory.base.errors import InvalidError
from inventory.services.spec_rules import ports_from_text

LEAST_LIKENESS = 68
MOST_TRIED = 5
WORD = re.compile(r"[^\s;,]+")
NUMBER = re.compile(r"(\d+(?:\.\d+)?(?:[-–]\d+(?:\.\d+)?)?)([A-Za-z/]+)")
UNITS = {
    "G": ("g", "gb", "gbe", "ge", "gbit", "gbps", "gb/s", "gbit/s"),
    "M": ("m", "mb", "mbit", "mbps", "mb/s", "mbit/s"),
    "V": ("v", "vdc", "vac", "volt", "volts"),
    "W": ("w", "watt", "watts"),
    "A": ("a", "amp", "amps", "ampere", "amperes"),
    "VA": ("va",),
}
"""How a line writes a unit → how people write it."""
KEYWORDS = ("in", "out", "through", *SIDES, *FACES, *CARRIES, *(f"class{number}" for number in range(9)), *POE_WORDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearest:
    """A word that could be read, in place of one that could not."""

    word: str
    instead: str
    line: str
    """The whole line with it."""


def nearest(text: str, start: int, kind: str | None) -> Nearest | None:
    """Return the nearest word with which a line is read past the place where it could not be read; None: none is near.

    Args:
        text: The line.
        start: Where it could not be read, from 0.
        kind: Of the type, which some lines depend on.
    """
    found = WORD.match(text, start)
    if found is None:
        return None
    for word in dict.fromkeys(_candidates(found[0])):
        line = f"{text[:start]}{word}{text[found.end() :]}"
        if word != found[0] and _reach(line, kind) > start + len(word):
            return Nearest(word=word, instead=found[0], line=line)
    return None


def _candidates(word: str) -> Iterator[str]:
    """Yield what a word may stand for, the likeliest first."""
    plain = word.lower()
    if number := NUMBER.fullmatch(word):
        yield from (f"{number[1]}{unit}" for unit, ways in UNITS.items() if number[2].lower() in ways)
    known = [*KEYWORDS, *ALIASES, *(connector.code for connector in all_connectors())]
    near = process.extract(plain, known, scorer=fuzz.ratio, score_cutoff=LEAST_LIKENESS, limit=MOST_TRIED)
    yield from (each[0] for each in near)


def _reach(text: str, kind: str | None) -> int:
    """Return how far a line is read."""
    try:
        ports_from_text(text, kind=kind)
    except InvalidError as error:
        column = error.members.get("column")
        return column - 1 if isinstance(column, int) else 0
    return len(text) + 1
