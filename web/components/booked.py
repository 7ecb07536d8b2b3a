"""A booking in the list of a show: what it wants, what it has, what it lacks."""

from collections.abc import Sequence
from dataclasses import dataclass

from scheduling.models import BookingState
from scheduling.promises.queue import AheadShape
from scheduling.selectors.lines import LineShape, LineShortfallShape
from web.components.in_the_way import REASONS
from web.components.spans import moment, span
from web.components.tags import TagModel, tag_model

FIRST_TAGS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Lack:
    id: int
    name: str
    """Of the spec, where the words name only a unit of it."""
    words: str
    """``Supply A: T0123X, promised elsewhere``."""
    rival_event: int | None
    rival_name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """A booking that a pencil stands behind."""

    booking: int
    event: int
    name: str
    words: str
    """``has it confirmed``, ``pencilled it earlier``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookedLine:
    id: int
    version: int
    name: str
    address: str
    tag: TagModel | None
    wants: int
    """How many of a spec; nought for a kit or a unit."""
    state: str
    words: str
    """``promised``, ``pencilled until …``."""
    when: str
    """Only where it has a time of its own."""
    outside: bool
    """It does not cover the times of its show."""
    booker: str
    tags: tuple[TagModel, ...]
    more: tuple[TagModel, ...]
    """Of what it has, beyond the first few."""
    lacks: tuple[Lack, ...]
    ahead: tuple[Ahead, ...]
    """Of a pencil: who comes first."""
    place: str
    """``2nd in line``; empty for what is no pencil, or has nobody ahead."""
    short: int
    may_confirm: bool
    may_change: bool
    over: bool
    """It holds nothing any more: cancelled, or a pencil whose date has passed."""


def booked_lines(shapes: Sequence[LineShape], *, person: int, others: bool, books: bool) -> tuple[BookedLine, ...]:
    """Return the bookings of a show.

    Args:
        shapes: From the selector.
        person: Who looks.
        others: They may change what somebody else booked.
        books: They may change what they booked themselves.
    """
    return tuple(booked_line(shape, may_change=books and (others or shape["booked_by"] == person)) for shape in shapes)


def booked_line(shape: LineShape, *, may_change: bool) -> BookedLine:
    tags = [tag_model(each["tag"]) for each in shape["promised"]]
    shown = [] if shape["unit"] is not None else tags
    over = shape["state"] == BookingState.CANCELLED or shape["expired"]
    return BookedLine(
        id=shape["id"],
        version=shape["version"],
        name=shape["kit_name"] or shape["unit_spec_name"] or shape["spec_name"] or "",
        address=_address(shape),
        tag=tag_model(shape["tag"]) if shape["tag"] else None,
        wants=shape["quantity"] if shape["spec"] is not None else 0,
        state=shape["state"],
        words=_words(shape),
        when="" if shape["follows_event"] else span(shape["starts_at"], shape["ends_at"]),
        outside=shape["outside"] and not over,
        booker=shape["booker"] or "nobody",
        tags=tuple(shown[:FIRST_TAGS] if shape["spec"] is not None else ()),
        more=tuple(shown[FIRST_TAGS:] if shape["spec"] is not None else shown),
        lacks=tuple(lack_line(each) for each in shape["lacks"]),
        ahead=ahead_lines(shape["before"]),
        place=_place(shape),
        short=sum(each["quantity"] for each in shape["lacks"]),
        may_confirm=may_change and shape["state"] == BookingState.PENCIL and not shape["expired"],
        may_change=may_change and shape["state"] != BookingState.CANCELLED,
        over=over,
    )


def ahead_lines(before: Sequence[AheadShape]) -> tuple[Ahead, ...]:
    """Return who is ahead of a pencil, those who have it confirmed first."""
    return tuple(
        Ahead(
            booking=each["booking"],
            event=each["event"],
            name=each["event_name"],
            words="has it confirmed" if each["firm"] else "pencilled it earlier",
        )
        for each in before
    )


def _place(shape: LineShape) -> str:
    if shape["rank"] is None or not shape["before"]:
        return ""
    return f"{ordinal(shape['rank'])} in line" if shape["rank"] > 1 else "waits"


def ordinal(number: int) -> str:
    """Return 1st, 2nd, 3rd, 11th."""
    ending = "th" if number % 100 in {11, 12, 13} else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def lack_line(shape: LineShortfallShape) -> Lack:
    """Return what is lacking, the place in the kit first."""
    what = shape["tag"] or shape["spec_name"]
    if shape["quantity"] > 1:
        what = f"{shape['quantity']} of {what}"
    place = f"{shape['position_label']}: " if shape["position_label"] else ""
    return Lack(
        id=shape["id"],
        name=shape["spec_name"] if shape["tag"] else "",
        words=f"{place}{what}, {REASONS[shape['reason']]}",
        rival_event=shape["rival_event"],
        rival_name=shape["rival_name"] or "",
    )


def _words(shape: LineShape) -> str:
    if shape["state"] == BookingState.CANCELLED:
        return "cancelled"
    if shape["state"] == BookingState.CONFIRMED:
        return "promised"
    until = moment(shape["expires_at"]) if shape["expires_at"] is not None else ""
    return f"pencil expired {until}" if shape["expired"] else f"pencilled until {until}"


def _address(shape: LineShape) -> str:
    if shape["kit"] is not None:
        return f"/kits/{shape['kit']}/"
    if shape["unit"] is not None:
        return f"/units/{shape['unit']}/"
    return f"/specs/{shape['spec']}/"
