"""Sound, pictures and streams: RFC 3550, 3190, 768, 791, IEEE 802.3, AES67, SMPTE ST 292-1."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.streams import rtp_audio_mbps, uncompressed_video_mbps, uplink_needed_mbps

RTP, UDP, IPV4, ETHERNET, CHECK, PREAMBLE, GAP = 12, 8, 20, 14, 4, 8, 12
AROUND = RTP + UDP + IPV4 + ETHERNET + CHECK + PREAMBLE + GAP


class TestSound:
    def test_eight_channels_by_hand(self):
        """AES67 arithmetic: 48 samples × 8 × 3 bytes = 1152, and 78 around them, a thousand times a second."""
        assert AROUND == 78
        assert rtp_audio_mbps(8, 48000, 24, 1) == pytest.approx((1152 + 78) * 8 * 1000 / 1e6)

    def test_seven_such_streams_fit_three_quarters_of_100_mbps_and_eight_do_not(self):
        """By hand: 68.9 and 78.7 Mb/s."""
        assert 7 * rtp_audio_mbps(8, 48000, 24, 1) == pytest.approx(68.9, abs=0.05)
        assert 8 * rtp_audio_mbps(8, 48000, 24, 1) == pytest.approx(78.7, abs=0.05)

    @pytest.mark.parametrize(
        ("packet_time_ms", "samples"), [(0.125, 6), (0.12, 6), (0.25, 12), (0.33, 16), (1 / 3, 16), (1, 48), (4, 192)]
    )
    def test_packet_times_hold_whole_samples(self, packet_time_ms, samples):
        """AES67, packet times at 48 kHz, as printed in session descriptions (0.12 and 0.33 are rounded)."""
        by_hand = (samples * 2 * 3 + 78) * 8 * 48000 / samples / 1e6
        assert rtp_audio_mbps(2, 48000, 24, packet_time_ms) == pytest.approx(by_hand)

    @given(
        st.integers(1, 64),
        st.sampled_from((44100, 48000, 88200, 96000)),
        st.sampled_from((16, 24, 32)),
        st.integers(1, 192),
    )
    def test_samples_and_headers_add_up(self, channels, sample_hz, bits, samples):
        """In fractions: the samples take what they are, the headers what the packets a second make them."""
        assume(channels * samples * bits / 8 <= 1460)
        sound = Fraction(channels * sample_hz * bits)
        headers = Fraction(sample_hz, samples) * AROUND * 8
        answer = rtp_audio_mbps(channels, sample_hz, bits, 1000 * samples / sample_hz)
        assert answer == pytest.approx(float((sound + headers) / 10**6))

    @pytest.mark.parametrize(
        ("arguments", "argument"),
        [
            ((0, 48000, 24, 1), "channels"),
            ((8, 0, 24, 1), "sample_hz"),
            ((8, 48000, 12, 1), "bits"),
            ((8, 48000, 24, 0), "packet_time_ms"),
            ((8, 48000, 24, 0.01), "packet_time_ms"),
        ],
    )
    def test_what_cannot_be_is_named(self, arguments, argument):
        with pytest.raises(BadInput) as error:
            rtp_audio_mbps(*arguments)
        assert error.value.argument == argument

    def test_a_stream_that_no_frame_holds_is_refused(self):
        """1500 − 20 − 8 − 12 = 1460 bytes (IEEE 802.3, RFC 791, 768, 3550): 730 samples of two bytes, no more."""
        one_sample_ms = 1000 / 48000
        assert rtp_audio_mbps(730, 48000, 16, one_sample_ms) == pytest.approx((1460 + 78) * 8 * 48000 / 1e6)
        with pytest.raises(BadInput, match="split the stream") as error:
            rtp_audio_mbps(731, 48000, 16, one_sample_ms)
        assert error.value.argument == "channels"


class TestPictures:
    @pytest.mark.parametrize(
        ("width", "height", "fps", "mbps"), [(2200, 1125, 30, 1485), (2200, 1125, 60, 2970), (858, 525, 30, 270.27)]
    )
    def test_serial_interfaces_with_their_blanking(self, width, height, fps, mbps):
        """SMPTE ST 292-1 and ST 424: 1.485 and 2.970 Gb/s; ITU-R BT.656: 270 Mb/s at 30/1.001 pictures."""
        assert uncompressed_video_mbps(width, height, fps, 20) == pytest.approx(mbps)

    def test_one_pixel(self):
        assert uncompressed_video_mbps(1, 1, 1, 1) == pytest.approx(1e-6, rel=1e-9)

    def test_standard_definition_at_its_true_rate(self):
        assert uncompressed_video_mbps(858, 525, 30000 / 1001, 20) == pytest.approx(270)

    @pytest.mark.parametrize(
        ("arguments", "argument"),
        [
            ((0, 1080, 50, 20), "width"),
            ((1920, -1, 50, 20), "height"),
            ((1920, 1080, 0, 20), "fps"),
            ((1920, 1080, 50, 0), "bits_per_pixel"),
        ],
    )
    def test_what_cannot_be_is_named(self, arguments, argument):
        with pytest.raises(BadInput) as error:
            uncompressed_video_mbps(*arguments)
        assert error.value.argument == argument


class TestUplink:
    """IETF draft on secure reliable transport: input rate × (1 + overhead), 25 %."""

    def test_a_quarter_on_top(self):
        assert uplink_needed_mbps([6, 2]) == 10

    def test_no_stream_needs_nothing(self):
        assert uplink_needed_mbps([]) == 0

    @given(st.lists(st.floats(0, 1000), max_size=8), st.floats(0, 2))
    def test_streams_add_up(self, streams, overhead):
        each = sum(uplink_needed_mbps([mbps], overhead) for mbps in streams)
        assert uplink_needed_mbps(streams, overhead) == pytest.approx(each)

    @pytest.mark.parametrize(
        ("streams", "overhead", "argument"), [([6, -1], 0.25, "streams[1]"), ([6], -0.1, "overhead")]
    )
    def test_what_cannot_be_is_named(self, streams, overhead, argument):
        with pytest.raises(BadInput) as error:
            uplink_needed_mbps(streams, overhead)
        assert error.value.argument == argument
