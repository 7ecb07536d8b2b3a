"""One of several processes that book, confirm, extend, cancel and break things at random, all at once.

Writes ``ready``, starts when a line comes in, and writes what came out as JSON: how often each verb was done, and how
often it was refused with which problem.
"""

import json
import random
import sys
from collections import Counter
from datetime import timedelta

import django

django.setup()

from inventory.base.changes import change  # noqa: E402
from inventory.base.errors import DomainError  # noqa: E402
from inventory.base.models import User  # noqa: E402
from inventory.models import Kit, Spec, Unit  # noqa: E402
from inventory.services.faults import record_repair, report_fault  # noqa: E402
from scheduling.models import Booking, Event  # noqa: E402
from scheduling.services import bookings, ordering  # noqa: E402
from scheduling.services.powers import Powers  # noqa: E402

ALL_POWERS = Powers(others=True, shortfalls=True)


def one_of(rows, chance: random.Random):
    ids = list(rows.order_by("pk").values_list("pk", flat=True))
    return chance.choice(ids) if ids else None


def wanted(chance: random.Random) -> dict[str, object]:
    kind = chance.choice(["kit", "unit", "spec", "spec"])
    rows = {"kit": Kit.objects, "unit": Unit.objects, "spec": Spec.objects.filter(kind="switch")}[kind]
    fields: dict[str, object] = {
        kind: one_of(rows, chance),
        "state": chance.choice(["pencil", "confirmed", "confirmed"]),
    }
    if kind == "spec":
        fields |= {"quantity": chance.randint(1, 3)}
    return fields | {"accept_shortfalls": chance.random() < 0.2}


def act(chance: random.Random, actor: int) -> str:
    """Do one thing at random; what it is about is looked up before the lock, as another process may do meanwhile."""
    verb = chance.choice(["book"] * 4 + ["confirm", "cancel", "extend", "fault", "repair"])
    event, booking = one_of(Event.objects, chance), one_of(Booking.objects, chance)
    fields, unit = wanted(chance), one_of(Unit.objects, chance)
    if booking is None and verb not in {"book", "fault", "repair"}:
        return "nothing"
    ends_at = Booking.objects.get(pk=booking).ends_at + timedelta(hours=chance.randint(1, 5)) if booking else None
    with change(actor_id=actor, request_id="hammer") as c:
        if verb == "book":
            ordering.book(c, event_id=event, fields=fields, powers=ALL_POWERS)
        elif verb == "confirm":
            bookings.confirm(c, booking, powers=ALL_POWERS)
        elif verb == "cancel":
            bookings.cancel(c, booking, powers=ALL_POWERS)
        elif verb == "extend":
            accepted = chance.random() < 0.3
            bookings.extend(c, booking, ends_at=ends_at, accept_shortfalls=accepted, powers=ALL_POWERS)
        elif verb == "fault":
            report_fault(c, unit_id=unit, what="dead", port=None, usable=False, note="")
        else:
            record_repair(c, unit_id=unit, fault_ids=None, note="", cost=None, currency=None, minutes=None)
    return verb


def main(seed: int, times: int) -> None:
    chance = random.Random(seed)
    actor = User.objects.get(username="hammer").pk
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    sys.stdin.readline()
    came_out: Counter[str] = Counter()
    for _ in range(times):
        try:
            came_out[act(chance, actor)] += 1
        except DomainError as problem:
            came_out[problem.code] += 1
    sys.stdout.write(json.dumps(came_out))


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
