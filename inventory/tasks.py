"""What the worker is told to do; thin on purpose."""

from celery import shared_task

from inventory.base.queues import make_due, more_is_due
from inventory.checks.bell import ring
from inventory.checks.drain import drain


@shared_task(ignore_result=True)  # type: ignore[untyped-decorator]  # no types are published
def drain_checks() -> None:
    """Check what is due, and ring again when more was due than one round takes."""
    drain()
    if more_is_due():
        ring()


@shared_task(ignore_result=True)  # type: ignore[untyped-decorator]  # no types are published
def make_due_and_drain() -> None:
    """The beat's call: whatever was lost on the way is found again here."""
    make_due()
    drain_checks()
