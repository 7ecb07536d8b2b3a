"""Radio: how far it carries, how fast it can go at best, and how many guests an access point serves.

Which channels and powers may be used is for each country's rules to say; no figure here stands for a permission.
"""

from dataclasses import dataclass
from math import floor, log10, pi
from types import MappingProxyType

from calc.errors import BadInput, require_number, require_one_of, require_whole

_LIGHT_M_PER_S = 299_792_458.0
_ROUNDING_DIGITS = 9  # so that 35.000000000000004 and 34.99999999999999 clients are both 35

# IEEE 802.11 modulation and coding: bits of a subcarrier and coding rate by index.
_MODULATION = (
    (1, 1 / 2), (2, 1 / 2), (2, 3 / 4), (4, 1 / 2), (4, 3 / 4), (6, 2 / 3),
    (6, 3 / 4), (6, 5 / 6), (8, 3 / 4), (8, 5 / 6), (10, 3 / 4), (10, 5 / 6),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Generation:
    subcarriers: MappingProxyType[int, int]
    """Data subcarriers by channel width in MHz."""
    symbol_us: float
    guards_ns: tuple[int, ...]
    indices: int
    """Modulation and coding indices for one stream."""
    streams: int


_GENERATIONS = MappingProxyType(
    {
        "n": _Generation(
            subcarriers=MappingProxyType({20: 52, 40: 108}), symbol_us=3.2, guards_ns=(800, 400), indices=8, streams=4
        ),  # from memory
        "ac": _Generation(
            subcarriers=MappingProxyType({20: 52, 40: 108, 80: 234, 160: 468}),
            symbol_us=3.2,
            guards_ns=(800, 400),
            indices=10,
            streams=8,
        ),  # from memory
        "ax": _Generation(
            subcarriers=MappingProxyType({20: 234, 40: 468, 80: 980, 160: 1960}),
            symbol_us=12.8,
            guards_ns=(800, 1600, 3200),
            indices=12,
            streams=8,
        ),
    }
)
_EXCLUDED_VHT = frozenset(
    {(20, 9, streams) for streams in (1, 2, 4, 5, 7, 8)} | {(80, 6, 3), (80, 6, 7), (80, 9, 6), (160, 9, 3)}
)
"""Width in MHz, index and streams that 802.11ac has no rate for. From memory."""


def free_space_loss_db(distance_m: float, mhz: float) -> float:
    """Return the loss between two isotropic antennas with nothing between or around them.

    Args:
        distance_m: Distance between the antennas. [m]
        mhz: Frequency. [MHz]

    Raises:
        BadInput: a number is not above zero, or the antennas are so near (λ/4π) that the formula gives a gain.

    Source: ITU-R P.525: 20·log10(4πd/λ).
    """
    require_number("distance_m", distance_m, above=0)
    require_number("mhz", mhz, above=0)
    ratio = 4 * pi * distance_m * mhz * 1e6 / _LIGHT_M_PER_S
    if ratio < 1:
        raise BadInput("distance_m", distance_m, f"at least {distance_m / ratio:g} at this frequency")
    return 20 * log10(ratio)


def phy_rate_mbps(standard: str, mcs: int, streams: int, width_mhz: int, guard_ns: int) -> float:
    """Return the bit rate of the radio layer; what is left for data is about half.

    Args:
        standard: ``"n"``, ``"ac"`` or ``"ax"`` of IEEE 802.11. [-]
        mcs: Modulation and coding index: 0–9 (ac), 0–11 (ax); n counts on with the streams, 0–7 for one, 8–15 for
            two, to 31. [-]
        streams: Spatial streams: 1–4 (n), 1–8 (ac, ax). [-]
        width_mhz: Channel width: 20, 40 (all), 80, 160 (ac, ax). [MHz]
        guard_ns: Guard interval: 400, 800 (n, ac), 800, 1600, 3200 (ax). [ns]

    Raises:
        BadInput: the standard does not have the value, or not together with the others.

    Source: IEEE 802.11: data subcarriers × bits × coding × streams ÷ (symbol + guard); n, ac and the combinations that
        ac leaves out from memory.
    """
    require_one_of("standard", standard, tuple(_GENERATIONS))
    generation = _GENERATIONS[standard]
    require_whole("streams", streams, least=1, most=generation.streams)
    require_one_of("width_mhz", width_mhz, tuple(generation.subcarriers))
    require_one_of("guard_ns", guard_ns, generation.guards_ns)
    first = generation.indices * (streams - 1) if standard == "n" else 0
    require_whole("mcs", mcs, least=first, most=first + generation.indices - 1)
    if standard == "ac" and (width_mhz, mcs, streams) in _EXCLUDED_VHT:
        raise BadInput("mcs", mcs, f"an index that ac has with {streams} streams in {width_mhz} MHz")
    bits, coding = _MODULATION[mcs - first]
    return generation.subcarriers[width_mhz] * bits * coding * streams / (generation.symbol_us + guard_ns / 1000)


def clients_supported(rate_mbps: float, client_mbps: float, efficiency: float = 0.5, airtime: float = 0.7) -> int:
    """Return how many clients one access point serves at once, each with its own rate.

    Args:
        rate_mbps: Radio-layer rate of a typical client, as ``phy_rate_mbps`` tells. [Mb/s]
        client_mbps: What each client needs. [Mb/s]
        efficiency: Share of the radio-layer rate that is data. [-]
        airtime: Share of the time that may be in use at the peak. [-]

    Raises:
        BadInput: a rate is not above zero, or a share is not above 0 and at most 1.

    >>> clients_supported(400, 5)
    28

    Source: common practice: rate × 0.5 × 0.7.
    """
    require_number("rate_mbps", rate_mbps, above=0)
    require_number("client_mbps", client_mbps, above=0)
    require_number("efficiency", efficiency, above=0, most=1)
    require_number("airtime", airtime, above=0, most=1)
    return floor(round(rate_mbps * efficiency * airtime / client_mbps, _ROUNDING_DIGITS))
