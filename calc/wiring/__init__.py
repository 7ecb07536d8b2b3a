"""The graph of a kit, or of everything that is linked together on site; nodes are (position id, port name)."""

from calc.wiring.feeds import CUT_DAMAGE, Feed, Feeds, poe_feeds
from calc.wiring.fit import HOLDING_DAMAGE, Fit, exposed, fits, meets, retention, usual_retention
from calc.wiring.graph import TWO_ENDED_KINDS, VIEWS, Dangling, Joint, Node, Place, Wired, natural, wire
from calc.wiring.leads import Lead, leads
from calc.wiring.power import Hop, PowerPath, behind, inlets_of, outlets_of, power_feeds, power_paths
from calc.wiring.runs import Channel, Run, channels, follow, has_power, never
from calc.wiring.single_points import SinglePoint, single_points
from calc.wiring.switching import (
    Bridge,
    Fabric,
    Step,
    bridges,
    fabric_behind,
    fabric_groups,
    fabric_of,
    far_end,
    rings,
    runs_by_port,
    way,
)

__all__ = [
    "CUT_DAMAGE",
    "HOLDING_DAMAGE",
    "TWO_ENDED_KINDS",
    "VIEWS",
    "Bridge",
    "Channel",
    "Dangling",
    "Fabric",
    "Feed",
    "Feeds",
    "Fit",
    "Hop",
    "Joint",
    "Lead",
    "Node",
    "Place",
    "PowerPath",
    "Run",
    "SinglePoint",
    "Step",
    "Wired",
    "behind",
    "bridges",
    "channels",
    "exposed",
    "fabric_behind",
    "fabric_groups",
    "fabric_of",
    "far_end",
    "fits",
    "follow",
    "has_power",
    "inlets_of",
    "leads",
    "meets",
    "natural",
    "never",
    "outlets_of",
    "poe_feeds",
    "power_feeds",
    "power_paths",
    "retention",
    "rings",
    "runs_by_port",
    "single_points",
    "usual_retention",
    "way",
    "wire",
]
