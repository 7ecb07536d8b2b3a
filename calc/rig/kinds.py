"""What the kind of a spec tells where its sheet is silent."""

from calc.vocabulary import SPEC_KINDS

PASSING_KINDS = ("distro", "cable", "drum", "adapter", "case")
"""Kinds that draw nothing themselves unless their sheet says so."""
KINDS_WITHOUT_PORTS = frozenset({"case", "vehicle", "tool", "battery", "other"})
KINDS_WITH_PORTS = frozenset(SPEC_KINDS) - KINDS_WITHOUT_PORTS
"""Kinds of which nothing is known until somebody enters a port."""
