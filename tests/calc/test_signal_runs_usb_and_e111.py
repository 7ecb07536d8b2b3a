"""Lengths of signal runs against what is published: ANSI E1.11 (recommended practice) and IEC 62680-2-1.

The lengths of HDMI and of unbalanced sound are common practice without a published source; they are held to their
order only. Loss of coax: what data sheets of 75 ohm cable print, from memory; limits: SMPTE, from memory.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.signal_runs import coax_loss_db, recommended_length, sdi_loss_limit_db, sdi_reach_m

RATES = (270, 1485, 2970, 5940, 11_880)
"""Serial digital video, Mb/s: SMPTE ST 259, 292-1, 424, 2081-1, 2082-1."""


def test_control_goes_three_hundred_metres():
    """ANSI E1.11, recommended practice for cable length."""
    assert recommended_length("dmx").limit_m == 300


def test_usb_2_goes_five_metres():
    """IEC 62680-2-1: the longest cable assembly of a full- or high-speed device is about 5 m."""
    assert recommended_length("usb", 480).limit_m == 5


def test_a_faster_signal_never_goes_farther():
    for signal, rates in (("hdmi", (4950, 10_200, 18_000, 48_000)), ("usb", (12, 480, 5000, 10_000))):
        lengths = [recommended_length(signal, rate).limit_m for rate in rates]
        assert lengths == sorted(lengths, reverse=True)
        assert recommended_length(signal).limit_m == lengths[0]


@pytest.mark.parametrize(("signal", "rate"), [("smoke", None), ("sdi", 270), ("hdmi", 0), ("usb", -1)])
def test_what_no_signal_is_refused(signal, rate):
    with pytest.raises(BadInput):
        recommended_length(signal, rate)


@pytest.mark.parametrize(
    ("awg", "mhz", "printed_db"),
    [(18, 100, 5.9), (18, 750, 16.4), (18, 1500, 23.3), (20, 100, 7.6), (20, 750, 21.5), (23, 100, 10.5)],
)
def test_coax_loses_about_what_data_sheets_print(awg, mhz, printed_db):
    """Decibels of 100 m, from memory; IEC 61196-1 says how they are measured."""
    assert coax_loss_db(100, mhz, awg) == pytest.approx(printed_db, rel=0.1)


@given(st.floats(1, 1000), st.floats(1, 6000))
def test_loss_grows_with_the_root_of_the_frequency_and_with_the_length(length_m, mhz):
    one = coax_loss_db(length_m, mhz)
    assert coax_loss_db(length_m, 4 * mhz) == pytest.approx(2 * one)
    assert coax_loss_db(3 * length_m, mhz) == pytest.approx(3 * one)


@pytest.mark.parametrize(("rate", "limit_db"), [*zip(RATES, (20, 20, 20, 40, 40), strict=True)])
def test_what_serial_digital_video_may_lose(rate, limit_db):
    """SMPTE ST 259, 292-1 and 424: 20 dB at half the clock; ST 2081-1 and 2082-1: 40 dB. From memory."""
    assert sdi_loss_limit_db(rate) == limit_db
    assert coax_loss_db(sdi_reach_m(rate), rate / 2) == pytest.approx(0.9 * limit_db)


@pytest.mark.parametrize("rate", [0, 269, 12_001])
def test_rates_that_one_link_does_not_have(rate):
    with pytest.raises(BadInput):
        sdi_reach_m(rate)
