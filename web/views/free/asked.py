"""What ``/free/`` is asked, as its address says it: shows, other windows, kinds, words, and which cell is open."""

import re
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from django.http import QueryDict
from django.utils import timezone

from calc.vocabulary import SPEC_KINDS
from scheduling.periods import read_period
from scheduling.promises.decide import Period
from web.sought import LONGEST

MOST_COLUMNS = 12
OPEN = re.compile(r"([ks])([1-9]\d{0,17})-(\d{1,2})")
NUMBER = re.compile(r"[1-9]\d{0,17}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """One cell: a kit or a spec in one column."""

    is_kit: bool
    id: int
    column: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    events: tuple[int, ...]
    windows: tuple[Period, ...]
    kind: str
    words: str
    show: str
    """``kits`` or ``specs``: which half of the table."""
    opened: Opened | None
    page: int
    refusals: tuple[str, ...]

    def address(self, **changes: Any) -> str:
        """Return the address of this question, with changes."""
        asked = replace(self, **changes)
        query: list[tuple[str, str]] = [("event", str(event)) for event in asked.events]
        query += [("window", f"{_iso(window.starts_at)}/{_iso(window.ends_at)}") for window in asked.windows]
        query += [(name, value) for name, value in (("kind", asked.kind), ("q", asked.words)) if value]
        if asked.show == "specs" and not asked.kind:
            query.append(("show", "specs"))
        if asked.page > 1:
            query.append(("page", str(asked.page)))
        if asked.opened is not None:
            letter = "k" if asked.opened.is_kit else "s"
            query.append(("open", f"{letter}{asked.opened.id}-{asked.opened.column}"))
        return "/free/?" + urlencode(query)


def read(query: QueryDict) -> Asked:
    """Return what an address asks; what cannot be read is told, the rest is answered."""
    refusals: list[str] = []
    windows = []
    for text in query.getlist("window"):
        period = read_period(text)
        if isinstance(period, str):
            refusals.append(period)
        else:
            windows.append(period)
    typed = _typed(query, refusals)
    windows += [typed] if typed is not None else []
    events = dict.fromkeys(int(text) for text in query.getlist("event") if NUMBER.fullmatch(text))
    if len(events) + len(windows) > MOST_COLUMNS:
        refusals.append(f"{MOST_COLUMNS} windows fit beside each other; the others are left out.")
    kind = query.get("kind", "")
    kind = kind if kind in SPEC_KINDS else ""
    page = query.get("page", "1")
    return Asked(
        events=tuple(events)[:MOST_COLUMNS],
        windows=tuple(windows)[: max(MOST_COLUMNS - len(events), 0)],
        kind=kind,
        words=query.get("q", "").replace("\x00", "").strip()[:LONGEST],
        show="specs" if kind or query.get("show") == "specs" else "kits",
        opened=_opened(query.get("open", "")),
        page=int(page) if NUMBER.fullmatch(page) and len(page) < 4 else 1,
        refusals=tuple(refusals),
    )


def _opened(text: str) -> Opened | None:
    found = OPEN.fullmatch(text)
    if found is None:
        return None
    return Opened(is_kit=found[1] == "k", id=int(found[2]), column=int(found[3]))


def _typed(query: QueryDict, refusals: list[str]) -> Period | None:
    """Return the window that was typed into two fields, by the clocks of the company."""
    since, until = query.get("from", ""), query.get("until", "")
    if not since and not until:
        return None
    period: Period | str = "A window has a beginning and an end: give both."
    if since and until:
        period = read_period(f"{_here(since)}/{_here(until)}")
    if isinstance(period, str):
        refusals.append(period)
        return None
    return period


def _here(text: str) -> str:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return text
    return (timezone.make_aware(at) if timezone.is_naive(at) else at).isoformat()


def _iso(at: datetime) -> str:
    return at.astimezone(timezone.get_fixed_timezone(0)).isoformat().replace("+00:00", "Z")
