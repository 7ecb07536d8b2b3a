"""Of what is nothing known at all?"""

from collections.abc import Iterator
from dataclasses import fields

from calc.checking.drafts import DATA_MISSING, Draft, undecided
from calc.checking.registry import check
from calc.rig.kinds import KINDS_WITH_PORTS
from calc.rig.kit import Spec
from calc.rig.subjects import Subject, about
from calc.rig.wiring import Wired

NOT_FACTS = frozenset({"id", "name", "kind", "provenance"})


@check(DATA_MISSING, "unknown", "—")
def data_missing(wired: Wired) -> Iterator[Draft]:
    """An input that could change an answer is not known; the finding names the one number that would settle it."""
    said: set[int] = set()
    for place in wired.places.values():
        spec = place.spec
        if spec.ports or spec.kind not in KINDS_WITH_PORTS or spec.id in said:
            continue
        said.add(spec.id)
        yield undecided(
            about(place),
            f"Enter the ports of {spec.name}: nothing is known about what it connects to.",
            unlocks="ports",
        )
    if not said and wired.places and not any(_facts(place.spec) for place in wired.places.values()):
        yield undecided(
            Subject(), "Enter weights and ports: nothing is known about anything in this kit.", unlocks="ports"
        )


def _facts(spec: Spec) -> list[str]:
    """Return the names of the fields that say anything."""
    return [f.name for f in fields(spec) if f.name not in NOT_FACTS and getattr(spec, f.name) not in (None, ())]
