"""The trade's everyday words for connectors, and the codes of the register that they mean. Common practice."""

from collections.abc import Mapping
from types import MappingProxyType

ALIASES: Mapping[str, str] = MappingProxyType(
    {
        "rj45": "8p8c",
        "rj11": "6p4c",
        "rj12": "6p6c",
        "lc": "lc-duplex",
        "sc": "sc-duplex",
        "mpo": "mpo-12",
        "schuko": "cee7-3",
        "iec": "c14",
        "bnc": "coax-75",
        "hdmi": "hdmi-a",
        "jack": "jack-6.35",
        "minijack": "jack-3.5",
        "rca": "phono",
        "sma": "antenna-sma",
        "rp-sma": "antenna-sma-reverse",
        "sfp+": "sfp",
        "qsfp+": "qsfp",
        "qsfp28": "qsfp",
        "vga": "vga-15",
        "midi": "din-5",
    }
)
"""Word → code; a code itself always comes first."""

BY_DIRECTION: Mapping[tuple[str, str], str] = MappingProxyType({("iec", "out"): "c13", ("schuko", "in"): "cee7-7"})
"""(Word, in or out) → code, where the word names both halves and the way the power goes tells which."""

POE_WORDS: Mapping[str, int] = MappingProxyType({"poe": 3, "poe+": 4})
"""Word → class: types 1 and 2 of IEEE 802.3. The words for more power name two classes each, and are not read."""
