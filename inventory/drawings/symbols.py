"""The sprite of the drawings, and which of its symbols shows which half of a connector."""

import re
from functools import cache
from pathlib import Path

from inventory.drawings.svg import Element, parse

SPRITE = Path(__file__).parent / "symbols.svg"
OTHER = "c-other"
LATCH_BROKEN = {"c-8r": "c-8rx"}
"""Symbol → the same with its latch gone, where one is drawn."""

# Beginning of the code → symbol of the socket, symbol of the plug; the longest beginning wins.
HALVES: dict[str, tuple[str, str]] = {
    "8p8c": ("c-8", "c-8"),
    "8p8c-rugged": ("c-8r", "c-8r"),
    "xlr-3": ("c-x3s", "c-x3p"),
    "xlr-4": ("c-x3s", "c-x3p"),
    "xlr-5": ("c-x5s", "c-x5p"),
    "c13": ("c-c13", "c-c13"),
    "c15": ("c-c13", "c-c13"),
    "c14": ("c-c14", "c-c14"),
    "c16": ("c-c14", "c-c14"),
    "c19": ("c-c19", "c-c19"),
    "c21": ("c-c19", "c-c19"),
    "c20": ("c-c20", "c-c20"),
    "c22": ("c-c20", "c-c20"),
    "iec60309-16-2pe": ("c-r3", "c-r3"),
    "iec60309-32-2pe": ("c-r3", "c-r3"),
    "iec60309-63-2pe": ("c-r3", "c-r3"),
    "iec60309-125-2pe": ("c-r3", "c-r3"),
    "iec60309": ("c-r5s", "c-r5"),
    "nema": ("c-nema", "c-nema"),
    "nema-l": ("c-nemal", "c-nemal"),
    "stage-pin": ("c-pin", "c-pin"),
    "cee7": ("c-wall", "c-wall"),
    "sev1011": ("c-wall", "c-wall"),
    "cei23": ("c-wall", "c-wall"),
    # Drawn as the shape that is nearest to theirs.
    "6p": ("c-8", "c-8"),
    "sfp": ("c-lc", "c-lc"),
    "qsfp": ("c-lc", "c-lc"),
    "mpo": ("c-lc", "c-lc"),
    "st": ("c-bnc", "c-bnc"),
    "triax": ("c-bnc", "c-bnc"),
    "fibre-hybrid": ("c-beam", "c-beam"),
    "m12": ("c-din", "c-din"),
    "multipin": ("c-din", "c-din"),
    "rectangular": ("c-term", "c-term"),
    "usb-m": ("c-usbb", "c-usbb"),
    "displayport": ("c-hdmi", "c-hdmi"),
    "vga": ("c-de", "c-de"),
    "dvi": ("c-de", "c-de"),
    "db-": ("c-de", "c-de"),
    "xlr": ("c-x5s", "c-x5p"),
    "xlr-jack": ("c-x3s", "c-x3p"),
    "stage-twist": ("c-nemal", "c-nemal"),
    "iec60906": ("c-wall", "c-wall"),
    "asnzs3112": ("c-wall", "c-wall"),
    "bs546": ("c-bs", "c-bs"),
    "c17": ("c-c13", "c-c13"),
    "c18": ("c-c14", "c-c14"),
    "bs1363": ("c-bs", "c-bs"),
    "mains-lock": ("c-lki", "c-lki"),
    "mains-lock-20a-out": ("c-lko", "c-lko"),
    "single-pole": ("c-pole", "c-pole"),
    "dc-": ("c-dc", "c-dc"),
    "terminal": ("c-term", "c-term"),
    "battery": ("c-batt", "c-batt"),
    "vehicle": ("c-dc", "c-dc"),
    "usb-a": ("c-usba", "c-usba"),
    "usb-b": ("c-usbb", "c-usbb"),
    "usb-c": ("c-usb", "c-usb"),
    "hdmi": ("c-hdmi", "c-hdmi"),
    "coax": ("c-bnc", "c-bnc"),
    "antenna": ("c-ant", "c-ant"),
    "lc-": ("c-lc", "c-lc"),
    "sc-": ("c-lc", "c-lc"),
    "lc-duplex": ("c-lc", "c-lc"),
    "sc-duplex": ("c-lc", "c-lc"),
    "lc-duplex-rugged": ("c-lcr", "c-lcr"),
    "expanded-beam": ("c-beam", "c-beam"),
    "speaker": ("c-spk", "c-spk"),
    "jack": ("c-jack", "c-jack"),
    "phono": ("c-phono", "c-phono"),
    "din": ("c-din", "c-din"),
    "de-": ("c-de", "c-de"),
}


def symbol_of(connector: str, side: str) -> str:
    """Return the symbol of one half of a connector."""
    known = [code for code in HALVES if connector.startswith(code)]
    if not known:
        return OTHER
    socket, plug = HALVES[max(known, key=len)]
    return plug if side == "plug" else socket


def sprite(*names: str) -> list[Element]:
    """Return the symbols and patterns whose names are given, or begin with a given ``c-``, ``s-`` …"""
    wanted = tuple(name for name in names if name.endswith("-"))
    return [item for name, item in _sprite().items() if name in names or name.startswith(wanted or ("?",))]


def sprite_text(*names: str) -> str:
    """Return the same as text, to be put into a page once."""
    wanted = tuple(name for name in names if name.endswith("-")) or ("?",)
    return "".join(text for name, text in _lines().items() if name in names or name.startswith(wanted))


@cache
def _lines() -> dict[str, str]:
    found = {}
    for line in SPRITE.read_text(encoding="utf-8").splitlines():
        name = re.search(r'id="([^"]+)"', line)
        assert name is not None  # every line of the sprite is one symbol or pattern
        found[name[1]] = line
    return found


@cache
def _sprite() -> dict[str, Element]:
    return {name: parse(line) for name, line in _lines().items()}
