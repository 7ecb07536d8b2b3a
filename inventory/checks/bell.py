"""The doorbell: one message that says there may be something to check. The rows say what is due."""

from celery import current_app

DRAIN = "inventory.tasks.drain_checks"


def ring() -> None:
    """Send the message. Called after a commit, robustly: an edit that is saved never fails for want of a broker."""
    current_app.send_task(DRAIN, ignore_result=True, retry=False)
