"""The row of pages on top: what stands there, in order. A page that does not exist yet does not stand here."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    name: str
    address: str
    verb: str
    """Who may read it, by the table of permits; others do not see the entry."""


PAGES = (
    Entry(name="Today", address="/", verb="event.read"),
    Entry(name="Kits", address="/kits/", verb="kit.read"),
    Entry(name="Events", address="/events/", verb="event.read"),
    Entry(name="Free", address="/free/", verb="availability.read"),
    Entry(name="Time", address="/time/", verb="event.read"),
    Entry(name="Bench", address="/bench/", verb="fault.read"),
)
MORE = (
    Entry(name="Types", address="/specs/", verb="spec.read"),
    Entry(name="People", address="/people/", verb="user.read"),
    Entry(name="Settings", address="/settings/", verb="company.read"),
    Entry(name="Your account", address="/account/", verb="token.own"),
    Entry(name="How it is worked out", address="/docs/", verb="kit.read"),
)
"""The row at the foot."""
