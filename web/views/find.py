"""``/find/``: where is it? By tag, serial or words."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from inventory.selectors.contents import FoundUnitShape, found_units
from inventory.selectors.kits import kit_rows
from web.components.tags import TagModel, tag_model
from web.page import Page

MOST = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundUnit:
    tag: TagModel
    unit: FoundUnitShape


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundKit:
    id: int
    name: str
    purpose: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FindModel:
    title: str
    sought: str
    kits: tuple[FoundKit, ...]
    units: tuple[FoundUnit, ...]
    more: bool
    """There is more than is shown."""


class FindPage(Page):
    permits = {"GET": "unit.read"}
    section = "/find/"

    def get(self, request: HttpRequest) -> HttpResponse:
        words = request.GET.get("q", "").replace("\x00", "").strip()[:200]
        units = found_units(words, most=MOST + 1) if words else []
        page = FindModel(
            title=f"Find {words}" if words else "Find",
            sought=words,
            kits=_kits(words) if words else (),
            units=tuple(FoundUnit(tag=tag_model(unit["tag"]), unit=unit) for unit in units[:MOST]),
            more=len(units) > MOST,
        )
        return self.show("web/pages/find.html", page)


def _kits(words: str) -> tuple[FoundKit, ...]:
    rows = kit_rows().order_by("name", "id")
    for word in words.split():
        rows = rows.filter(name__icontains=word)
    return tuple(FoundKit(id=row["id"], name=row["name"], purpose=row["purpose"]) for row in rows[:MOST])
