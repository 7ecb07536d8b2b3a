"""A fault in words: what broke, at which port, whether the unit may still go out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from inventory.drawings.symbols import symbol_of
from inventory.selectors.bench import FaultRecordShape, OutageShape
from web.components.in_the_way import CAUSES

WHAT = {
    "latch": "latch broken",
    "shell": "shell cracked",
    "contact": "contact bent or burnt",
    "dead": "dead",
    "intermittent": "comes and goes",
    "label": "label cannot be read",
    "other": "something else",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultLine:
    id: int
    what: str
    """``latch broken at LAN 3``."""
    symbol: str
    """Of the port; empty where the fault is about the whole unit."""
    severity: str
    """``stop`` keeps the unit from use, ``caution`` does not; ``note`` once it is closed."""
    words: str
    note: str
    by: str
    at: datetime
    closed_at: datetime | None
    work: str
    cost: str
    minutes: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutageLine:
    why: str
    note: str
    starts_at: datetime
    until: datetime | None
    expected: bool
    """``until`` is what somebody expects, not what was settled."""
    to_come: bool


def fault_lines(faults: Sequence[FaultRecordShape]) -> tuple[FaultLine, ...]:
    return tuple(_line(fault) for fault in faults)


def what_broke(what: str, port: str | None) -> str:
    return f"{WHAT[what]} at {port}" if port else WHAT[what]


def outage_lines(outages: Sequence[OutageShape], now: datetime) -> tuple[OutageLine, ...]:
    return tuple(
        OutageLine(
            why=CAUSES[outage["cause"]],
            note=outage["note"],
            starts_at=outage["starts_at"],
            until=outage["ends_at"] or outage["expected_until"],
            expected=outage["ends_at"] is None,
            to_come=outage["starts_at"] > now,
        )
        for outage in outages
    )


def _line(fault: FaultRecordShape) -> FaultLine:
    severity, words = ("caution", "may go out") if fault["usable"] else ("stop", "kept from use")
    if fault["closed_at"] is not None:
        severity, words = "note", "mended"
    return FaultLine(
        id=fault["id"],
        what=what_broke(fault["what"], fault["port"]),
        symbol=symbol_of(fault["connector"], fault["side"] or "socket") if fault["connector"] else "",
        severity=severity,
        words=words,
        note=fault["note"],
        by=fault["by"] or "nobody",
        at=fault["at"],
        closed_at=fault["closed_at"],
        work=fault["work"] or "",
        cost=fault["cost"] or "",
        minutes=fault["minutes"],
    )
