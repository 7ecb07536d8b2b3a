"""What one word after a connector says: a speed, a class, volts, a side."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from calc.connector_words import POE_WORDS
from calc.ports_text.words import Word
from calc.vocabulary import BREAKER_CURVES, CARRIES, FACES, OUTLET_LEGS, SIDES

_HIGHEST_CLASS = 8  # IEEE 802.3 clauses 33 and 145
_MOST_VOLTS = 1000.0  # the upper end of low voltage, IEC 60364-1
_MOST_WATTS = 1_000_000.0
_MOST_BREAKER_A = 6300.0  # the largest rated current in common use, IEC 60947-2, from memory
_MOST_RCD_MA = 30_000.0  # IEC 60947-2 annex B, from memory

POWER_ITEMS = ("volts", "watts", "amperes", "volt-amperes", "breaker", "rcd", "leg")
SOURCE_ITEMS = ("breaker", "rcd", "leg")
"""What only a port that gives power has."""


def item(word: Word) -> tuple[str, Any]:
    """Return what the word is about, and its value."""
    for kind, pattern, read in _ITEMS:
        if found := re.fullmatch(pattern, word.plain if kind in _IN_CAPITALS_TOO else word.text):
            return kind, read(word, found)
    for kind, accepted in _KEYWORDS.items():
        if word.plain in accepted:
            return kind, word.plain
    raise word.unread(
        "it is no speed (1G), class (class4 in), volts (48-57V), watts (78W), amperes (2A), side, face or signal"
    )


def _speed(word: Word, found: re.Match[str]) -> float:
    return float(found[1]) * (1000 if found[2] == "G" else 1)


def _poe_word(word: Word, found: re.Match[str]) -> int:
    return POE_WORDS[word.plain]


def _poe_class(word: Word, found: re.Match[str]) -> int:
    if int(found[1]) > _HIGHEST_CLASS:
        raise word.unread(f"classes run from 0 to {_HIGHEST_CLASS}")
    return int(found[1])


def _volts(word: Word, found: re.Match[str]) -> tuple[float, float]:
    low, high = float(found[1]), float(found[2] or found[1])
    if not 0 < low <= high <= _MOST_VOLTS:
        raise word.unread(f"volts are above 0, at most {_MOST_VOLTS:g}, and the lower number comes first")
    return low, high


def _watts(word: Word, found: re.Match[str]) -> float:
    return _within(word, float(found[1]), _MOST_WATTS, "W")


def _amperes(word: Word, found: re.Match[str]) -> float:
    return _within(word, float(found[1]), _MOST_BREAKER_A, "A")


def _breaker(word: Word, found: re.Match[str]) -> tuple[float, str | None]:
    return _within(word, float(found[2]), _MOST_BREAKER_A, "A"), found[1].upper() or None


def _rcd(word: Word, found: re.Match[str]) -> float:
    return 0.0 if float(found[1]) == 0 else _within(word, float(found[1]), _MOST_RCD_MA, "mA")


def _leg(word: Word, found: re.Match[str]) -> str:
    if found[3]:
        return "L1" if found[3] == "a" else "L2"
    leg = "-".join(f"L{line}" for line in sorted(filter(None, found.groups())))
    if leg not in OUTLET_LEGS:
        raise word.unread("a leg is a line (L1, L2, L3) or two different ones (L1-L2)")
    return leg


def _within(word: Word, value: float, most: float, unit: str) -> float:
    if not 0 < value <= most:
        raise word.unread(f"it must be above 0 and at most {most:g} {unit}")
    return value


_NUMBER = r"([0-9]{1,6}(?:\.[0-9]{1,3})?)"
_ITEMS: tuple[tuple[str, str, Callable[[Word, re.Match[str]], Any]], ...] = (
    ("speed", _NUMBER + "([MG])", _speed),
    ("class", "class([0-9]{1,4})", _poe_class),
    ("class", r"poe\+?", _poe_word),
    ("amperes", _NUMBER + "A", _amperes),
    ("volt-amperes", _NUMBER + "VA", _watts),
    ("volts", f"{_NUMBER}(?:[–-]{_NUMBER})?V", _volts),
    ("watts", _NUMBER + "W", _watts),
    ("breaker", f"breaker([{''.join(BREAKER_CURVES).lower()}]?){_NUMBER}", _breaker),
    ("rcd", "rcd" + _NUMBER, _rcd),
    ("leg", "l([1-3])(?:[–-]l([1-3]))?|leg([ab])", _leg),
)
_IN_CAPITALS_TOO = ("class", "breaker", "rcd", "leg")
_KEYWORDS: Mapping[str, tuple[str, ...]] = {"direction": ("in", "out"), "side": SIDES, "face": FACES, "signal": CARRIES}
