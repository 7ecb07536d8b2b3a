"""What the probe says is lacking, one thing at a time."""

from datetime import timedelta

import pytest
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.test import Client
from django.utils import timezone

from config import health
from inventory.base import pulse
from inventory.base.models import Pulse

pytestmark = pytest.mark.django_db


def lacking(expected_status):
    answer = Client().get("/health/ready/")
    assert answer.status_code == expected_status
    return answer.json()["lacking"]


def test_ready_when_the_worker_took_up_work_lately():
    pulse.beat()
    assert lacking(200) == []


def test_a_worker_that_never_was_there_is_lacking():
    assert lacking(503) == ["worker"]


def test_a_worker_that_fell_silent_is_lacking():
    Pulse.objects.create(name=pulse.WORKER, at=timezone.now() - pulse.FRESH_FOR - timedelta(seconds=1))
    assert lacking(503) == ["worker"]


def test_a_forgotten_sign_of_life_counts_no_more():
    pulse.beat()
    pulse.forget()
    assert lacking(503) == ["worker"]


def test_the_demo_lacks_its_company_until_it_is_told(settings):
    settings.DEMO = True
    pulse.beat()
    assert lacking(503) == ["company"]


def test_tables_behind_the_code_are_lacking(monkeypatch):
    monkeypatch.setattr(health, "_seen_migrated", type(health._seen_migrated)())
    pulse.beat()
    last = MigrationRecorder(connection).migration_qs.filter(app="inventory").latest("pk")
    last.delete()
    assert lacking(503) == ["migrations"]


def test_figures_follow_the_form_of_the_standard():
    """OpenMetrics 1.0 (RFC draft): families of TYPE, HELP and samples, ended by ``# EOF``."""
    answer = Client().get("/metrics")
    assert answer["Content-Type"] == "application/openmetrics-text; version=1.0.0; charset=utf-8"
    *lines, end = answer.content.decode().splitlines()
    assert end == "# EOF"
    for kind, meaning, sample in zip(lines[::3], lines[1::3], lines[2::3], strict=True):
        name, value = sample.split(" ")
        assert kind == f"# TYPE {name} gauge"
        assert meaning.startswith(f"# HELP {name} ")
        assert float(value) >= 0
