"""``/measuring/``: numbers worth measuring, that first which the most kits wait for."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from inventory.selectors.measuring import MissingNumberShape, numbers_worth_measuring
from web.components.numbers import named_fact
from web.components.sheet import BY_PATH
from web.page import Page


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberLine:
    number: str
    spec: str
    address: str
    """Where it is typed; empty where it stands on no data sheet, or the reader may not type it."""
    kits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuringModel:
    title: str
    lines: tuple[NumberLine, ...]


class MeasuringPage(Page):
    permits = {"GET": "kit.read"}
    section = "/kits/"

    def get(self, request: HttpRequest) -> HttpResponse:
        may_edit, may_read = self.person().may("spec.edit"), self.person().may("spec.read")
        lines = tuple(_line(shape, may_edit=may_edit, may_read=may_read) for shape in numbers_worth_measuring())
        return self.show("web/pages/measuring.html", MeasuringModel(title="Numbers worth measuring", lines=lines))


def _line(shape: MissingNumberShape, *, may_edit: bool, may_read: bool) -> NumberLine:
    path = shape["number"]
    fact, unit = named_fact(path)
    words = BY_PATH[path].words if path in BY_PATH else fact
    unit = BY_PATH[path].unit if path in BY_PATH else unit
    return NumberLine(
        number=f"{words}, in {unit}" if unit else words,
        spec=shape["name"],
        address=_address(shape["spec"], path, may_edit=may_edit) if may_read else "",
        kits=shape["kits"],
    )


def _address(spec: int | None, path: str, *, may_edit: bool) -> str:
    """Return the form of the number, or the sheet, where it is a port's or is only read."""
    if spec is None or path.startswith("kit."):
        return ""
    return f"/specs/{spec}/numbers/{path}/" if may_edit and path in BY_PATH else f"/specs/{spec}/"
