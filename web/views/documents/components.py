"""``/components/``: every figure in every state, with invented values, for whoever changes the look."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime

from django.http import HttpRequest, HttpResponse
from django.utils.safestring import SafeString, mark_safe

from calc.connectors import all_connectors
from calc.rig.kit import Port
from calc.vocabulary import NOTHING_FOUND, SEVERITIES
from inventory.drawings.holes import Hole, Source
from inventory.drawings.panel import panel
from inventory.drawings.purposes import Purpose
from inventory.drawings.svg import write
from inventory.drawings.symbols import symbol_of
from inventory.drawings.tape import COLOURS, NO_TAPE, Tape, tape
from inventory.selectors.checks import RangeShape
from inventory.services.tags import tag_of_number
from web.components.bars import Figure, against, bar, settled_by
from web.components.findings import Accepted, Finding, Input
from web.components.numbers import with_unit
from web.components.ranges import between, margins
from web.components.tags import TagModel, tag_model
from web.components.verdicts import Verdict
from web.page import Page


@dataclass(frozen=True, slots=True, kw_only=True)
class Glyph:
    """One symbol of the panel, and the halves of connectors that it stands for."""

    symbol: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeverityLine:
    name: str
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ComponentsModel:
    title: str
    severities: tuple[SeverityLine, ...]
    verdicts: tuple[Verdict, ...]
    findings: tuple[Finding, ...]
    figures: tuple[Figure, ...]
    face: SafeString
    tapes: tuple[Tape, ...]
    tags: tuple[TagModel, ...]
    glyphs: tuple[Glyph, ...]


ACROSS = RangeShape(low=50.2, high=76.2)
MEANINGS = {
    "stop": "a closed, struck hole: will not work, or beyond a published limit",
    "caution": "a half-full lozenge: works, outside good practice or with too little margin",
    "unknown": "a broken ring: one missing number could change the answer",
    "note": "a ring with a dot: worth knowing",
    NOTHING_FOUND: "an empty hole: nothing found. There is no green one",
}

VERDICTS = (
    Verdict(name="Design", severity="stop", count=1, words=""),
    Verdict(name="Packed", severity="caution", count=2, words=""),
    Verdict(name="Design", severity="unknown", count=3, words=""),
    Verdict(name="Packed", severity="note", count=None, words="checking …"),
    Verdict(name="Design", severity=NOTHING_FOUND, count=None, words=""),
    Verdict(name="Packed", severity="unknown", count=None, words="not checked yet"),
)

OVER = Finding(
    id=1,
    code="poe-budget-exceeded",
    severity="stop",
    move="Move camera 3 from hole 3 to hole 6.",
    because="Switch A sets aside 90 W of 65 W, and port 3 goes dark.",
    bar=bar(value=90.0, limit=65.0, unit="W"),
    value="90 W",
    limit="65 W",
    margin="−25 W",
    inputs=tuple(Input(thing=f"camera {n}", fact="class", value="4") for n in (1, 2, 3)),
    source="IEEE 802.3, clauses 33 and 145",
    basis="6 from data sheets",
    seen="as planned and as packed",
    unlocks="",
    position=None,
    accepted=None,
)
FINDINGS = (
    OVER,
    replace(
        OVER,
        id=2,
        code="retention-lost",
        severity="caution",
        move="Tie the lead of hole 4 to the handle.",
        because="Its latch is broken, and friction alone holds the plug.",
        bar=None,
        value="",
        limit="",
        margin="",
        inputs=(),
        source="Connector register",
        basis="1 measured",
        seen="as packed",
    ),
    replace(
        OVER,
        id=3,
        code="data-missing",
        severity="unknown",
        move="Enter the class of camera 4.",
        because="Switch A sets aside 50.2 to 76.2 W of 65 W.",
        bar=settled_by(bar(value=None, limit=65.0, unit="W", ends=ACROSS), "class of camera 4 decides"),
        value=between(ACROSS, "W"),
        limit="65 W",
        margin=margins(ACROSS, 65.0, "W", at_least=False),
        inputs=(Input(thing="camera 4", fact="poe, class", value="not known"),),
        source="IEEE 802.3 cl. 33, 145",
        basis="3 from data sheets, 1 not known",
        unlocks="net, poe, class",
    ),
    replace(
        OVER,
        id=4,
        code="spec-differs",
        severity="note",
        move="The spare lamp is of another make.",
        because="",
        bar=None,
        value="",
        limit="",
        margin="",
        inputs=(),
        source="Common practice",
        basis="",
        accepted=Accepted(
            name="ama", reason="It fits the same clip.", at=datetime(2027, 5, 1, 16, 4, tzinfo=UTC), until=None
        ),
    ),
)


def _range(name: str, ends: RangeShape, limit: float, unit: str, *, at_least: bool = False) -> Figure:
    words = f"{between(ends, unit)}{', at least' if at_least else ' of'} {with_unit(limit, unit)}"
    return Figure(name=name, words=words, bar=bar(value=None, limit=limit, unit=unit, at_least=at_least, ends=ends))


FIGURES = (
    against("Within", 30.8, 120.0, "W"),
    Figure(name="Past good practice", words="13.4 of 16 A", bar=bar(value=13.4, limit=16.0, unit="A", soft=12.8)),
    against("At the limit", 102.0, 102.0, "m"),
    against("Over", 71.2, 65.0, "W"),
    against("Far over", 210.0, 65.0, "W"),
    Figure(
        name="A least value, kept",
        words="45.7, at least 42.5 V",
        bar=bar(value=45.7, limit=42.5, unit="V", at_least=True),
    ),
    Figure(
        name="A least value, missed",
        words="38, at least 42.5 V",
        bar=bar(value=38.0, limit=42.5, unit="V", at_least=True),
    ),
    _range("A range across the limit", ACROSS, 65.0, "W"),
    _range("A range within", RangeShape(low=20.0, high=48.0), 65.0, "W"),
    _range("A range beyond", RangeShape(low=71.0, high=82.0), 65.0, "W"),
    _range("A range with an open end", RangeShape(low=10.0, high=None), 16.0, "A"),
    _range("A least value, across", RangeShape(low=40.8, high=50.0), 42.5, "V", at_least=True),
    against("No number", None, 30.0, "mA"),
    Figure(name="No limit", words="27.4 kg", bar=None),
)

SOURCE = Source(position=1, label="Switch A", budget_w=65.0, allotted_w=90.0)
HOLE = Hole(
    number=1,
    node=(1, "LAN 1"),
    name="LAN 1",
    of="case",
    port=Port(name="LAN 1", connector="8p8c-rugged", side="socket", carries="ethernet", face="outside"),
    symbol="c-8r",
    behind=None,
    device=(2, "lan"),
    goes_in="Cam 1",
    planned=True,
    label="",
    lead="",
    tape=tape("blue"),
    source=SOURCE,
    watts=30.0,
    damage=frozenset(),
    not_under_load=False,
    severity=None,
    purpose=Purpose(segments=("VLAN 20 sound",), short="sound"),
)
EMPTY = replace(HOLE, device=None, goes_in="", tape=NO_TAPE)
MAINS_PORT = Port(name="mains in", connector="mains-lock-20a-in", side="socket", carries="mains", face="outside")
HOLES = (
    HOLE,
    replace(EMPTY, number=2),
    replace(HOLE, number=3, goes_in="Cam 3", severity="stop"),
    replace(HOLE, number=4, goes_in="Desk", tape=tape("yellow"), damage=frozenset({"latch"})),
    replace(HOLE, number=5, goes_in="class ?", tape=tape("white"), severity="unknown", planned=False),
    replace(EMPTY, number=6, damage=frozenset({"dead"})),
    replace(
        HOLE,
        number=7,
        goes_in="Mains",
        tape=tape("black"),
        symbol="c-lki",
        source=None,
        not_under_load=True,
        port=MAINS_PORT,
    ),
    replace(
        HOLE,
        number=8,
        goes_in="Whip",
        tape=NO_TAPE,
        symbol="c-ant",
        source=None,
        port=replace(MAINS_PORT, name="antenna", connector="antenna-sma", carries="radio"),
    ),
)


class ComponentsPage(Page):
    permits = {"GET": "kit.edit"}
    section = "/components/"

    def get(self, request: HttpRequest) -> HttpResponse:
        page = ComponentsModel(
            title="Components",
            severities=tuple(
                SeverityLine(name=name, meaning=MEANINGS[name]) for name in (*reversed(SEVERITIES), NOTHING_FOUND)
            ),
            verdicts=VERDICTS,
            findings=FINDINGS,
            figures=FIGURES,
            face=mark_safe(write(panel(HOLES, name="an invented case"))),  # noqa: S308 - a tree of elements
            tapes=tuple(tape(code) for code in COLOURS),
            tags=(tag_model(tag_of_number(207)), tag_model("shelf-3")),
            glyphs=_glyphs(),
        )
        return self.show("web/pages/components.html", page)


def _glyphs() -> tuple[Glyph, ...]:
    """Return every symbol that the register of connectors leads to, with what it stands for."""
    halves: dict[str, list[str]] = {}
    for connector in all_connectors():
        for side in connector.sides:
            names = halves.setdefault(symbol_of(connector.code, side), [])
            if connector.code not in names:
                names.append(connector.code)
    return tuple(
        Glyph(symbol=symbol, words=", ".join(codes[:3]) + (" …" if len(codes) > 3 else ""))
        for symbol, codes in halves.items()
    )
