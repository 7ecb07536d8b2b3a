"""Two kits side by side: verdicts, what each finds that the other does not, figures, ports and watts."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.connectors import connector
from calc.errors import BadInput
from calc.vocabulary import NOTHING_FOUND
from inventory.capability_document import PanelPortsShape, PoweredShape
from inventory.drawings.symbols import OTHER, symbol_of
from inventory.selectors.briefs import BriefShape
from inventory.selectors.compare import ComparedFindingShape, ComparisonShape, CostShape, SideShape
from web.components.brief import asked_lines
from web.components.findings import in_two
from web.components.numbers import with_unit
from web.components.ranges import margin_words
from web.components.verdicts import Verdict

NONE = "none"
NOT_ASKED = "not asked"
NOT_CONNECTED = "not connected"


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedFinding:
    severity: str
    move: str
    because: str
    margin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedSide:
    kit: int
    name: str
    verdict: Verdict
    only: tuple[ComparedFinding, ...]
    """What the other side does not find."""
    shared: int
    """How many findings both have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedRow:
    name: str
    symbol: str
    """Of a port; else empty."""
    a: str
    b: str
    differs: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    sides: tuple[ComparedSide, ComparedSide]
    asked: tuple[ComparedRow, ...]
    """What is asked of either; none where nothing is asked of both."""
    figures: tuple[ComparedRow, ...]
    ports: tuple[ComparedRow, ...]
    powered: tuple[ComparedRow, ...]
    places: tuple[ComparedRow, ...]
    """Those that differ."""
    connections: tuple[ComparedRow, ...]
    """Those that differ."""


def comparison(shape: ComparisonShape) -> Comparison:
    """Return a comparison to be drawn; costs stand in it only where the selector gave them."""
    a, b = shape["a"], shape["b"]
    return Comparison(
        sides=(_side(a, set(shape["only_a"])), _side(b, set(shape["only_b"]))),
        asked=_asked(a["brief"], b["brief"]),
        figures=_figures(a, b),
        ports=_ports(a["capability"]["ports"], b["capability"]["ports"]),
        powered=_powered(a["capability"]["powered"], b["capability"]["powered"]),
        places=tuple(_row(each["label"], each["a"] or NONE, each["b"] or NONE) for each in shape["places"]),
        connections=tuple(
            _row(" to ".join(each["ends"]), each["a"] or NOT_CONNECTED, each["b"] or NOT_CONNECTED)
            for each in shape["connections"]
        ),
    )


def _side(side: SideShape, only: set[str]) -> ComparedSide:
    severity, found = side["verdict"], side["findings"]
    count = None if severity == NOTHING_FOUND else sum(finding["severity"] == severity for finding in found)
    own = tuple(_finding(finding) for finding in found if finding["message"] in only)
    return ComparedSide(
        kit=side["kit"],
        name=side["name"],
        verdict=Verdict(name="Design", severity=severity, count=count, words=""),
        only=own,
        shared=len(found) - len(own),
    )


def _finding(shape: ComparedFindingShape) -> ComparedFinding:
    move, because = in_two(shape["message"])
    return ComparedFinding(severity=shape["severity"], move=move, because=because, margin=margin_words(shape))


def _asked(a: BriefShape | None, b: BriefShape | None) -> tuple[ComparedRow, ...]:
    sides: list[dict[str, str]] = []
    for brief in (a, b):
        said: dict[str, str] = {}
        for line in asked_lines(brief, {}):
            said[line.name] = f"{said[line.name]}; {line.words}" if line.name in said else line.words
        sides.append(said)
    names = dict.fromkeys([*sides[0], *sides[1]])
    return tuple(_row(name, *(said.get(name, NOT_ASKED) for said in sides)) for name in names)


def _figures(a: SideShape, b: SideShape) -> tuple[ComparedRow, ...]:
    one, other = a["capability"], b["capability"]
    rows = [
        _row("Weight", with_unit(a["weight_kg"], "kg"), with_unit(b["weight_kg"], "kg")),
        _row("Mains, as apparent power", with_unit(one["draw_va"], "VA"), with_unit(other["draw_va"], "VA")),
        _row("Heat inside", with_unit(one["heat_w"], "W"), with_unit(other["heat_w"], "W")),
    ]
    if "cost" in a and "cost" in b:
        rows.append(_row("Costs to replace", _cost(a["cost"]), _cost(b["cost"])))
    return tuple(rows)


def _cost(cost: CostShape) -> str:
    said = [f"{amount} {currency}" for currency, amount in cost["by_currency"].items()]
    if cost["unknown"]:
        said.append(f"{cost['unknown']} not known")
    return ", ".join(said) or NONE


def _ports(a: Sequence[PanelPortsShape], b: Sequence[PanelPortsShape]) -> tuple[ComparedRow, ...]:
    sides = [{(p["connector"], p["side"], p["carries"], p["powered"]): p for p in ports} for ports in (a, b)]
    rows = []
    for kind in sorted({**sides[0], **sides[1]}):
        code, side, carries, powered = kind
        try:
            name, symbol = connector(code).name, symbol_of(code, side)
        except BadInput:  # a data sheet may be older than the register
            name, symbol = code, OTHER
        words = f"{name}, {side}; {carries}{', powered' if powered else ''}"
        rows.append(_row(words, *(_count(ports.get(kind)) for ports in sides), symbol=symbol))
    return tuple(rows)


def _count(ports: PanelPortsShape | None) -> str:
    return NONE if ports is None else f"{ports['count']}, {ports['free']} empty"


def _powered(a: Sequence[PoweredShape], b: Sequence[PoweredShape]) -> tuple[ComparedRow, ...]:
    sides = [{_source(powered): powered for powered in each} for each in (a, b)]
    names = dict.fromkeys([*sides[0], *sides[1]])
    return tuple(_row(name, *(_left(powered.get(name)) for powered in sides)) for name in names)


def _source(powered: PoweredShape) -> str:
    source = powered["source"]
    return f"{source['label']} {source['port']}" if source["port"] else source["label"]


def _left(powered: PoweredShape | None) -> str:
    if powered is None:
        return NONE
    left, budget = powered["watts_left"], with_unit(powered["budget_w"], "W")
    if left is not None and left < 0:
        return f"{with_unit(-left, 'W')} over {budget}"
    return f"{with_unit(left, 'W')} of {budget}"


def _row(name: str, a: str, b: str, *, symbol: str = "") -> ComparedRow:
    return ComparedRow(name=name, symbol=symbol, a=a, b=b, differs=a != b)
