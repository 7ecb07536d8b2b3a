"""A figure against its limit: a post at three quarters of the width, so that all limits stand in one line."""

from dataclasses import dataclass

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
    over_end: float = 0.0
    """Where a value below a least one stands."""
    soft: float | None = None
    """Where good practice ends, before the limit."""


def percent(value: float) -> str:
    return f"{value:.1f}%"


def bar(
    *, value: float | None, limit: float | None, unit: str = "", margin: float | None = None, soft: float | None = None
) -> Bar | None:
    """Return the bar of a figure, or None where there is no limit to hold it against.

    Args:
        value: What is; None: not known.
        limit: Where it ends.
        unit: Of both.
        margin: How far the value is on the good side; tells a most from a least. None: the limit is a most.
        soft: Where good practice ends, if before the limit.
    """
    if limit is None:
        return None
    if value is None:
        return Bar(
            spoken=f"not known, against {with_unit(limit, unit)}",
            margin="not known",
            colour="unknown",
            at_least=False,
            known=False,
        )
    least = margin is not None and abs(margin - (value - limit)) < abs(margin - (limit - value))
    return _at_least(value, limit, unit) if least else _at_most(value, limit, unit, soft)


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
        over_end=at,
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
