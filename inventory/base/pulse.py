"""Signs of life of the background worker, kept in the database so that every web process can read them."""

from datetime import timedelta

from django.utils import timezone

from inventory.base.models import Pulse

WORKER = "worker"
FRESH_FOR = timedelta(seconds=90)
"""The beat rings every 20 s and one round of checks takes up to 20 s; beyond this the worker is not answering."""


def beat() -> None:
    """Say that the worker is alive; it does so whenever it takes up work."""
    Pulse.objects.update_or_create(name=WORKER, defaults={"at": timezone.now()})


def worker_answers() -> bool:
    """Say whether the worker took up work lately."""
    return Pulse.objects.filter(name=WORKER, at__gte=timezone.now() - FRESH_FOR).exists()


def forget() -> None:
    """Drop the last sign of life, so that one of an earlier run is not taken for one of this run."""
    Pulse.objects.filter(name=WORKER).delete()
