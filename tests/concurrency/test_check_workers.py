"""Editors, fan-outs and workers at once, one killed with −9: each kit ends with one check of its last revision."""

import signal
from collections import Counter
from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone

from inventory.models import Check, Kit
from tests.concurrency import crowd
from tests.inventory.gear import Gear, drain_now

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.concurrency]

EDITOR = """
import random
from inventory.base.changes import change
from inventory.models import Kit, Spec
from inventory.services.kits import edit_kit
from inventory.services.specs import edit_spec
chance = random.Random(int(sys.argv[1]))
kits = list(Kit.objects.order_by("pk").values_list("pk", flat=True))
switches = list(Spec.objects.filter(kind="switch").order_by("pk").values_list("pk", flat=True))
for turn in range(60):
    with change(actor_id=None, request_id="crowd") as c:
        if turn % 20 == 7:  # a fan-out: every kit with this switch is due again
            edit_spec(c, chance.choice(switches), fields={"weight_kg": float(turn)})
        else:
            edit_kit(c, chance.choice(kits), fields={"purpose": f"{sys.argv[1]} {turn}"})
"""

WORKER = """
from inventory.checks.drain import drain
from inventory.models import Kit
while True:
    drain(pause=lambda seconds: __import__("select").select([], [], [], min(seconds, 0.02)))
    if __import__("select").select([sys.stdin], [], [], 0.02)[0]:
        break
"""


def test_every_kit_ends_with_one_check_of_its_last_revision(api, database_url: str, tmp_path: Path):
    gear = Gear(api("planner"))
    for _ in range(12):
        gear.poe_kit((4, 3))
    workers = [crowd.start(WORKER, database_url, tmp_path) for _ in range(2)]
    editors = [crowd.start(EDITOR, database_url, tmp_path, str(number)) for number in range(3)]
    crowd.go(*workers, *editors)
    crowd.done(editors[0])
    workers[0].send_signal(signal.SIGKILL)
    for editor in editors[1:]:
        crowd.done(editor)
    workers[0].communicate()
    assert workers[0].returncode == -signal.SIGKILL
    crowd.done(workers[1])
    # The killed one may hold a lease still; a minute passes.
    Kit.objects.filter(check_lease_until__isnull=False).update(check_lease_until=timezone.now() - timedelta(seconds=1))
    while drain_now() and not Check.objects.filter(state="failed").exists():
        pass  # one round stops after some seconds, however much is still due
    revisions = dict(Kit.objects.values_list("pk", "revision"))
    assert dict(Kit.objects.values_list("pk", "checked_revision")) == revisions
    kept = Counter(Check.objects.filter(state="done").values_list("kit_id", "revision"))
    assert all(kept[kit, revision] == 1 for kit, revision in revisions.items())
    assert max(kept.values()) == 1
    assert not Check.objects.filter(state="failed").exists()


def test_eight_editors_pack_one_unit_and_one_of_them_wins(api, database_url: str, tmp_path: Path):
    gear = Gear(api("planner"))
    spec = gear.spec()
    unit = gear.unit(spec)
    for _ in range(8):
        gear.kit([{"label": "one", "spec": spec}])
    script = """
    from inventory.base.changes import change
    from inventory.errors import UnitTakenError
    from inventory.models import Position
    from inventory.services.contents import edit_position
    place = Position.objects.filter(label="one").order_by("pk")[int(sys.argv[1])]
    try:
        with change(actor_id=None, request_id="crowd") as c:
            edit_position(c, place.kit_id, place.pk, fields={"unit": int(sys.argv[2])})
        sys.stdout.write("won")
    except UnitTakenError:
        sys.stdout.write("lost")
    """
    packers = [crowd.start(script, database_url, tmp_path, str(number), str(unit)) for number in range(8)]
    crowd.go(*packers)
    assert sorted(crowd.done(packer) for packer in packers) == ["lost"] * 7 + ["won"]


def test_two_people_who_nest_two_kits_in_each_other_do_not_make_a_ring(api, database_url: str, tmp_path: Path):
    gear = Gear(api("planner"))
    one, other = gear.kit(), gear.kit()
    script = """
    from inventory.base.changes import change
    from inventory.errors import KitInItselfError
    from inventory.services.contents import add_position
    from inventory.services.positions import PositionDraft
    try:
        with change(actor_id=None, request_id="crowd") as c:
            add_position(c, int(sys.argv[1]), draft=PositionDraft(label="inner", unit=int(sys.argv[2])))
        sys.stdout.write("nested")
    except KitInItselfError:
        sys.stdout.write("refused")
    """
    people = [
        crowd.start(script, database_url, tmp_path, str(one["id"]), str(other["case"])),
        crowd.start(script, database_url, tmp_path, str(other["id"]), str(one["case"])),
    ]
    crowd.go(*people)
    assert sorted(crowd.done(person) for person in people) == ["nested", "refused"]
