"""The graph of a kit, or of everything that is linked together on site; nodes are (position id, port name)."""

from calc.wiring.feeds import CUT_DAMAGE, Feed, Feeds, poe_feeds
from calc.wiring.fit import HOLDING_DAMAGE, Fit, exposed, fits, meets, retention, usual_retention
from calc.wiring.graph import VIEWS, Dangling, Joint, Node, Place, Wired, natural, wire
from calc.wiring.leads import Lead, leads
from calc.wiring.runs import Channel, Run, channels, follow, has_power, never

__all__ = [
    "CUT_DAMAGE",
    "HOLDING_DAMAGE",
    "VIEWS",
    "Channel",
    "Dangling",
    "Feed",
    "Feeds",
    "Fit",
    "Joint",
    "Lead",
    "Node",
    "Place",
    "Run",
    "Wired",
    "channels",
    "exposed",
    "fits",
    "follow",
    "has_power",
    "leads",
    "meets",
    "natural",
    "never",
    "poe_feeds",
    "retention",
    "usual_retention",
    "wire",
]
