"""Numbers as people read them: no more digits than they carry, a true minus, a unit after a thin gap."""

from calc.rig.field_table import FIELDS

UNITS = {
    "_w": "W",
    "_va": "VA",
    "_v": "V",
    "_volts": "V",
    "_a": "A",
    "_ma": "mA",
    "_m": "m",
    "_mm": "mm",
    "_mm2": "mm²",
    "_m2": "m²",
    "_kg": "kg",
    "_mbps": "Mb/s",
    "_celsius": "°C",
    "_c": "°C",
    "_m3h": "m³/h",
    "_ms": "ms",
    "_us": "µs",
    "_minutes": "min",
    "_db": "dB",
    "_ohm": "Ω",
    "_wh": "Wh",
    "_k": "K",
    "_days": "days",
}
"""Endings of names → the unit they stand for."""
NAMED = {
    "brief.internet_up_mbps": ("what the venue lets out", "Mb/s"),
    "brief.radio.rate_mbps": ("the rate at which a typical guest is connected", "Mb/s"),
    "spec": ("type", ""),
    "links": ("connections", ""),
    "linked": ("connected", ""),
    "linked onward": ("connected onward", ""),
    "heat_w": ("heat given off", "W"),
    "unit.firmware": ("the firmware that it runs", ""),
}
"""Names whose own words say too little → what people call them, and their unit."""


def figure(value: float) -> str:
    """Return a number with one decimal from ten up, two below, none where it is whole."""
    digits = 1 if abs(value) >= 10 else 2
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".") if value != int(value) else f"{value:.0f}"
    return text.replace("-", "\N{MINUS SIGN}")


def with_unit(value: float | None, unit: str) -> str:
    """Return a number with its unit, or that it is not known."""
    return "not known" if value is None else f"{figure(value)} {unit}".strip()


def named_fact(name: str) -> tuple[str, str]:
    """Return a name such as ``poe.budget_w`` in words, and its unit: ``("power budget", "W")``."""
    if name in NAMED:
        return NAMED[name]
    if name in FIELDS:
        return FIELDS[name].words, FIELDS[name].unit
    ending = next((each for each in sorted(UNITS, key=len, reverse=True) if name.endswith(each)), "")
    words = name.removesuffix(ending).removeprefix("ports.").replace("_", " ").replace(".", ", ")
    return words, UNITS.get(ending, "")
