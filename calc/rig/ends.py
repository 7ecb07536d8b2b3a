"""Ports by name, as links and briefs refer to them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """A port, by name, of whatever is in a position: one end of a link, or what a brief refers to."""

    position: int
    port: str
