"""Booking a kit of forty units against forty bare inserts under the same constraint; goal: four times as long."""

import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from statistics import median
from typing import Any

from tests.bench.database import prepare, statements

UNITS = 40
ROUNDS = 40
FIRST_DAY = datetime(2031, 1, 1, tzinfo=UTC)


def measure() -> list[tuple[str, float, str]]:
    prepare()
    from tests.bench.rows import enter_kits

    kit = enter_kits(1, UNITS)[0]
    days = iter(range(10_000))
    booked = _median_seconds(lambda: _book(kit, next(days)))
    bare = _median_seconds(lambda: _insert(kit, next(days)))
    return [
        (f"{UNITS} bare inserts of claims in one locked transaction, the floor", bare * 1000, "ms"),
        (f"booking a kit of {UNITS} units, against the floor (goal 4)", booked / bare, "x"),
        (f"booking a kit of {UNITS} units: statements", statements(lambda: _book(kit, next(days))), "statements"),
    ]


def _median_seconds(work: Callable[[], object]) -> float:
    work()
    times = []
    for _ in range(ROUNDS):
        started = time.perf_counter()
        work()
        times.append(time.perf_counter() - started)
    return median(times)


def _period(day: int) -> tuple[datetime, datetime]:
    return FIRST_DAY + timedelta(days=day), FIRST_DAY + timedelta(days=day, hours=20)


def _event(c: Any, day: int) -> int:
    from scheduling.services.events import create_event

    out, back = _period(day)
    return create_event(c, fields={"name": f"Day {day}", "gear_out_at": out, "gear_back_at": back})


def _book(kit: int, day: int) -> None:
    from inventory.base.changes import change
    from scheduling.services.ordering import book
    from scheduling.services.powers import Powers

    with change(actor_id=None, request_id="bench") as c:
        event = _event(c, day)
        book(c, event_id=event, fields={"kit": kit, "state": "confirmed"}, powers=Powers(others=True, shortfalls=True))


def _insert(kit: int, day: int) -> None:
    """The same ledger, event and booking row, and one insert a claim, with nothing decided."""
    from inventory.base.changes import change
    from inventory.models import Position
    from scheduling.models import Booking, Claim

    out, back = _period(day)
    with change(actor_id=None, request_id="bench") as c:
        event = _event(c, day)
        booking = Booking.objects.create(
            event_id=event, kit_id=kit, state="confirmed", starts_at=out, ends_at=back, follows_event=True,
            booked_at=c.now, ranked_at=c.now,
        )  # fmt: skip
        for unit in Position.objects.filter(kit_id=kit).values_list("unit_id", flat=True):
            Claim.objects.create(
                booking=booking, unit_id=unit, starts_at=out, ends_at=back, standing="firm", dealt=False
            )
