"""A figure against its limit: a post at three quarters of the width, so that all limits stand in one line."""

from dataclasses import dataclass, replace

from inventory.selectors.checks import RangeShape
from web.components import ranges
from web.components.numbers import figure, with_unit

POST = 75.0
LONGEST = 99.0
LEAST = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A drawn figure: pieces in percent of the width, and the same in words."""

    spoken: str
    margin: str
    """``25 W over``; empty where there is none."""
    colour: str
    """Severity of the margin's words; empty: ink."""
    at_least: bool
    """The limit is the least that is wanted: the ground that must stay free lies on the left."""
    known: bool = True
    ink_from: float = 0.0
    ink: float = 0.0
    """Width of the part that is within."""
    over_from: float = POST
    over: float = 0.0
    """Width of the part that is beyond, drawn thicker in the stop colour."""
    soft: float | None = None
    """Where good practice ends, before the limit."""
    box_from: float = 0.0
    box: float = 0.0
    """Width of what may be: dashed, from the lower end of a range to the upper."""
    open_end: str = ""
    """``left`` or ``right``, where that end of the box runs on."""

    @property
    def box_end(self) -> float:
        return self.box_from + self.box


def percent(value: float) -> str:
    return f"{value:.1f}%"


def bar(
    *,
    value: float | None,
    limit: float | None,
    unit: str = "",
    at_least: bool = False,
    soft: float | None = None,
    ends: RangeShape | None = None,
) -> Bar | None:
    """Return the bar of a figure, or None where there is no limit to hold it against.

    Args:
        value: What is; None: not known.
        limit: Where it ends.
        unit: Of both.
        at_least: The limit is the least that is wanted; otherwise the most that may be.
        soft: Where good practice ends, if before the limit.
        ends: Between which ends the value lies, where it is a range.
    """
    if limit is None:
        return None
    if ends is not None and not ranges.is_open(ends):
        drawn = _between(ends, limit, unit, at_least=at_least)
        return drawn if value is None else _judged_by(drawn, _of_value(value, limit, unit, soft, at_least=at_least))
    if value is not None:
        return _of_value(value, limit, unit, soft, at_least=at_least)
    return Bar(
        spoken=f"not known, against {with_unit(limit, unit)}",
        margin=ranges.NOT_KNOWN,
        colour="unknown",
        at_least=at_least,
        known=False,
    )


def settled_by(drawn: Bar | None, decides: str) -> Bar | None:
    """Return a bar that also says aloud which number would settle it."""
    return replace(drawn, spoken=f"{drawn.spoken}; {decides}") if drawn is not None and decides else drawn


def _of_value(value: float, limit: float, unit: str, soft: float | None, *, at_least: bool) -> Bar:
    return _at_least(value, limit, unit) if at_least else _at_most(value, limit, unit, soft)


def _between(ends: RangeShape, limit: float, unit: str, *, at_least: bool) -> Bar:
    """Return the bar of a range: what is sure in ink, or beyond the post; what may be, dashed."""
    low = 0.0 if ends["low"] is None else _place(ends["low"], limit)
    high = 100.0 if ends["high"] is None else _place(ends["high"], limit)
    sure_beyond = max(POST - high, 0.0) if at_least else max(low - POST, 0.0)
    words = ranges.least_margin(ends, limit, unit, at_least=at_least)
    wanted = f", at least {with_unit(limit, unit)}" if at_least else f" of {with_unit(limit, unit)}"
    return Bar(
        spoken=f"{ranges.between(ends, unit)}{wanted}",
        margin=words,
        colour="unknown" if words == ranges.NOT_KNOWN else "stop" if sure_beyond else "",
        at_least=at_least,
        ink_from=POST if at_least else 0.0,
        ink=max(low - POST, 0.0) if at_least else min(low, POST),
        over_from=high if at_least else POST,
        over=sure_beyond,
        box_from=low,
        box=max(high - low, LEAST),
        open_end="right" if ends["high"] is None else "left" if ends["low"] is None else "",
    )


def _judged_by(drawn: Bar, one: Bar) -> Bar:
    """Return the bar of a range with the margin of the value that a check judges it by."""
    return replace(drawn, margin=one.margin, colour=one.colour)


def _at_most(value: float, limit: float, unit: str, soft: float | None) -> Bar:
    at = _place(value, limit)
    left = limit - value
    past_soft = soft is not None and soft < value <= limit
    return Bar(
        spoken=f"{with_unit(value, unit)} against a limit of {with_unit(limit, unit)}",
        margin=f"{with_unit(abs(left), unit)} {'over' if left < 0 else 'left'}",
        colour="stop" if left < 0 else "caution" if past_soft else "",
        at_least=False,
        ink=min(at, POST),
        over=max(at - POST, 0.0),
        soft=None if soft is None else _place(soft, limit),
    )


def _at_least(value: float, limit: float, unit: str) -> Bar:
    at = _place(value, limit)
    left = value - limit
    return Bar(
        spoken=f"{with_unit(value, unit)}, at least {with_unit(limit, unit)}",
        margin=f"{with_unit(abs(left), unit)} {'short' if left < 0 else 'left'}",
        colour="stop" if left < 0 else "",
        at_least=True,
        ink_from=POST,
        ink=max(at - POST, 0.0),
        over_from=min(at, POST),
        over=max(POST - at, 0.0),
    )


def _place(value: float, limit: float) -> float:
    """Return where a value stands, in percent; a limit of nothing is crossed by anything."""
    if limit <= 0:
        return POST if value <= limit else LONGEST
    return min(max(POST * value / limit, LEAST if value > 0 else 0.0), LONGEST)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One line of the list of figures."""

    name: str
    words: str
    """``90 of 65 W``, or the figure alone."""
    bar: Bar | None


def plain(name: str, value: float | None, unit: str) -> Figure:
    """Return a figure that is compared with nothing."""
    return Figure(name=name, words=with_unit(value, unit), bar=None)


def against(name: str, value: float | None, limit: float | None, unit: str) -> Figure:
    """Return a figure with its limit."""
    if limit is None:
        return plain(name, value, unit)
    shown = "?" if value is None else figure(value)
    return Figure(name=name, words=f"{shown} of {with_unit(limit, unit)}", bar=bar(value=value, limit=limit, unit=unit))
