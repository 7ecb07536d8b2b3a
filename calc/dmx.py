"""Lighting control: a DMX line, and universes over a network, wired and on the air."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, fsum

from calc.errors import BadInput, require_list, require_number, require_whole

SLOTS_LIMIT = 512
SLOT_US = 44  # 11 bits at 250 kbit/s
UNIT_LOADS_LIMIT = 32
UNIVERSES_LIMIT = 63_999
_BREAK_TO_BREAK_LEAST_US = 1204  # from memory

_SACN_HEADERS_BYTES = 126  # root, framing and DMP layers with the start code: 638 bytes with 512 slots
_WIRE_BYTES = 8 + 20 + 14 + 4 + 8 + 12  # UDP, IP, Ethernet header and check, preamble, gap
_AIR_BYTES = 8 + 20 + 8 + 16 + 24 + 4  # UDP, IP, LLC, CCMP, MAC, FCS

_SERVICE_AND_TAIL_BITS = 16 + 6
_OFDM_SYMBOL_US = 4
_OFDM_PREAMBLE_US = 20
_OFDM_WAIT_US = 34 + 67.5  # DIFS and the mean back-off
_OFDM_RATES_MBPS = (6, 9, 12, 18, 24, 36, 48, 54)
_DSSS_PREAMBLE_US = 192
_DSSS_WAIT_US = 50 + 310  # DIFS and the mean back-off
_DSSS_RATES_MBPS = (1, 2, 5.5, 11)
BASIC_RATES_MBPS = _DSSS_RATES_MBPS + _OFDM_RATES_MBPS


@dataclass(frozen=True, slots=True, kw_only=True)
class LineLoad:
    """What the receivers of one DMX line load it with."""

    unit_loads: float
    """Sum over the receivers. [-]"""
    limit: int
    margin: float
    ok: bool


def packet_us(slots: int, break_us: float = 92, mark_us: float = 12) -> float:
    """Return how long one DMX packet takes: break, mark after break, start code and slots, without idle time.

    Receivers need a break of 88 µs and a mark of 8 µs at least; transmitters send 92 µs and 12 µs at least (from
    memory).

    Args:
        slots: Slots after the start code, 0 to 512. [-]
        break_us: Length of the break. [µs]
        mark_us: Length of the mark after break. [µs]

    Raises:
        BadInput: more than 512 slots, or a length that is not above zero.

    >>> packet_us(512, break_us=88, mark_us=8)
    22668

    Source: ANSI E1.11: 44 µs a slot, start code and up to 512 slots.
    """
    require_whole("slots", slots, least=0, most=SLOTS_LIMIT)
    require_number("break_us", break_us, above=0)
    require_number("mark_us", mark_us, above=0)
    return break_us + mark_us + SLOT_US * (1 + slots)


def max_refresh_hz(slots: int, break_us: float = 92, mark_us: float = 12) -> float:
    """Return how often a transmitter can repeat a DMX packet.

    A short packet is followed by idle time: two breaks never begin less than 1204 µs apart (from memory).

    Args:
        slots: Slots after the start code, 0 to 512. [-]
        break_us: Length of the break. [µs]
        mark_us: Length of the mark after break. [µs]

    Raises:
        BadInput: more than 512 slots, or a length that is not above zero.

    Source: ANSI E1.11.
    """
    return 1e6 / max(packet_us(slots, break_us, mark_us), _BREAK_TO_BREAK_LEAST_US)


def unit_loads(receivers: Sequence[float]) -> LineLoad:
    """Return what the receivers of one DMX line load it with, against the limit of one transmitter.

    Args:
        receivers: Unit loads of each receiver on the line, 1 where its data sheet says nothing else. [-]

    Raises:
        BadInput: a receiver's load is not above zero.

    Source: ANSI E1.11 and EIA-485: 32 unit loads.
    """
    receivers = require_list("receivers", receivers)
    for place, loads in enumerate(receivers):
        require_number(f"receivers[{place}]", loads, above=0)
    total = fsum(receivers)
    return LineLoad(
        unit_loads=total, limit=UNIT_LOADS_LIMIT, margin=UNIT_LOADS_LIMIT - total, ok=total <= UNIT_LOADS_LIMIT
    )


def sacn_multicast(universe: int) -> str:
    """Return the IPv4 multicast address of a universe.

    Args:
        universe: Number of the universe, 1 to 63 999. [-]

    Raises:
        BadInput: a universe that the standard does not have.

    >>> sacn_multicast(257)
    '239.255.1.1'

    Source: ANSI E1.31: 239.255 and the universe's two bytes, high byte first.
    """
    require_whole("universe", universe, least=1, most=UNIVERSES_LIMIT)
    high, low = divmod(universe, 256)
    return f"239.255.{high}.{low}"


def sacn_bit_rate_mbps(universes: int, hz: float, slots: int = 512) -> float:
    """Return what universes take of an Ethernet link, with headers, preamble and gap.

    Args:
        universes: How many universes. [-]
        hz: Packets of each universe in a second. [Hz]
        slots: Slots of each universe, 0 to 512. [-]

    Raises:
        BadInput: more universes or slots than the standard has, or a negative rate.

    Source: ANSI E1.31: 638 bytes with 512 slots; RFC 768 and 791, IEEE 802.3: 66 bytes more on the wire.
    """
    require_whole("universes", universes, least=0, most=UNIVERSES_LIMIT)
    require_number("hz", hz, least=0)
    require_whole("slots", slots, least=0, most=SLOTS_LIMIT)
    packet_bytes = _SACN_HEADERS_BYTES + slots + _WIRE_BYTES
    return universes * hz * packet_bytes * 8 / 1e6


def radio_airtime(universes: int, hz: float, basic_rate_mbps: float) -> float:
    """Return the share of a radio channel's time that universes sent as multicast take; above 1 it can't be done.

    An access point sends group traffic at a basic rate, unacknowledged, one frame for each packet of 512 slots.

    Args:
        universes: How many universes. [-]
        hz: Packets of each universe in a second. [Hz]
        basic_rate_mbps: Rate of group traffic: 1, 2, 5.5, 11, or 6, 9, 12, 18, 24, 36, 48, 54. [Mb/s]

    Raises:
        BadInput: more universes than the standard has, a negative rate of packets, or a basic rate that is none.

    Source: ANSI E1.31 (638 bytes); IEEE 802.11: headers, symbols, preambles, DIFS and mean back-off.
    """
    require_whole("universes", universes, least=0, most=UNIVERSES_LIMIT)
    require_number("hz", hz, least=0)
    require_number("basic_rate_mbps", basic_rate_mbps)
    if basic_rate_mbps not in BASIC_RATES_MBPS:
        raise BadInput("basic_rate_mbps", basic_rate_mbps, "one of " + ", ".join(f"{r:g}" for r in BASIC_RATES_MBPS))
    return universes * hz * _frame_us(basic_rate_mbps) / 1e6


def _frame_us(basic_rate_mbps: float) -> float:
    frame_bits = 8 * (_SACN_HEADERS_BYTES + SLOTS_LIMIT + _AIR_BYTES)
    if basic_rate_mbps in _DSSS_RATES_MBPS:
        return _DSSS_PREAMBLE_US + frame_bits / basic_rate_mbps + _DSSS_WAIT_US
    symbols = ceil((frame_bits + _SERVICE_AND_TAIL_BITS) / (basic_rate_mbps * _OFDM_SYMBOL_US))
    return _OFDM_PREAMBLE_US + symbols * _OFDM_SYMBOL_US + _OFDM_WAIT_US
