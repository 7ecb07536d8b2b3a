"""The cables of a run, in order: those that links name, those that nobody named, and drums it passes through; and those
that are fixed to what the run begins at, as on a drum with outlets."""

from dataclasses import dataclass

from calc.rig.kit import Spec
from calc.rig.sheets import CableSheet
from calc.rig.wiring.fit import fits
from calc.rig.wiring.graph import TWO_ENDED_KINDS, Node, Wired
from calc.rig.wiring.power import Hop
from calc.rig.wiring.runs import Channel, Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """One cable of a run."""

    spec: Spec | None
    """None: a lead that nobody named, of which only the connectors are known."""
    at: Node
    """The port that it is plugged into, on the side where the run begins."""
    joins: tuple[Node, ...] = ()
    """The ports at its two ends; only one, where nothing is plugged in at the other."""
    position: int | None = None
    """The position that holds it, where it has one."""

    @property
    def sheet(self) -> CableSheet:
        """What is known of it; nothing, for a lead that nobody named."""
        return self.spec.cable if self.spec is not None and self.spec.cable is not None else CableSheet()


def leads(wired: Wired, run: Run | Channel) -> tuple[Lead, ...]:
    """Return the cables of a run, from its start on; ports that enter each other directly have none between."""
    found = []
    node, joints, passed = run.start, run.joints, run.passed
    for number, joint in enumerate(joints):
        if fits(wired)[joint.number].way != "direct":
            joins = (node, joint.other(node))
            found.append(Lead(spec=joint.cable, at=node, joins=joins, position=joint.link.cable))
        if number < len(passed):
            (into, out), near = passed[number], node
            spec, node = wired.places[into[0]].spec, out
            if spec.kind in TWO_ENDED_KINDS:
                far = [onward.other(out) for onward in joints[number + 1 : number + 2]]
                found.append(Lead(spec=spec, at=into, joins=(near, *far), position=into[0]))
    return tuple(found)


def leads_to(wired: Wired, hop: Hop) -> tuple[Lead, ...]:
    """Return the cables between what feeds an inlet and what is behind it, the one of the inlet's own place first.

    A drum has a cable of its own even where its length is not known; anything else only where a length is written.
    """
    spec = wired.place_of(hop.load).spec
    has_own = spec.kind == "drum" or (spec.cable is not None and spec.cable.length_m is not None)
    own = (Lead(spec=spec, at=hop.load, position=hop.load[0]),) if has_own else ()
    return (*own, *leads(wired, hop.run))
