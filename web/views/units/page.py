"""``/units/{id}/``: where is it, can it be trusted, who counts on it?"""

from dataclasses import dataclass
from datetime import datetime

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from inventory.base.history import HistoryShape
from inventory.models.unit import OUT_OF_POOL, UnitState
from inventory.selectors.bench import UnitRecordShape, besides_faults, faults_of, outages, unit_history, unit_record
from scheduling.selectors.promises import promises_of
from web.components.faults import FaultLine, OutageLine, fault_lines, outage_lines
from web.components.history import HistoryLine, history_lines
from web.components.promises import PromiseLine, promise_lines
from web.components.tags import TagModel, tag_model
from web.components.units import UnitLine, unit_line
from web.page import Page

MOST_PROMISES = 12
MOST_MENDED = 6
LINES_OF_HISTORY = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitModel:
    title: str
    unit: UnitLine
    record: UnitRecordShape
    aliases: tuple[TagModel, ...]
    open_faults: tuple[FaultLine, ...]
    mended: tuple[FaultLine, ...]
    outages: tuple[OutageLine, ...]
    promises: tuple[PromiseLine, ...]
    more_promises: int
    history: tuple[HistoryLine, ...]
    test_overdue: bool
    may_edit: bool
    may_flag: bool
    may_mend: bool
    may_test: bool

    @property
    def on_the_bench(self) -> bool:
        return bool(self.open_faults) or self.record["state"] == UnitState.HELD_BACK

    @property
    def in_the_pool(self) -> bool:
        return self.record["state"] not in OUT_OF_POOL


class UnitPage(Page):
    permits = {"GET": "unit.read"}

    def get(self, request: HttpRequest, unit_id: int) -> HttpResponse:
        record = read_unit(unit_id)
        now = timezone.now()
        person = self.person()
        faults = fault_lines(faults_of([unit_id], money=person.may("money.read")))
        promises = promises_of([unit_id], now).get(unit_id, [])
        page = UnitModel(
            title=f"{record['tag']}, {record['spec_name']}",
            unit=unit_line(record),
            record=record,
            aliases=tuple(tag_model(tag) for tag in record["aliases"]),
            open_faults=tuple(line for line in faults if line.closed_at is None),
            mended=tuple(line for line in faults if line.closed_at is not None)[:MOST_MENDED],
            outages=outage_lines(besides_faults(outages([unit_id], now)), now),
            promises=promise_lines(promises[:MOST_PROMISES]),
            more_promises=max(len(promises) - MOST_PROMISES, 0),
            history=history_lines(_history(record)),
            test_overdue=_is_past(record["test_due_at"], now),
            may_edit=person.may("unit.edit"),
            may_flag=person.may("fault.report"),
            may_mend=person.may("repair.record"),
            may_test=person.may("inspection.record"),
        )
        return self.show("web/pages/unit.html", page)


def read_unit(unit_id: int) -> UnitRecordShape:
    """Return a unit.

    Raises:
        Http404: there is no such unit.
    """
    record = unit_record(unit_id)
    if record is None:
        raise Http404(f"There is no unit {unit_id}.")
    return record


def _history(record: UnitRecordShape) -> list[HistoryShape]:
    tags = [record["tag"], *record["aliases"]]
    return unit_history(record["id"], tags, most=LINES_OF_HISTORY)


def _is_past(moment: datetime | None, now: datetime) -> bool:
    return moment is not None and moment <= now
