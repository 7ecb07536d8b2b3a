"""``/measuring/``: numbers worth measuring, that first which the most kits wait for."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from calc.rig.field_table import FIELDS
from inventory.selectors.measuring import MissingNumberShape, numbers_worth_measuring
from web.components.missing import May, typed_in_brief, typed_of_kit, typed_of_unit, typed_on_sheet
from web.components.numbers import named_fact
from web.page import Page


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberLine:
    number: str
    of: str
    """Name of the data sheet, or what else lacks it."""
    address: str
    """Where it is typed; empty where there is no form for it, or the reader may not read what lacks it."""
    kits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuringModel:
    title: str
    lines: tuple[NumberLine, ...]


class MeasuringPage(Page):
    permits = {"GET": "kit.read"}
    section = "/kits/"

    def get(self, request: HttpRequest) -> HttpResponse:
        lines = tuple(_line(shape, self.person().may) for shape in numbers_worth_measuring())
        return self.show("web/pages/measuring.html", MeasuringModel(title="Numbers worth measuring", lines=lines))


def _line(shape: MissingNumberShape, may: May) -> NumberLine:
    of, address = _whose(shape, may)
    return NumberLine(number=_words(shape["number"]), of=of, address=address, kits=shape["kits"])


PORT_FACTS = {
    "poe.class": "Class over Ethernet",
    "speed_mbps": "Speed in Mb/s",
    "pairs": "Pairs",
    "power.volts_min": "Lowest volts",
    "power.volts_max": "Highest volts",
    "power.watts": "Watts at most",
}
"""Ending of a path below a port → what the form of the port calls it."""


def _words(path: str) -> str:
    for ending, words in PORT_FACTS.items():
        if path.startswith("ports.") and path.endswith(f".{ending}"):
            return f"{words} of port {path.removeprefix('ports.').removesuffix(f'.{ending}')}"
    words, unit = named_fact(path)
    if path in FIELDS:
        words = FIELDS[path].heading
    return f"{words}, in {unit}" if unit else words


def _whose(shape: MissingNumberShape, may: May) -> tuple[str, str]:
    """Return what lacks a number, in words, and where it is typed."""
    number, name = shape["number"], shape["name"]
    if shape["kit"] is not None and number.startswith("kit."):
        return name, typed_of_kit(shape["kit"], number, may)
    if shape["kit"] is not None:
        return f"what {name} is for", typed_in_brief(shape["kit"], number, may)
    if shape["unit"] is not None:
        return f"unit {name}", typed_of_unit(shape["unit"], number, may)
    if shape["spec"] is None:
        return name, ""
    return name, typed_on_sheet(shape["spec"], number, may)
