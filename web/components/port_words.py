"""Port names set apart in sentences: without it, ``switch A 8 and switch B 8`` reads like a list of numbers."""

import re
from collections.abc import Callable, Collection, Mapping

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from calc.rig.kit import Kit
from calc.rig.wiring import Wired

Told = Callable[[str], str]
"""Gives a sentence its markup; what is plain text is escaped by the page that shows it."""


def plainly(text: str) -> str:
    """Return a sentence as it is, where the ports that it may name are not at hand."""
    return text


def ports_set_apart(ports: Mapping[str, Collection[str]]) -> Told:
    """Return what sets the port apart wherever a sentence names one behind its place.

    Args:
        ports: Place, with the labels around it → the names of its ports.
    """
    places = "|".join(re.escape(place) for place in sorted(ports, key=len, reverse=True))
    begins = re.compile(rf"(?<!\w)(?:{places}) (?=\S)")
    longest_first = {place: sorted(names, key=len, reverse=True) for place, names in ports.items()}

    def tell(text: str) -> SafeString:
        pieces, done = [], 0
        for found in begins.finditer(text) if places else ():
            named = _port_at(text, found.end(), longest_first[found[0][:-1]])
            if named:
                pieces.append((text[done : found.end()], format_html('<span class="port">{}</span>', named)))
                done = found.end() + len(named)
        return format_html("{}{}", format_html_join("", "{}{}", pieces), text[done:])

    return tell


def ports_of(kit: Kit, wired: Wired | None) -> dict[str, set[str]]:
    """Return the ports by place: of everything that is wired, or of the kit's own places where nothing could be."""
    found: dict[str, set[str]] = {}
    if wired is not None:
        for position, port in wired.ports:
            found.setdefault(wired.paths[position], set()).add(port)
        return found
    return {position.label: {port.name for port in position.spec.ports} for position in kit.positions}


def _port_at(text: str, at: int, names: Collection[str]) -> str:
    return next((name for name in names if text.startswith(name, at) and not text[at + len(name) :][:1].isalnum()), "")
