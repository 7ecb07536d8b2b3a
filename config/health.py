"""Probes and figures for whoever runs the service. They need no sign-in, so they name no person and no thing.

The figures are five numbers of our own, read from the database when asked; a metrics library would bring counters of
each process, which several web processes would have to be taught to add up.
"""

import threading
from datetime import datetime

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.db.models import Q
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import path
from django.utils import timezone

from inventory.base import pulse
from inventory.base.changes import ledger_version
from inventory.models import Kit

OPEN_METRICS = "application/openmetrics-text; version=1.0.0; charset=utf-8"

_seen_migrated = threading.Event()
"""Set once this process has seen a database that is not behind its code; it cannot fall behind later."""


def live(request: HttpRequest) -> JsonResponse:
    """Answer that this process answers."""
    return JsonResponse({"live": True})


def ready(request: HttpRequest) -> JsonResponse:
    """Answer 200 when all is there: the tables, in the demo its company, and a worker that takes up work."""
    lacking = what_lacks()
    return JsonResponse({"ready": not lacking, "lacking": lacking}, status=503 if lacking else 200)


def metrics(request: HttpRequest) -> HttpResponse:
    """Answer a few figures as OpenMetrics text."""
    kits = Kit.objects
    figures = {
        "road_cases_ledger_version": ("Changes since the first day.", ledger_version()),
        "road_cases_kits": ("Kits there are.", kits.count()),
        "road_cases_kits_due": ("Kits due for a check.", kits.filter(check_due_at__lte=timezone.now()).count()),
        "road_cases_kits_failing": ("Kits whose check broke off.", kits.filter(_failing(timezone.now())).count()),
        "road_cases_worker_answers": ("1 when a worker took up work lately.", int(pulse.worker_answers())),
    }
    lines = [
        line
        for name, (meaning, value) in figures.items()
        for line in (f"# TYPE {name} gauge", f"# HELP {name} {meaning}", f"{name} {value}")
    ]
    return HttpResponse("\n".join([*lines, "# EOF", ""]), content_type=OPEN_METRICS)


def _failing(now: datetime) -> Q:
    """Kits whose last attempts broke off; one that a worker holds right now may be on its first attempt."""
    return Q(check_attempts__gt=0) & (Q(check_lease_until__isnull=True) | Q(check_lease_until__lt=now))


def what_lacks() -> list[str]:
    """Return what keeps the service from being ready; empty when nothing does."""
    try:
        if not is_migrated():
            return ["migrations"]
        there = {"company": not settings.DEMO or _company_is_told(), "worker": pulse.worker_answers()}
    except DatabaseError:
        return ["database"]
    return [name for name, is_there in there.items() if not is_there]


def is_migrated() -> bool:
    """Say whether every migration of this code has been applied."""
    if not _seen_migrated.is_set():
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            return False
        _seen_migrated.set()
    return True


def _company_is_told() -> bool:
    from fixtures.story import is_told  # the demo's script is not loaded where there is no demo

    return is_told()


urlpatterns = [
    path("health/live/", live),
    path("health/ready/", ready),
    path("metrics", metrics),
]
