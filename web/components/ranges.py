"""A number of which only the two ends are known, in words."""

from calc.rig.field_table import FIELDS
from inventory.selectors.checks import FindingShape, RangeShape
from inventory.selectors.compare import ComparedFindingShape
from web.components.numbers import figure, named_fact, with_unit

NOT_KNOWN = "not known"
Judged = FindingShape | ComparedFindingShape
"""What has a value or a range, a limit and a margin."""


def is_open(ends: RangeShape) -> bool:
    """Tell whether nothing is known of a number that is never below nothing."""
    return ends["high"] is None and (ends["low"] is None or ends["low"] <= 0)


def between(ends: RangeShape, unit: str) -> str:
    """Return a range in words: ``between 50.2 and 76.2 W``, ``10 A or more``."""
    low, high = ends["low"], ends["high"]
    if is_open(ends):
        return NOT_KNOWN
    if high is None:
        return f"{with_unit(low, unit)} or more"
    if low is None:
        return f"{with_unit(high, unit)} or less"
    return f"between {figure(low)} and {with_unit(high, unit)}"


def margins(ends: RangeShape, limit: float, unit: str, *, at_least: bool) -> str:
    """Return the way to the limit at both ends: ``14.8 W left to 11.2 W over``, ``6 A left or less``."""
    better, worse = _to_limit(ends, limit, at_least=at_least)
    words = "short" if at_least else "over"
    if is_open(ends) or (better is None and worse is None):
        return NOT_KNOWN
    if worse is None:
        return _one_end(better, unit, words, within="less", beyond="more")
    if better is None:
        return _one_end(worse, unit, words, within="more", beyond="less")
    if (better < 0) == (worse < 0):
        near, far = sorted((abs(better), abs(worse)))
        return f"{figure(near)} to {with_unit(far, unit)} {words if worse < 0 else 'left'}"
    return f"{with_unit(better, unit)} left to {with_unit(-worse, unit)} {words}"


def value_words(value: float | None, ends: RangeShape | None, unit: str) -> str:
    """Return what a finding comes to: a range, one number, or nothing."""
    if ends is not None:
        return between(ends, unit)
    return "" if value is None else with_unit(value, unit)


def margin_words(shape: Judged) -> str:
    """Return the margin of a finding: at both ends of a range, of its one number, or nothing."""
    unit, ends, limit = shape["unit"] or "", shape["range"], shape["limit"]
    if ends is not None and limit is not None:
        return margins(ends, limit, unit, at_least=shape["at_least"])
    return "" if shape["margin"] is None else with_unit(shape["margin"], unit)


def least_margin(ends: RangeShape, limit: float, unit: str, *, at_least: bool) -> str:
    """Return the way to the limit that is sure: ``17 W or more left``; not known where the limit lies between."""
    better, worse = _to_limit(ends, limit, at_least=at_least)
    if worse is not None and worse >= 0:
        return f"{with_unit(worse, unit)} or more left"
    if better is not None and better < 0:
        return f"{with_unit(-better, unit)} or more {'short' if at_least else 'over'}"
    return NOT_KNOWN


def decides(unlocks: str | None, label: str) -> str:
    """Return which number settles it: ``class of camera 4 decides``; empty where none is named."""
    if not unlocks:
        return ""
    number = named_fact(unlocks if unlocks in FIELDS else unlocks.rpartition(".")[2])[0]
    if unlocks.startswith("cable."):
        number = f"{number} of a lead"
        return f"{number} at {label} decides" if label else f"{number} decides"
    return f"{number} of {label} decides" if label else f"{number} decides"


def _to_limit(ends: RangeShape, limit: float, *, at_least: bool) -> tuple[float | None, float | None]:
    """Return how far the better and the worse end are on the good side of the limit; None: open."""
    low, high = ends["low"], ends["high"]
    if at_least:
        return None if high is None else high - limit, None if low is None else low - limit
    return None if low is None else limit - low, None if high is None else limit - high


def _one_end(known: float | None, unit: str, words: str, *, within: str, beyond: str) -> str:
    if known is not None and known < 0:
        return f"{with_unit(-known, unit)} {words} or {beyond}"
    return f"{with_unit(known, unit)} left or {within}"
