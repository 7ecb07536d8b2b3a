"""The panel as it looks: a plate with numbered holes, tape under each, brackets over what belongs together."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from inventory.drawings.holes import NOT_UNDER_LOAD, Hole, Source
from inventory.drawings.svg import Element, drawing, element, text, use
from inventory.drawings.symbols import LATCH_BROKEN

ACROSS = 8
WIDTH = 360.0
STEP = 44.0
ROW = 130.0
TAPE_LETTERS = 6
HEAD_LETTERS = 3
BAD_MARK = {"stop": 22.0, "caution": 14.0, "unknown": 16.0}
POST = 0.75
"""Place of the limit on every bar: three quarters of its length."""
LONGEST = 0.99
LETTER = 6.3


def panel(holes: Sequence[Hole], *, name: str, linked: bool = False) -> Element:
    """Return the drawing of a panel.

    Args:
        holes: The holes, in order.
        name: Whose panel it is, for the title.
        linked: Let each hole lead to ``#h<number>``, the row of the plug map.
    """
    rows = [holes[start : start + ACROSS] for start in range(0, len(holes), ACROSS)]
    height = ROW * len(rows) + 16
    face = drawing(
        [_plate(height), *(part for index, row in enumerate(rows) for part in _row(row, ROW * index + 4, linked))],
        width=WIDTH,
        height=height,
        title=f"Outside of {name}, as it looks",
        description="; ".join(spoken(hole) for hole in holes) or "No port is on the outside.",
    )
    face.set("class", "face")
    if linked:
        face.set("role", "group")
    return face


def spoken(hole: Hole) -> str:
    """Return a hole in words: ``Hole 3, LAN 3: camera 3, blue. Latch broken``."""
    what = ", ".join(part for part in (hole.goes_in, hole.tape.word) if part) or "empty"
    if hole.purpose.network:
        what += f", for {hole.purpose.network}"
    more = [f"{kind} damaged" if kind not in {"dead", "intermittent"} else kind for kind in sorted(hole.damage)]
    if hole.severity is not None:
        more.append(f"a finding: {hole.severity}")
    if hole.not_under_load:
        more.append("do not part under load")
    return ". ".join([f"Hole {hole.number}, {hole.name}: {what}", *more])


def short(words: str) -> str:
    """Return a name that fits on the tape; a last word of one or two letters, such as a number, is kept: ``cam 1``."""
    if len(words) <= TAPE_LETTERS:
        return words
    head, _, tail = words.rpartition(" ")
    if head and len(tail) <= 2:
        return f"{head[:HEAD_LETTERS].rstrip(' ,')} {tail}"
    return words[: TAPE_LETTERS - 1].rstrip(" ,") + "…"


def _plate(height: float) -> Element:
    screws = [element("circle", cls="n", cx=x, cy=y, r=2.6) for x in (8, WIDTH - 8) for y in (9, height - 9)]
    plate = element("rect", cls="n", x=1, y=1, width=WIDTH - 2, height=height - 2, rx=6)
    return element("g", plate, *screws)


def _row(holes: Sequence[Hole], top: float, linked: bool) -> Iterator[Element]:
    for column, hole in enumerate(holes):
        drawn = element("g", *_hole(hole, 5 + STEP * column, top))
        yield (
            element(
                "a", drawn, href=f"#h{hole.number}", aria_label=f"{hole.number} {_tape_words(hole)}: {spoken(hole)}"
            )
            if linked
            else drawn
        )
    column = 0
    for group, members in groupby(holes, key=lambda hole: hole.group):
        run = list(members)
        yield from _bracket(run, group, left=6 + STEP * column, right=2 + STEP * (column + len(run)), top=top)
        column += len(run)


def _hole(hole: Hole, x: float, top: float) -> Iterator[Element | str]:
    used = bool(hole.goes_in) and not hole.is_dead
    holding = hole.damage & {"latch", "shell"}
    symbol = LATCH_BROKEN.get(hole.symbol, hole.symbol) if holding else hole.symbol
    middle = x + 21
    yield element("rect", cls="hit", x=x, y=top, width=42, height=87)
    yield element("g", use(symbol, x + 5, top + 22, 32, 38), cls="" if used else "off")
    yield element("circle", cls="n fi" if used else "n", cx=middle, cy=top + 12, r=9)
    yield text(middle, top + 16.2, str(hole.number), "nt fs" if used else "nt")
    yield " "  # read aloud, number and tape are two words
    yield from _tape(hole, x, top + 64)
    if hole.is_dead:
        yield element("path", cls="x", d=f"M{x + 6} {top + 24}l30 34m0-34l-30 34")
    severity = hole.severity or ("caution" if holding else None)
    if severity in BAD_MARK:
        size = BAD_MARK[severity]
        middle_of_hole = severity == "stop"
        yield use(
            f"s-{severity}",
            middle - size / 2 if middle_of_hole else x + 41 - size,
            top + 41 - size / 2 if middle_of_hole else top + 62 - size,
            size,
            size,
            cls=severity,
        )


def _tape_words(hole: Hole) -> str:
    if not hole.goes_in:
        return short(hole.purpose.short) if hole.purpose.short else "empty"
    return hole.label if 0 < len(hole.label) <= TAPE_LETTERS else short(hole.goes_in)


def _tape(hole: Hole, x: float, y: float) -> Iterator[Element]:
    if not hole.goes_in:
        for_what = hole.purpose.tape
        if for_what.code and hole.purpose.short:
            yield element("rect", cls="n", x=x + 0.5, y=y + 1, width=4, height=15)
            yield element("rect", fill=f"var(--{for_what.code})", x=x + 1, y=y + 1.5, width=3, height=14)
        yield text(x + 22, y + 12.3, _tape_words(hole), "tt m")
        return
    yield element("rect", cls="n" if hole.planned else "n nk", x=x + 0.5, y=y, width=41, height=17)
    if hole.tape.code:
        yield element("rect", fill=f"var(--{hole.tape.code})", x=x + 1, y=y + 0.5, width=5, height=16)
    yield text(x + (23.5 if hole.tape.code else 21), y + 12.3, _tape_words(hole), "tt")


def _bracket(holes: Sequence[Hole], group: str, *, left: float, right: float, top: float) -> Iterator[Element]:
    source = holes[0].source
    if group == NOT_UNDER_LOAD:
        yield element("path", cls="l w3", d=f"M{left} {top + 18}V{top + 92}H{right}V{top + 18}")
        yield text((left + right) / 2, top + 105, group if len(holes) > 1 else "no load", "s b mid")
        return
    yield element("path", cls="l", d=f"M{left} {top + 86}v5H{right}v-5")
    if source is None:
        yield text((left + right) / 2, top + 105, group if len(holes) > 1 else group[:8], "s mid")
    else:
        yield from _budget(source, left, right, top + 95)


def _budget(source: Source, left: float, right: float, y: float) -> Iterator[Element]:
    width = right - left
    post = left + POST * width
    yield element("rect", x=post, y=y, width=right - post, height=12, fill="url(#h-no)")
    if source.budget_w is None or source.allotted_w is None:
        yield element("rect", cls="n nk", x=left, y=y + 2, width=width - 1, height=8)
        words = "not known"
    else:
        share = min(POST * source.allotted_w / source.budget_w, LONGEST) if source.budget_w else LONGEST
        yield element("rect", cls="fi", x=left, y=y + 2, width=min(share, POST) * width, height=8)
        if share > POST:
            yield element("rect", cls="fst", x=post, y=y + 1, width=(share - POST) * width, height=10)
        words = f"{source.allotted_w:g} of {source.budget_w:g} W"
    yield element("path", cls="l w25", d=f"M{post} {y - 2}v16")
    if width > 90:
        yield element("text", element("tspan", source.label[:14], cls="b"), f"  {words}", x=left, y=y + 25)
    else:
        yield text(left, y + 25, source.label if len(source.label) * LETTER <= width else short(source.label), "s b")
