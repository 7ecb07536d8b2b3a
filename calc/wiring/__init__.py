"""The graph of a kit, or of everything that is linked together on site; nodes are (position id, port name)."""

from calc.wiring.graph import VIEWS, Dangling, Joint, Node, Place, Wired, natural, wire

__all__ = ["VIEWS", "Dangling", "Joint", "Node", "Place", "Wired", "natural", "wire"]
