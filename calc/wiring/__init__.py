"""The graph of a kit, or of everything that is linked together on site; nodes are (position id, port name)."""

from calc.wiring.feeds import CUT_DAMAGE, Feed, Feeds, poe_feeds
from calc.wiring.fit import HOLDING_DAMAGE, Fit, exposed, fits, meets, retention, usual_retention
from calc.wiring.graph import TWO_ENDED_KINDS, VIEWS, Dangling, Joint, Node, Place, Wired, natural, wire
from calc.wiring.leads import Lead, leads
from calc.wiring.power import Hop, PowerPath, behind, inlets_of, outlets_of, power_feeds, power_paths
from calc.wiring.runs import Channel, Run, channels, follow, has_power, never
from calc.wiring.single_points import SinglePoint, single_points
from calc.wiring.switching import Bridge, Fabric, bridges, fabric_groups, fabric_of, rings

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
    "Wired",
    "behind",
    "bridges",
    "channels",
    "exposed",
    "fabric_groups",
    "fabric_of",
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
    "single_points",
    "usual_retention",
    "wire",
]
