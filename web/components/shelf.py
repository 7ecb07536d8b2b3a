"""What is free in one window, as a cell: a number, a shelf with one mark for each unit, and words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from scheduling.selectors.availability.answer import SpecWindowShape
from scheduling.selectors.availability.kits import KitWindowShape
from scheduling.selectors.availability.reasons import UnitInWindowShape
from scheduling.selectors.in_the_way import DownShape, PencilShape, RivalShape
from web.components.in_the_way import cause
from web.components.spans import NOT_KNOWN, moment, span
from web.components.tags import TagModel, tag_model

STEP = 12
MOST_MARKS = 16
"""Units that are drawn one by one; more are one bar."""
PLANNED = "Planned"
"""Said of a kit that has no case yet, and so cannot be booked."""
FREE, REDEALT, PACKED, PENCIL, GONE, HELD = "u-free", "u-redeal", "u-packed", "u-pencil", "u-gone", "u-held"
MEANINGS = (
    (FREE, "free, loose"),
    (REDEALT, "bookable if others are dealt again"),
    (PACKED, "free, but packed in a kit"),
    (PENCIL, "pencilled"),
    (GONE, "promised: its place is empty"),
    (HELD, "held back"),
)


OWN, IS_FREE, IF_MOVED, NOT_FREE = range(4)
"""Places of a row in the table, by the first show."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holders:
    """Who has a kit in one window, as far as names go."""

    event: int | None
    """The show whose window it is."""
    pencils: Sequence[PencilShape]
    """Who has it in pencil then, in the order of booking."""
    rivals: Mapping[int, RivalShape]
    downs: Mapping[int, DownShape]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    symbol: str
    x: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    address: str
    opened: bool
    number: int | None
    """How many can be booked; None for a kit, whose word stands instead."""
    word: str
    marks: tuple[Mark, ...]
    share: float | None
    """Where there are too many marks: the share that can be booked."""
    words: str
    more: str
    """For those who do not see the marks."""
    rank: int = IS_FREE
    """The place of its row among the rows, where it is in the first column."""

    @property
    def width(self) -> int:
        return STEP * len(self.marks)


def spec_cell(shape: SpecWindowShape, *, address: str, opened: bool) -> Cell:
    """Return the cell of a spec."""
    free, packed = shape["free"], shape["packed"]
    rest = max(shape["owned"] - free - packed, 0)
    held = min(shape["held_back"], rest)
    redealt = min(max(shape["bookable"] - free, 0), rest - held)
    half = min(shape["pencilled"], free)
    promised = rest - held
    row = (
        (FREE, free - half),
        (PENCIL, half),
        (REDEALT, redealt),
        (PACKED, packed),
        (GONE, promised - redealt),
        (HELD, held),
    )
    symbols = [symbol for symbol, number in row for _ in range(number)]
    drawn = len(symbols) <= MOST_MARKS
    said = [f"{free} free"]
    said += [f"{redealt} re-dealt"] if redealt else []
    said += [f"{packed} in kits"] if packed else []
    return Cell(
        address=address,
        opened=opened,
        number=shape["bookable"],
        word="",
        marks=_marks(symbols) if drawn else (),
        share=None if drawn else 100 * shape["bookable"] / max(shape["owned"], 1),
        words=", ".join(said),
        more=f", {shape['pencilled']} pencilled, {promised} promised, {held} held back",
    )


def kit_cell(shape: KitWindowShape, *, draft: bool, holders: Holders, address: str, opened: bool) -> Cell:
    """Return the cell of a kit: free, the show's own, or who has it and until when."""
    symbol, word, words, rank = _kit_words(shape, holders, draft=draft)
    return Cell(
        address=address,
        opened=opened,
        number=None,
        word=word,
        marks=_marks([symbol]),
        share=None,
        words=words,
        more="",
        rank=rank,
    )


def _kit_words(shape: KitWindowShape, holders: Holders, *, draft: bool) -> tuple[str, str, str, int]:
    """Return symbol, word, the line below it, and the place of the row: own ones, free ones, pencilled ones, others."""
    booked = [holders.rivals[reason["booking"]] for reason in shape["because"] if "booking" in reason]
    if draft:
        return HELD, PLANNED, "it has no case yet", NOT_FREE
    if any(rival["event"] == holders.event for rival in booked):
        return GONE, "Its own", "confirmed", OWN
    if own := next((pencil for pencil in holders.pencils if pencil["event"] == holders.event), None):
        return PENCIL, "Its own", f"pencilled{_until(own['expires_at'])}", OWN
    if shape["free"]:
        if not holders.pencils:
            return FREE, "Free", "nothing in the way", IS_FREE
        first = holders.pencils[0]
        more = f", {len(holders.pencils)} pencils" if len(holders.pencils) > 1 else ""
        return PENCIL, first["name"], f"pencil{_until(first['expires_at'])}{more}", IF_MOVED
    if booked:
        last = max(booked, key=lambda rival: rival["ends_at"])
        others = len({rival["event"] for rival in booked}) - 1
        return (
            GONE,
            last["name"],
            f"back {moment(last['ends_at'])}" + (f", and {others} more" if others else ""),
            NOT_FREE,
        )
    return HELD, "Held back", _held(shape, holders), NOT_FREE


def _until(at: datetime | None) -> str:
    return "" if at is None else f" to {moment(at)}"


def _held(shape: KitWindowShape, holders: Holders) -> str:
    """Return why a unit of the kit is down and until when; of several the one that is down longest."""
    downs = [holders.downs[reason["downtime"]] for reason in shape["because"] if "downtime" in reason]
    if not downs:
        return _units(len({reason["unit"] for reason in shape["because"]}))
    forever = [down for down in downs if down["until"] is None]
    worst = forever[0] if forever else max(downs, key=lambda down: str(down["until"]))
    until = NOT_KNOWN if worst["until"] is None else f"to {moment(worst['until'])}"
    return f"{cause(worst['cause'], '')}, {until}"


def _units(number: int) -> str:
    return "1 unit of it" if number == 1 else f"{number} units of it"


def _marks(symbols: Sequence[str]) -> tuple[Mark, ...]:
    return tuple(Mark(symbol=symbol, x=STEP * index) for index, symbol in enumerate(symbols))


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Units, and what stands on all of them."""

    units: tuple[tuple[int, TagModel], ...]
    what: str
    words: str
    event: int | None
    event_name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Units alike in one window."""

    symbol: str
    words: str
    told: tuple[Told, ...]
    more: int
    """How many units are not named."""


MOST_TOLD = 12
WORDS = {FREE: "free", PACKED: "in a kit", PENCIL: "pencilled", GONE: "promised", HELD: "held back"}


def groups(shapes: Sequence[UnitInWindowShape], *, named: bool = False) -> tuple[Group, ...]:
    """Return units by what stands on them, those that can be had first; ``named`` says what each is."""
    found: dict[str, list[Told]] = {symbol: [] for symbol in WORDS}
    for shape in shapes:
        symbol, told = _told(shape, named=named)
        found[symbol].append(told)
    return tuple(
        Group(
            symbol=symbol,
            words=f"{len(told)} {WORDS[symbol]}",
            told=_together(told[:MOST_TOLD]),
            more=max(len(told) - MOST_TOLD, 0),
        )
        for symbol, told in found.items()
        if told
    )


def _together(told: Sequence[Told]) -> tuple[Told, ...]:
    """Return what is told with units of which the same is told put together."""
    found: dict[Told, tuple[tuple[int, TagModel], ...]] = {}
    for each in told:
        alike = replace(each, units=())
        found[alike] = found.get(alike, ()) + each.units
    return tuple(replace(alike, units=units) for alike, units in found.items())


def _told(shape: UnitInWindowShape, *, named: bool) -> tuple[str, Told]:
    firm = [claim for claim in shape["claims"] if claim["firm"]]
    event, event_name = None, ""
    if shape["downs"]:
        down = shape["downs"][0]
        until = f"until {moment(down['until'])}" if down["until"] else NOT_KNOWN
        symbol, words = HELD, f"{cause(down['cause'], down['note']).rstrip('.')}; {until}"
    elif firm:
        symbol, words = GONE, span(firm[0]["starts_at"], firm[0]["ends_at"])
        event, event_name = firm[0]["event"], firm[0]["name"]
    elif shape["claims"]:
        pencil = shape["claims"][0]
        symbol, words = PENCIL, f"until {moment(pencil['until'])}" if pencil["until"] else ""
        event, event_name = pencil["event"], pencil["name"]
    elif shape["kit_name"]:
        symbol, words = PACKED, f"in {shape['kit_name']}"
    else:
        symbol, words = FREE, shape["place"] or "place not known"
    what = shape["spec_name"] if named else ""
    return symbol, Told(
        units=((shape["unit"], tag_model(shape["tag"])),),
        what=what,
        words=words,
        event=event,
        event_name=event_name,
    )


def legend() -> Mapping[str, str]:
    """Return what each mark means, in their order."""
    return dict(MEANINGS)
