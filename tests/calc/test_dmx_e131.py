"""Universes over a network against ANSI E1.31, RFC 768, RFC 791, IEEE 802.3 and IEEE 802.11."""

import struct
from ipaddress import IPv4Address
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.dmx import BASIC_RATES_MBPS, radio_airtime, sacn_bit_rate_mbps, sacn_multicast
from calc.errors import BadInput

# ANSI E1.31, data packet, field by field.
ROOT_LAYER = struct.calcsize(">HH12sHI16s")
FRAMING_LAYER = struct.calcsize(">HI64sBHBBH")
DMP_LAYER = struct.calcsize(">HBBHHH513s")
UDP, IPV4, LLC, CCMP, MAC, FCS = 8, 20, 8, 16, 24, 4


class TestMulticast:
    @given(st.integers(1, 63999))
    def test_the_universe_is_the_low_half_of_the_address(self, universe):
        """ANSI E1.31: 239.255.high.low; the address arithmetic is the standard library's."""
        assert IPv4Address(sacn_multicast(universe)) == IPv4Address("239.255.0.0") + universe

    @pytest.mark.parametrize("universe", [0, 64000, -1, 1.0])
    def test_universes_that_the_standard_does_not_have_are_named(self, universe):
        with pytest.raises(BadInput) as error:
            sacn_multicast(universe)
        assert error.value.argument == "universe"


class TestBitRate:
    def test_a_packet_is_what_its_fields_are(self):
        """ANSI E1.31: 638 bytes; RFC 768 and 791; IEEE 802.3 header 14, check 4, preamble 8, gap 12."""
        packet_bytes = ROOT_LAYER + FRAMING_LAYER + DMP_LAYER
        assert packet_bytes == 638
        bits_per_s = 8 * (packet_bytes + UDP + IPV4 + 14 + 4 + 8 + 12) * 44
        assert sacn_bit_rate_mbps(1, 44) == pytest.approx(bits_per_s / 1e6)

    def test_40_universes_fill_a_10_mbps_link_and_41_do_not_fit(self):
        """By hand: 40 × 704 × 8 × 44 = 9.912 Mb/s, 41 → 10.160 Mb/s."""
        assert sacn_bit_rate_mbps(40, 44) == pytest.approx(9.912, abs=0.0005)
        assert sacn_bit_rate_mbps(41, 44) == pytest.approx(10.160, abs=0.0005)

    @given(st.integers(0, 1000), st.floats(0, 100), st.integers(0, 511))
    def test_each_slot_is_a_byte(self, universes, hz, slots):
        more = sacn_bit_rate_mbps(universes, hz, slots + 1) - sacn_bit_rate_mbps(universes, hz, slots)
        assert more == pytest.approx(universes * hz * 8 / 1e6, abs=1e-9)

    @pytest.mark.parametrize(
        ("arguments", "argument"), [((-1, 44), "universes"), ((1, -44), "hz"), ((1, 44, 513), "slots")]
    )
    def test_what_cannot_be_is_named(self, arguments, argument):
        with pytest.raises(BadInput) as error:
            sacn_bit_rate_mbps(*arguments)
        assert error.value.argument == argument


class TestRadioAirtime:
    """By hand. IEEE 802.11: a symbol carries 4 µs of the rate, after 16 service bits and before 6 tail bits."""

    @pytest.mark.parametrize(
        ("universes", "basic_rate_mbps", "share"), [(1, 6, 0.0478), (8, 6, 0.382), (20, 6, 0.955), (4, 1, 1.108)]
    )
    def test_shares(self, universes, basic_rate_mbps, share):
        """6 Mb/s: 241 symbols, 984 + 34 + 67.5 = 1085.5 µs; 1 Mb/s: 192 + 5744 + 50 + 310 = 6296 µs."""
        assert radio_airtime(universes, 44, basic_rate_mbps) == pytest.approx(share, abs=0.0005)

    @pytest.mark.parametrize(
        ("basic_rate_mbps", "frame_us"),
        [(6, 20 + 241 * 4 + 34 + 67.5), (54, 20 + 27 * 4 + 34 + 67.5), (11, 192 + 5744 / 11 + 50 + 310)],
    )
    def test_time_of_one_frame(self, basic_rate_mbps, frame_us):
        """5766 bits are 240.25 symbols of 24 bits at 6 Mb/s, 26.69 of 216 at 54 Mb/s: whole symbols are sent."""
        assert radio_airtime(1, 1, basic_rate_mbps) * 1e6 == pytest.approx(frame_us)

    def test_frame_is_what_its_headers_are(self):
        """IEEE 802.11 MAC header with QoS left out 24, CCMP 16, LLC/SNAP 8, FCS 4; at 1 Mb/s a byte takes 8 µs."""
        frame_bytes = 638 + UDP + IPV4 + LLC + CCMP + MAC + FCS
        assert frame_bytes == 718
        assert radio_airtime(1, 1, 1) * 1e6 == pytest.approx(192 + 8 * frame_bytes + 50 + 310)

    def test_a_faster_basic_rate_of_one_kind_takes_less_time(self):
        for kind in ((1, 2, 5.5, 11), (6, 9, 12, 18, 24, 36, 48, 54)):
            shares = [radio_airtime(1, 44, rate) for rate in kind]
            assert shares == sorted(shares, reverse=True)
            assert len(set(shares)) == len(kind)

    @pytest.mark.parametrize("basic_rate_mbps", [0, 3, 5, 7, 100, -6, inf])
    def test_other_rates_are_named(self, basic_rate_mbps):
        with pytest.raises(BadInput) as error:
            radio_airtime(1, 44, basic_rate_mbps)
        assert error.value.argument == "basic_rate_mbps"

    @given(st.integers(0, 500), st.floats(0, 60), st.sampled_from(BASIC_RATES_MBPS))
    def test_universes_add_up(self, universes, hz, basic_rate_mbps):
        share = radio_airtime(universes, hz, basic_rate_mbps)
        assert share == pytest.approx(universes * radio_airtime(1, hz, basic_rate_mbps))
