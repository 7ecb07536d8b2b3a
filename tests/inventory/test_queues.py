"""The guards of every queue of checks: leases, late workers, failures, new rules. Each runs once for each queue."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory.base import queues
from inventory.base.models.checked import CheckedRow, CheckRun
from inventory.base.queues import GIVEN_UP, LEASE, MOST_ATTEMPTS, QUEUES, Queue, Taken, make_due, take
from inventory.checks.drain import check_one
from inventory.models import Check, Kit, Port
from tests.inventory.gear import Gear, drain_now

pytestmark = pytest.mark.django_db


@dataclass(frozen=True)
class Sample:
    """One row in a queue, and what a test can do to it through the interface."""

    queue: Queue
    row_id: int
    runs: type[CheckRun]
    edit: Callable[[], Any]
    ask: Callable[[], Any]
    shown: Callable[[], Any]
    spoil: Callable[[], Any]
    """Make its check break off, past the service; the second call of ``mend`` takes it back."""
    mend: Callable[[], Any]

    @property
    def row(self) -> CheckedRow:
        return self.queue.model._default_manager.get(pk=self.row_id)

    def set(self, **columns: Any) -> None:
        self.queue.model._default_manager.filter(pk=self.row_id).update(**columns)

    def make_due(self) -> None:
        self.set(check_due_at=timezone.now())

    def end_lease(self) -> None:
        self.set(check_lease_until=timezone.now() - timedelta(seconds=1))


def kit_sample(gear: Gear) -> Sample:
    kit = gear.poe_kit((4,))["id"]
    return Sample(
        queue=QUEUES["kit"],
        row_id=kit,
        runs=Check,
        edit=lambda: gear.patch(f"/kits/{kit}/", {"purpose": "changed"}),
        ask=lambda: gear.post(f"/kits/{kit}/check/", {}, expect=202),
        shown=lambda: gear.get(f"/kits/{kit}/check/"),
        spoil=lambda: Port.objects.filter(connector="8p8c").update(connector="no-such"),
        mend=lambda: Port.objects.filter(connector="no-such").update(connector="8p8c"),
    )


SAMPLES: dict[str, Callable[[Gear], Sample]] = {"kit": kit_sample}


@pytest.fixture(params=sorted(QUEUES))
def sample(request: pytest.FixtureRequest, gear: Gear) -> Sample:
    """Return a new row of each queue in turn, due now."""
    made = SAMPLES[request.param](gear)
    made.make_due()
    return made


def taken() -> Taken:
    found = take()
    assert found is not None
    return found


def test_every_queue_is_guarded_here() -> None:
    assert set(SAMPLES) == set(QUEUES)


def test_a_queue_without_a_place_in_the_order_of_locks_is_refused() -> None:
    with pytest.raises(ImproperlyConfigured, match="LOCK_ORDER"):
        queues.register(replace(QUEUES["kit"], name="shelf"))


def test_a_raised_revision_that_is_not_queued_is_refused_by_the_database(sample: Sample) -> None:
    drain_now()
    with pytest.raises(IntegrityError, match="stale_is_queued"), transaction.atomic():
        sample.set(revision=sample.row.revision + 1)


def test_an_edit_during_the_check_drops_its_result(sample: Sample) -> None:
    held = taken()
    assert sample.shown()["state"] == "running"
    sample.edit()
    check_one(held)
    assert not sample.runs._default_manager.exists()
    drain_now()
    assert sample.shown()["state"] == "done"


def test_a_row_that_is_leased_is_not_taken_twice(sample: Sample) -> None:
    assert take() is not None
    assert take() is None
    assert sample.row.check_lease_until is not None
    assert sample.row.check_lease_until <= timezone.now() + LEASE


def test_the_lease_of_a_dead_worker_runs_out(sample: Sample) -> None:
    take()
    sample.end_lease()
    drain_now()
    assert sample.shown()["state"] == "done"


def test_a_worker_whose_lease_ran_out_does_not_settle_a_second_time(sample: Sample) -> None:
    slow = taken()
    sample.end_lease()
    quick = taken()
    assert slow == quick
    check_one(quick)
    check_one(slow)
    assert sample.runs._default_manager.count() == 1


def test_a_check_that_breaks_is_kept_as_failed_and_tried_again_later(sample: Sample) -> None:
    """A connector that no register has only comes past the service; calculation refuses it, and the failure shows."""
    sample.spoil()
    check_one(taken())
    failed = sample.shown()
    assert failed["state"] == "failed"
    assert "no-such" in failed["error"]
    assert sample.row.check_due_at is not None
    assert timezone.now() < sample.row.check_due_at < GIVEN_UP
    assert sample.row.check_attempts == 1
    sample.mend()
    sample.make_due()
    drain_now()
    assert sample.shown()["state"] == "done"


def test_a_check_that_breaks_is_tried_at_growing_intervals_of_an_hour_at_most(sample: Sample) -> None:
    sample.spoil()
    waits = []
    for _ in range(14):
        sample.make_due()
        before = timezone.now()
        check_one(taken())
        assert sample.row.check_due_at is not None
        waits.append(sample.row.check_due_at - before)
    assert waits[0] >= timedelta(seconds=1)
    assert all(later >= timedelta(seconds=2 ** min(n, 11)) for n, later in enumerate(waits))
    assert timedelta(hours=1) <= waits[-1] < timedelta(hours=1, minutes=10)


def end_workers(sample: Sample) -> None:
    """Let as many workers take the row and die with it as there are attempts."""
    for _ in range(MOST_ATTEMPTS):
        assert taken().row_id == sample.row_id
        sample.end_lease()


def test_a_check_that_ends_its_worker_again_and_again_is_failed_and_not_started_again(sample: Sample) -> None:
    end_workers(sample)
    assert take() is None
    assert sample.row.check_due_at == GIVEN_UP
    shown = sample.shown()
    assert shown["state"] == "failed"
    assert "worker ended" in shown["error"]
    make_due()
    assert take() is None
    assert sample.runs._default_manager.count() == 1


@pytest.mark.parametrize("again", ["edit", "ask", "rules"])
def test_an_edit_a_request_or_new_rules_start_a_check_again_that_was_given_up(sample: Sample, again: str) -> None:
    end_workers(sample)
    assert take() is None
    if again == "rules":
        sample.set(checked_rules=sample.queue.rules - 1)
        make_due()
    else:
        getattr(sample, again)()
    drain_now()
    assert sample.shown()["state"] == "done"
    assert sample.row.check_attempts == 0


def test_a_row_behind_the_one_that_was_given_up_is_taken(gear: Gear) -> None:
    """The worker must not end its round at the row that it gives up."""
    given_up, healthy = kit_sample(gear), kit_sample(gear)
    Kit.objects.update(check_due_at=timezone.now() + timedelta(seconds=60))
    given_up.make_due()
    end_workers(given_up)
    healthy.make_due()
    assert taken().row_id == healthy.row_id


def test_new_rules_make_every_row_due(sample: Sample) -> None:
    drain_now()
    make_due()
    assert sample.row.check_due_at is None
    sample.set(checked_rules=sample.queue.rules + 1)
    make_due()
    assert sample.shown()["state"] == "queued"


def test_a_date_that_has_come_makes_a_row_due(sample: Sample) -> None:
    drain_now()
    sample.set(recheck_at=timezone.now() - timedelta(seconds=1))
    make_due()
    assert sample.shown()["state"] == "queued"
