"""How far a signal goes over a lead of its own kind, without anything that repeats it.

Most of these lengths are no limits of a standard: they are what the trade plans with, and what each says of its source.
"""

from dataclasses import dataclass

from calc.errors import require_number, require_one_of

COMMON = "common practice"


@dataclass(frozen=True, slots=True)
class LengthLimit:
    """The longest run that is planned for, and who says so."""

    limit_m: float
    source: str
    beyond: str
    """What to do about a longer one."""


SIGNALS = ("dmx", "sdi", "hdmi", "usb", "audio-balanced", "audio-unbalanced")

_REPEATER = "put a repeater in between"
_FIBRE = "use fibre or an active lead"
_FIXED = {
    "dmx": LengthLimit(300, "ANSI E1.11, recommended practice", _REPEATER),
    "audio-balanced": LengthLimit(300, COMMON, "use a digital link"),
    "audio-unbalanced": LengthLimit(10, COMMON, "use a balanced line or an isolating transformer"),
}
# Rate up to which the length holds → length; the last entry of each is for anything faster. [Mb/s] [m]
_BY_RATE: dict[str, tuple[tuple[float, float], ...]] = {
    # Usual 75 Ω coax of 6 mm: the loss that receivers make up for is reached at about these lengths.
    "sdi": ((270, 300), (1500, 110), (3000, 80), (6000, 60), (12_000, 45)),
    "hdmi": ((10_200, 10), (18_000, 5), (48_000, 3)),
    "usb": ((480, 5), (5000, 3), (10_000, 1), (40_000, 0.8)),
}
_SOURCES = {
    "sdi": "SMPTE ST 259, 292-1, 424, 2081-1, 2082-1 for the rates; lengths common practice",
    "hdmi": COMMON,
    "usb": "IEC 62680-2-1 for 480 Mb/s; faster rates from memory",
}


def recommended_length(signal: str, rate_mbps: float | None = None) -> LengthLimit:
    """Return the longest run that is planned for.

    Args:
        signal: One of ``SIGNALS``. [-]
        rate_mbps: Of video or USB; None takes the slowest, which goes farthest, so that nothing is found that a typed
            rate would take back. [Mb/s]

    Raises:
        BadInput: another signal, or no rate above 0.

    >>> recommended_length("sdi", 12_000).limit_m
    45

    Source: as each answer says; lengths that are common practice have no published source.
    """
    require_one_of("signal", signal, SIGNALS)
    if signal in _FIXED:
        return _FIXED[signal]
    table = _BY_RATE[signal]
    if rate_mbps is None:
        return LengthLimit(table[0][1], _SOURCES[signal], _FIBRE)
    require_number("rate_mbps", rate_mbps, above=0)
    limit_m = next((length for rate, length in table if rate_mbps <= rate), table[-1][1])
    return LengthLimit(limit_m, _SOURCES[signal], _FIBRE)
