"""Eight processes at once on one database: each promise is kept, and nobody meets anything but a plain refusal."""

import json
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from django.db.models import Q
from django.utils import timezone

from inventory.base.models import Ledger
from scheduling.models import Booking, Claim
from tests.scheduling.factories import (
    EventFactory,
    KitFactory,
    PositionFactory,
    SpecFactory,
    UnitFactory,
    UserFactory,
    at,
)
from tests.scheduling.sweep import Sweep

PROCESSES, TIMES = 8, 25
VERBS = {"book", "confirm", "cancel", "extend", "fault", "repair", "nothing"}
REFUSALS = {"claim-conflict", "not-enough", "wrong-state", "pencil-expired", "busy"}
"""``busy``: a machine that does much else lets a writer wait too long; nothing is written then."""

pytestmark = [pytest.mark.concurrency, pytest.mark.django_db(transaction=True)]


def furnish():
    UserFactory(username="hammer")
    spec = SpecFactory()
    UnitFactory.create_batch(5, spec=spec)
    for _ in range(2):
        kit = KitFactory()
        PositionFactory(kit=kit, label="a", unit=UnitFactory(spec=spec))
        PositionFactory(kit=kit, label="b", role="spare")
    for day in range(3):
        EventFactory(gear_out_at=at(0, 6 * day), gear_back_at=at(0, 6 * day + 9))


def start(url: str, folder: Path, number: int) -> subprocess.Popen[str]:
    environment = os.environ | {
        "DATABASE_URL": url,
        "DATA_DIR": str(folder),
        "SECRET_KEY": "only for tests",
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }
    command = [sys.executable, "-m", "tests.scheduling.hammer", str(number), str(TIMES)]
    return subprocess.Popen(
        command, env=environment, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )


def test_promises_hold_under_eight_processes(database_url, tmp_path):
    furnish()
    processes = [start(database_url, tmp_path, number) for number in range(PROCESSES)]
    for process in processes:
        assert process.stdout.readline() == "ready\n", process.communicate()[1]
    for process in processes:
        process.stdin.write("go\n")
        process.stdin.flush()
    came_out: Counter[str] = Counter()
    for process in processes:
        out, errors = process.communicate()
        assert process.returncode == 0, errors
        came_out.update(json.loads(out))
    assert sum(came_out.values()) == PROCESSES * TIMES
    assert set(came_out) <= VERBS | REFUSALS, came_out
    assert Ledger.objects.get().version == sum(came_out[verb] for verb in VERBS - {"nothing"})
    assert min(came_out[verb] for verb in ("book", "fault", "repair", "claim-conflict")) > 0, came_out
    check_what_is_promised()


def check_what_is_promised():
    firm = list(Claim.objects.filter(standing="firm").values_list("unit", "starts_at", "ends_at"))
    for number, (unit, start_, end) in enumerate(firm):
        assert not any(
            unit == other and start_ < other_end and other_start < end
            for other, other_start, other_end in firm[number + 1 :]
        )
    sweep = Sweep(timezone.now())
    for booking in Booking.objects.filter(Q(state="confirmed") | Q(state="pencil", expires_at__gt=timezone.now())):
        claims = list(booking.claims.exclude(standing="released"))
        lacks = sum(booking.shortfalls.filter(closed_at=None).values_list("quantity", flat=True))
        wanted = booking.quantity if booking.kit is None else booking.kit.positions.count()
        assert len(claims) + lacks == wanted
        assert not any(sweep.is_down(claim.unit_id, claim.starts_at, claim.ends_at) for claim in claims)
