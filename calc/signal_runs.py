"""How far a signal goes over a lead of its own kind, without anything that repeats it.

Serial digital video is judged by what coax loses at half the clock. Most of the other lengths are no limits of a
standard: they are what the trade plans with, and each says so.
"""

from dataclasses import dataclass
from math import pi, sqrt

from calc.conductors import awg_diameter_mm
from calc.errors import require_number, require_one_of

COMMON = "common practice"


@dataclass(frozen=True, slots=True)
class LengthLimit:
    """The longest run that is planned for, and who says so."""

    limit_m: float
    source: str
    beyond: str
    """What to do about a longer one."""


SIGNALS = ("dmx", "hdmi", "usb", "audio-balanced", "audio-unbalanced")

_REPEATER = "put a repeater in between"
_FIBRE = "use fibre or an active lead"

SLOWEST_SDI_MBPS, FASTEST_SDI_MBPS = 270.0, 12_000.0
SDI_PLANNED_SHARE = 0.9
"""Share of the loss a receiver makes up for that a run is planned to: beyond it the picture goes at once. Common
practice. [-]"""
COPPER_OHM_M = 1.7241e-8
"""Resistivity at 20 °C. [Ω·m] Source: IEC 60028."""
_COAX_OHM = 75.0
_ACROSS = 4.6
"""Inner width of the screen over the centre conductor: 75 Ω in foamed insulation. Common practice. [-]"""
_BRAID = 1.3
"""How much more a braid loses than a smooth tube. Common practice. [-]"""
_VACUUM_H_PER_M = 4e-7 * pi
_NEPER_DB = 8.686

_FIXED = {
    "dmx": LengthLimit(300, "ANSI E1.11, recommended practice", _REPEATER),
    "audio-balanced": LengthLimit(300, COMMON, "use a digital link"),
    "audio-unbalanced": LengthLimit(10, COMMON, "use a balanced line or an isolating transformer"),
}
# Rate up to which the length holds → length; the last entry of each is for anything faster. [Mb/s] [m]
_BY_RATE: dict[str, tuple[tuple[float, float], ...]] = {
    "hdmi": ((10_200, 10), (18_000, 5), (48_000, 3)),
    "usb": ((480, 5), (5000, 3), (10_000, 1), (40_000, 0.8)),
}
_SOURCES = {
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

    >>> recommended_length("hdmi", 18_000).limit_m
    5

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


def coax_loss_db(length_m: float, mhz: float, awg: int = 18) -> float:
    """Return what 75 Ω coax with foamed insulation loses: it grows with the square root of the frequency. [dB]

    The loss of the two conductors by skin effect. Insulation adds a little at some gigahertz, age and bends add more.

    Args:
        length_m: Length. [m]
        mhz: Frequency, for serial digital video half the clock. [MHz]
        awg: Gauge of the centre conductor: 18 in cable of 7 mm, 20 in 6 mm, 23 in 4.5 mm. [AWG]

    Raises:
        BadInput: a negative length, no frequency, or no such gauge.

    >>> round(coax_loss_db(100, 100), 1)
    6.0

    Source: skin effect in a coaxial line, R = √(π·f·µ0·ρ), resistivity IEC 60028, gauges ASTM B258; the build of the
        cable is common practice, within a tenth of what data sheets state.
    """
    require_number("length_m", length_m, least=0)
    require_number("mhz", mhz, above=0)
    centre_m = awg_diameter_mm(awg) / 1000
    surface_ohm = sqrt(pi * mhz * 1e6 * _VACUUM_H_PER_M * COPPER_OHM_M)
    around = (1 + _BRAID / _ACROSS) / (pi * centre_m)
    return length_m * _NEPER_DB * surface_ohm * around / (2 * _COAX_OHM)


def sdi_loss_limit_db(rate_mbps: float) -> float:
    """Return the most that coax may lose at half the clock of serial digital video. [dB]

    Args:
        rate_mbps: 270 to 12 000, of one link. [Mb/s]

    Raises:
        BadInput: another rate.

    Source: SMPTE ST 259, ST 292-1 and ST 424: 20 dB; ST 2081-1 and ST 2082-1: 40 dB. All from memory.
    """
    require_number("rate_mbps", rate_mbps, least=SLOWEST_SDI_MBPS, most=FASTEST_SDI_MBPS)
    return 20.0 if rate_mbps <= 3000 else 40.0


def sdi_reach_m(rate_mbps: float, awg: int = 18) -> float:
    """Return the longest coax that is planned for serial digital video. [m]

    Args:
        rate_mbps: 270 to 12 000, of one link. [Mb/s]
        awg: Gauge of the centre conductor. [AWG]

    Raises:
        BadInput: another rate, or no such gauge.

    >>> [round(sdi_reach_m(rate)) for rate in (270, 1485, 2970, 11_880)]
    [257, 110, 78, 78]

    Source: as ``sdi_loss_limit_db`` and ``coax_loss_db``; nine tenths of the limit are planned, common practice.
    """
    planned_db = SDI_PLANNED_SHARE * sdi_loss_limit_db(rate_mbps)
    return planned_db / coax_loss_db(1.0, rate_mbps / 2, awg)
