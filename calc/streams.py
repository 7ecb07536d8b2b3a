"""What sound, pictures and live streams take of a link."""

from collections.abc import Sequence
from math import fsum

from calc.errors import BadInput, require_list, require_number, require_one_of, require_whole

_RTP_HEADER_BYTES = 12
_WIRE_BYTES = _RTP_HEADER_BYTES + 8 + 20 + 14 + 4 + 8 + 12  # UDP, IP, Ethernet header and check, preamble, gap
_PAYLOAD_LIMIT_BYTES = 1500 - 20 - 8 - _RTP_HEADER_BYTES
_SAMPLE_BITS = (16, 24, 32)


def rtp_audio_mbps(channels: int, sample_hz: float, bits: int, packet_time_ms: float) -> float:
    """Return what one uncompressed sound stream takes of an Ethernet link, with headers, preamble and gap.

    A packet holds whole samples of every channel: the number nearest to the packet time, which standards print
    rounded (16 samples at 48 kHz are called 0.33 ms).

    Args:
        channels: Channels in the stream. [-]
        sample_hz: Sampling rate. [Hz]
        bits: Bits of a sample on the wire: 16, 24 or 32. [bit]
        packet_time_ms: Time that one packet holds. [ms]

    Raises:
        BadInput: no channel, a sample size that no payload format has, a packet time shorter than one sample, or more
            than the 1460 bytes that one Ethernet frame leaves for sound.

    Source: RFC 3550, 768, 791 and IEEE 802.3 (78 bytes around the samples); RFC 3551 and 3190 (16 and 24 bits);
        AES67 (packet time); 32 bits from memory.
    """
    require_whole("channels", channels, least=1)
    require_number("sample_hz", sample_hz, above=0)
    require_one_of("bits", bits, _SAMPLE_BITS)
    require_number("packet_time_ms", packet_time_ms, above=0)
    samples = round(sample_hz * packet_time_ms / 1000)
    if samples < 1:
        raise BadInput("packet_time_ms", packet_time_ms, f"at least one sample, {1000 / sample_hz:g} ms")
    payload_bytes = channels * samples * bits // 8
    if payload_bytes > _PAYLOAD_LIMIT_BYTES:
        accepted = f"at most {_PAYLOAD_LIMIT_BYTES} bytes of samples in a packet, not {payload_bytes}: split the stream"
        raise BadInput("channels", channels, f"{accepted} or shorten the packet time")
    return (payload_bytes + _WIRE_BYTES) * 8 * sample_hz / samples / 1e6


def uncompressed_video_mbps(width: int, height: int, fps: float, bits_per_pixel: float) -> float:
    """Return the bit rate of an uncompressed picture, headers and blanking left out.

    Args:
        width: Pixels in a line. [px]
        height: Lines in a picture. [px]
        fps: Pictures in a second. [1/s]
        bits_per_pixel: 20 for 10-bit 4:2:2, 24 for 8-bit 4:4:4, and so on. [bit]

    Raises:
        BadInput: a number is not above zero.

    Source: SMPTE ST 292-1 multiplies the same way (2200 × 1125 × 30 × 20 bit/s = 1.485 Gb/s with blanking).
    """
    require_whole("width", width, least=1)
    require_whole("height", height, least=1)
    require_number("fps", fps, above=0)
    require_number("bits_per_pixel", bits_per_pixel, above=0)
    return width * height * fps * bits_per_pixel / 1e6


def uplink_needed_mbps(streams: Sequence[float], overhead: float = 0.25) -> float:
    """Return the upload that live streams need together, with room to send lost packets again.

    Args:
        streams: Bit rate of each stream. [Mb/s]
        overhead: Room on top, as a share of the streams. [-]

    Raises:
        BadInput: a rate or the overhead is negative.

    >>> uplink_needed_mbps([6, 2])
    10.0

    Source: IETF draft on secure reliable transport: input rate × (1 + overhead), 25 % as its example.
    """
    streams = require_list("streams", streams)
    for place, mbps in enumerate(streams):
        require_number(f"streams[{place}]", mbps, least=0)
    require_number("overhead", overhead, least=0)
    return fsum(streams) * (1 + overhead)
