"""``/find/?q=``: one box. Where is it, who has it, can I trust it, and who counts on it next?"""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from calc.vocabulary import NOTHING_FOUND
from inventory.selectors.find import FoundKitShape, FoundUnitShape, found_kits, found_specs, found_units
from inventory.selectors.specs import SpecSummaryShape
from inventory.selectors.tags import MistypedShape, mistyped
from scheduling.selectors.find import found_shows
from scheduling.selectors.programme import ShowShape
from scheduling.selectors.promises import PromiseShape, kit_promises, promises_of
from web.components.promises import PromiseLine, promise_line
from web.components.spans import span
from web.components.tags import TagModel, tag_model
from web.components.units import Trust, UnitLine, unit_line
from web.page import Page
from web.sought import sought_words

MOST_UNITS = 30
MOST_OTHERS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundUnit:
    unit: UnitLine
    once: TagModel | None
    """A tag that it had once, by which it was found."""
    next: PromiseLine | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundKit:
    id: int
    name: str
    purpose: str
    tag: TagModel | None
    trust: Trust
    where: str
    with_whom: str
    next: PromiseLine | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundShow:
    id: int
    name: str
    where: str
    when: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What answers to the words: what a script puts into the page."""

    sought: str
    mistyped: MistypedShape | None
    units: tuple[FoundUnit, ...]
    more_units: bool
    kits: tuple[FoundKit, ...]
    specs: tuple[SpecSummaryShape, ...]
    shows: tuple[FoundShow, ...]
    cut: bool
    """Of kits, specs or shows there is more than is shown."""

    @property
    def count(self) -> str:
        """How much was found, for whoever does not see it."""
        counted = (
            (len(self.units), "unit", "units"),
            (len(self.kits), "kit", "kits"),
            (len(self.shows), "event", "events"),
            (len(self.specs), "type", "types"),
        )
        said = ", ".join(f"{number} {one if number == 1 else many}" for number, one, many in counted if number)
        return said or ("nothing found" if self.sought else "")

    @property
    def nothing(self) -> bool:
        return not (self.units or self.kits or self.specs or self.shows)


@dataclass(frozen=True, slots=True, kw_only=True)
class FindModel:
    title: str
    sought: str
    found: Found


class FindPage(Page):
    permits = {"GET": "unit.read"}
    section = "/find/"

    def get(self, request: HttpRequest) -> HttpResponse:
        words = sought_words(request)
        found = self._found(words) if words else _nothing()
        if self.wants_part():
            return self.show_part("web/parts/found_part.html", found)
        page = FindModel(title=f"Find {words}" if words else "Find", sought=words, found=found)
        return self.show("web/pages/find.html", page)

    def _found(self, words: str) -> Found:
        now = timezone.now()
        units = found_units(words, most=MOST_UNITS + 1)
        kits = found_kits(words, most=MOST_OTHERS + 1)
        specs = found_specs(words, most=MOST_OTHERS + 1)
        shows = found_shows(words, now, clients=self.person().may("client.read"), most=MOST_OTHERS + 1)
        ids = [unit["id"] for unit in units]
        promises = promises_of(ids, now) if units else {}
        nexts = kit_promises([kit["id"] for kit in kits], now) if kits else {}
        return Found(
            sought=words,
            mistyped=None if units else mistyped(words),
            units=tuple(_unit(unit, promises.get(unit["id"], [])) for unit in units[:MOST_UNITS]),
            more_units=len(units) > MOST_UNITS,
            kits=tuple(_kit(kit, nexts.get(kit["id"])) for kit in kits[:MOST_OTHERS]),
            specs=tuple(specs[:MOST_OTHERS]),
            shows=tuple(_show(show) for show in shows[:MOST_OTHERS]),
            cut=any(len(several) > MOST_OTHERS for several in (kits, specs, shows)),
        )


def _nothing() -> Found:
    nothing: Any = ()
    return Found(
        sought="", mistyped=None, units=nothing, more_units=False, kits=nothing, specs=nothing, shows=nothing, cut=False
    )


def _unit(unit: FoundUnitShape, promises: list[PromiseShape]) -> FoundUnit:
    return FoundUnit(
        unit=unit_line(unit),
        once=tag_model(unit["once"]) if unit["once"] else None,
        next=promise_line(promises[0]) if promises else None,
    )


def _kit(kit: FoundKitShape, promise: PromiseShape | None) -> FoundKit:
    trust = Trust(severity=kit["verdict"] or "unknown", words=VERDICTS[kit["verdict"]])
    return FoundKit(
        id=kit["id"],
        name=kit["name"],
        purpose=kit["purpose"],
        tag=tag_model(kit["tag"]) if kit["tag"] else None,
        trust=trust,
        where=kit["at"] or "",
        with_whom=kit["with_whom"] or "",
        next=promise_line(promise) if promise is not None else None,
    )


VERDICTS = {
    None: "not checked yet",
    NOTHING_FOUND: "nothing found",
    "note": "notes",
    "unknown": "not known",
    "caution": "cautions",
    "stop": "stops",
}
"""Verdict of a kit → what its check says."""


def _show(show: ShowShape) -> FoundShow:
    return FoundShow(
        id=show["id"],
        name=show["name"],
        where=show["venue_name"] or "place not known",
        when=span(show["gear_out_at"], show["gear_back_at"]),
        state=show["state"],
    )
