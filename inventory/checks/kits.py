"""How kits are checked: read, judge, and say what is to be kept."""

from django.utils import timezone

from calc.checks import RULES_VERSION, run
from inventory.assembly import fingerprint, read_kits
from inventory.base.queues import Outcome, Queue
from inventory.checks.results import keep_failure, keep_result
from inventory.models import Kit


def check_kit(kit_id: int, revision: int) -> Outcome:
    """Read a kit and run all checks on it.

    The revision was read before the kit, and every later commit raises it: a reading that mixes two states of the kit
    is never kept.
    """
    as_of = timezone.now()
    kit = read_kits([kit_id])[kit_id]
    result, seen = run(kit, as_of), fingerprint(kit)
    return Outcome(
        verdict=result.verdict,
        verdict_design=result.verdicts["design"],
        verdict_packed=result.verdicts["packed"],
        recheck_at=result.next_change,
        keep=lambda: keep_result(kit_id, revision, result, seen=seen, as_of=as_of),
    )


KITS = Queue(name="kit", model=Kit, rules=RULES_VERSION, check=check_kit, keep_failure=keep_failure)
