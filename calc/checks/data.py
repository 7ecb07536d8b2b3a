"""Of what is nothing known at all?"""

from collections.abc import Iterator
from dataclasses import fields

from calc.checking.drafts import DATA_MISSING, Draft, undecided
from calc.checking.registry import check
from calc.rig.kinds import KINDS_WITH_PORTS
from calc.rig.kit import Spec
from calc.rig.subjects import Subject, about
from calc.rig.wiring import Place, Wired

MOST_ASKED = 5
"""So many questions at once; more of them would not be answered any sooner."""
JOINING_KINDS = ("switch", "router", "distro", "supply", "injector")
"""Kinds on which the answers for others hang."""
NOT_FACTS = frozenset({"id", "name", "kind", "provenance"})


@check(DATA_MISSING, "unknown", "the data sheets of this kit")
def data_missing(wired: Wired) -> Iterator[Draft]:
    """An input that could change an answer is not known; the finding names the one number that would settle it."""
    without_ports = _without_ports(wired)
    more = len(without_ports) - MOST_ASKED
    for number, place in enumerate(without_ports[:MOST_ASKED], start=1):
        others = f" {more} more are waiting for theirs." if more > 0 and number == MOST_ASKED else ""
        yield undecided(
            about(place),
            f"Enter the ports of {place.spec.name}: nothing is known about what it connects to.{others}",
            unlocks="ports",
        )
    if not without_ports and wired.places and not any(_facts(place.spec) for place in wired.places.values()):
        yield undecided(
            Subject(), "Enter weights and ports: nothing is known about anything in this kit.", unlocks="ports"
        )


def _without_ports(wired: Wired) -> list[Place]:
    """Return one place of each spec of which no port is known, those that feed and join others first."""
    by_spec: dict[int, Place] = {}
    for place in wired.places.values():
        if not place.spec.ports and place.spec.kind in KINDS_WITH_PORTS:
            by_spec.setdefault(place.spec.id, place)
    return sorted(by_spec.values(), key=lambda place: place.spec.kind not in JOINING_KINDS)


def _facts(spec: Spec) -> list[str]:
    """Return the names of the fields that say anything."""
    return [f.name for f in fields(spec) if f.name not in NOT_FACTS and getattr(spec, f.name) not in (None, ())]
