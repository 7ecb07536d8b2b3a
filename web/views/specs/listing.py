"""``/specs/``: the data sheets; ``/specs/{id}/``: what one says, and which units are of it."""

from dataclasses import dataclass
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse

from calc.vocabulary import SPEC_KINDS
from inventory.base.history import history_rows, show_history
from inventory.base.words import in_words
from inventory.selectors.specs import SpecShape, SpecSummaryShape, spec_and_facts, spec_summaries
from inventory.selectors.whereabouts import show_whereabouts, whereabouts
from web.components.history import HistoryLine, history_lines
from web.components.ports import PortLine, port_lines
from web.components.sheet import SheetPart, sheet_parts
from web.components.units import UnitLine, unit_line
from web.page import Page
from web.sought import sought_words

ON_A_SHEET = 50
MOST_UNITS = 100
LINES_OF_HISTORY = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecListModel:
    title: str
    specs: tuple[SpecSummaryShape, ...]
    total: int
    words: str
    kind: str
    kinds: tuple[str, ...]
    earlier: str
    later: str
    may_edit: bool


class SpecListPage(Page):
    permits = {"GET": "spec.read"}
    section = "/specs/"

    def get(self, request: HttpRequest) -> HttpResponse:
        words = sought_words(request)
        kind = request.GET.get("kind", "")
        rows = in_words(spec_summaries().order_by("name", "id"), words, ("name", "maker", "part_number"))
        if kind in SPEC_KINDS:
            rows = rows.filter(kind=kind)
        sheet = Paginator(rows, ON_A_SHEET).get_page(request.GET.get("page"))

        def address(step: int) -> str:
            number = sheet.number + step
            last = sheet.paginator.num_pages
            return "?" + urlencode({"q": words, "kind": kind, "page": number}) if 1 <= number <= last else ""

        page = SpecListModel(
            title="Types",
            specs=tuple(sheet),
            total=sheet.paginator.count,
            words=words,
            kind=kind,
            kinds=SPEC_KINDS,
            earlier=address(-1),
            later=address(+1),
            may_edit=self.person().may("spec.edit"),
        )
        return self.show("web/pages/specs.html", page)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecModel:
    title: str
    spec: SpecShape
    cost: str
    """What one costs to replace; empty where that is not known, or not for this reader."""
    parts: tuple[SheetPart, ...]
    folded: tuple[SheetPart, ...]
    """Of which nothing is known, and little matters for this kind of spec."""
    ports: tuple[PortLine, ...]
    units: tuple[UnitLine, ...]
    more_units: bool
    history: tuple[HistoryLine, ...]
    may_edit: bool
    may_enter: bool

    @property
    def enter_address(self) -> str:
        return f"/units/new/?spec={self.spec['id']}"

    @property
    def ports_address(self) -> str:
        """Before the number of a port; empty for whoever may not change one."""
        return f"/specs/{self.spec['id']}/ports/" if self.may_edit else ""


class SpecPage(Page):
    permits = {"GET": "spec.read"}
    section = "/specs/"

    def get(self, request: HttpRequest, spec_id: int) -> HttpResponse:
        person = self.person()
        found = spec_and_facts(spec_id, money=person.may("money.read"))
        if found is None:
            raise Http404(f"There is no type {spec_id}.")
        spec, facts = found
        parts = sheet_parts(spec)
        units = show_whereabouts(list(whereabouts().filter(spec=spec_id).order_by("tag")[: MOST_UNITS + 1]))
        rows = history_rows().filter(noun="spec", object_id=spec_id)[:LINES_OF_HISTORY]
        page = SpecModel(
            title=spec["name"],
            spec=spec,
            cost=_cost(spec),
            parts=tuple(part for part in parts if part.begun),
            folded=tuple(part for part in parts if not part.begun),
            ports=port_lines(facts.ports, spec["provenance"]),
            units=tuple(unit_line(unit) for unit in units[:MOST_UNITS]),
            more_units=len(units) > MOST_UNITS,
            history=history_lines(show_history(list(rows))),
            may_edit=person.may("spec.edit"),
            may_enter=person.may("unit.edit"),
        )
        return self.show("web/pages/spec.html", page)


def _cost(spec: SpecShape) -> str:
    cost = spec.get("replacement_cost")
    return f"{cost} {spec['currency']}" if cost is not None else ""
