"""``/bench/``: what is broken, the next show first; and what has to be tested."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from inventory.models.unit import UnitState
from inventory.selectors.bench import (
    DueShape,
    FaultRecordShape,
    OutageShape,
    besides_faults,
    open_faults_of,
    outages,
    tests_due,
    units_on_the_bench,
)
from inventory.selectors.whereabouts import WhereaboutsShape
from scheduling.selectors.promises import PromiseShape, promises_of
from web.components.faults import FaultLine, OutageLine, fault_lines, outage_lines
from web.components.promises import PromiseLine, promise_line
from web.components.tags import TagModel, tag_model
from web.components.units import UnitLine, unit_line
from web.page import Page

TESTS_WITHIN = timedelta(days=14)
MOST_TESTS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One unit on the bench."""

    unit: UnitLine
    faults: tuple[FaultLine, ...]
    outages: tuple[OutageLine, ...]
    next: PromiseLine | None
    number: str
    """Hours or days until the next show that counts on it."""
    span: str
    severity: str
    words: str
    """What that show has to do with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    unit: int
    tag: TagModel
    name: str
    severity: str
    words: str
    at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Untested:
    """Units of one spec that have to be tested and never were."""

    spec: int
    name: str
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchModel:
    title: str
    jobs: tuple[Job, ...]
    held_back: int
    in_use: int
    """Units that have a fault and go out all the same."""
    tests: tuple[DueLine, ...]
    more_tests: int
    untested: tuple[Untested, ...]
    may_flag: bool
    may_mend: bool
    may_test: bool


class BenchPage(Page):
    permits = {"GET": "fault.read"}
    section = "/bench/"

    def get(self, request: HttpRequest) -> HttpResponse:
        now = timezone.now()
        person = self.person()
        units = units_on_the_bench()
        tests = tests_due(now + TESTS_WITHIN)
        due = [one for one in tests if one["tested_at"] is not None]
        page = BenchModel(
            title="Bench",
            jobs=jobs(units, now),
            held_back=sum(unit["state"] == UnitState.HELD_BACK for unit in units),
            in_use=sum(unit["state"] != UnitState.HELD_BACK for unit in units),
            tests=tuple(_due_line(one, now) for one in due[:MOST_TESTS]),
            more_tests=max(len(due) - MOST_TESTS, 0),
            untested=_untested(tests),
            may_flag=person.may("fault.report"),
            may_mend=person.may("repair.record"),
            may_test=person.may("inspection.record"),
        )
        return self.show("web/pages/bench.html", page)


def jobs(units: Sequence[WhereaboutsShape], now: datetime) -> tuple[Job, ...]:
    """Return the units as jobs, those that the next show counts on first; four statements."""
    ids = [unit["id"] for unit in units]
    promises = promises_of(ids, now)
    faults: defaultdict[int, list[FaultRecordShape]] = defaultdict(list)
    for fault in open_faults_of(ids):
        faults[fault["unit"]].append(fault)
    held: defaultdict[int, list[OutageShape]] = defaultdict(list)
    for outage in besides_faults(outages(ids, now)):
        held[outage["unit"]].append(outage)
    # What nobody waits for comes last.
    found = sorted(units, key=lambda unit: _starts(promises.get(unit["id"], [])))
    return tuple(_job(unit, faults[unit["id"]], held[unit["id"]], promises.get(unit["id"], []), now) for unit in found)


def _starts(promises: Sequence[PromiseShape]) -> float:
    return promises[0]["starts_at"].timestamp() if promises else float("inf")


def _job(
    unit: WhereaboutsShape,
    faults: Sequence[FaultRecordShape],
    held: Sequence[OutageShape],
    promises: Sequence[PromiseShape],
    now: datetime,
) -> Job:
    coming = promise_line(promises[0]) if promises else None
    number, span = until(coming.starts_at, now) if coming else ("–", "no show")
    severity, words = "none", "nothing waits for it"
    if promises and promises[0]["lacking"]:
        severity, words = "stop", "short 1"
    elif promises:
        severity, words = (
            ("caution", "promised all the same")
            if unit["state"] == UnitState.HELD_BACK
            else ("note", "goes out with it")
        )
    return Job(
        unit=unit_line(unit),
        faults=fault_lines(faults),
        outages=outage_lines(held, now),
        next=coming,
        number=number,
        span=span,
        severity="nothing-found" if severity == "none" else severity,
        words=words,
    )


def until(moment: datetime, now: datetime) -> tuple[str, str]:
    """Return how long it is until then, as a number and what it counts."""
    hours = (moment - now).total_seconds() / 3600
    if hours <= 0:
        return "now", "it is out"
    if hours < 48:
        return f"{max(round(hours), 1)}", "hour" if round(hours) <= 1 else "hours"
    return f"{hours / 24:.0f}", "days"


def _due_line(due: DueShape, now: datetime) -> DueLine:
    severity, words = "note", "due by"
    if due["passed"] is False:
        severity, words = "stop", "failed"
    elif due["due_at"] is not None and due["due_at"] <= now:
        severity, words = "caution", "due since"
    return DueLine(
        unit=due["unit"],
        tag=tag_model(due["tag"]),
        name=due["spec_name"],
        severity=severity,
        words=words,
        at=due["tested_at"] if due["passed"] is False else due["due_at"],
    )


def _untested(tests: Sequence[DueShape]) -> tuple[Untested, ...]:
    never = [(one["spec_name"], one["spec"]) for one in tests if one["tested_at"] is None]
    counted = sorted(Counter(never).items())
    return tuple(Untested(spec=spec, name=name, number=number) for (name, spec), number in counted)
