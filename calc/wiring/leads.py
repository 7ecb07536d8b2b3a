"""The cables of a run, in order: those that links name, those that nobody named, and drums it passes through."""

from collections.abc import Sequence
from dataclasses import dataclass

from calc.kit import CableSheet, Spec
from calc.wiring.fit import fits
from calc.wiring.graph import TWO_ENDED_KINDS, Joint, Node, Wired


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """One cable of a run."""

    spec: Spec | None
    """None: a lead that nobody named, of which only the connectors are known."""
    at: Node
    """The port that it is plugged into, on the side where the run begins."""
    position: int | None = None
    """The position that holds it, where it has one."""

    @property
    def sheet(self) -> CableSheet:
        """What is known of it; nothing, for a lead that nobody named."""
        return self.spec.cable if self.spec is not None and self.spec.cable is not None else CableSheet()


def leads(wired: Wired, start: Node, joints: Sequence[Joint], passed: Sequence[tuple[Node, Node]]) -> tuple[Lead, ...]:
    """Return the cables of a run that begins at ``start``; ports that enter each other directly have none between."""
    found = []
    node = start
    for number, joint in enumerate(joints):
        if fits(wired)[id(joint)].way != "direct":
            found.append(Lead(spec=joint.cable, at=node, position=joint.link.cable))
        if number < len(passed):
            into, node = passed[number]
            spec = wired.places[into[0]].spec
            if spec.kind in TWO_ENDED_KINDS:
                found.append(Lead(spec=spec, at=into, position=into[0]))
    return tuple(found)
