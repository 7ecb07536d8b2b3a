"""Lengths of signal runs against what is published: ANSI E1.11 (recommended practice) and IEC 62680-2-1.

The lengths of video and of unbalanced sound are common practice without a published source; they are held to their
order only.
"""

import pytest

from calc.errors import BadInput
from calc.signal_runs import recommended_length

RATES = (270, 1485, 2970, 5940, 11_880)
"""Serial digital video, Mb/s: SMPTE ST 259, 292-1, 424, 2081-1, 2082-1."""


def test_control_goes_three_hundred_metres():
    """ANSI E1.11, recommended practice for cable length."""
    assert recommended_length("dmx").limit_m == 300


def test_usb_2_goes_five_metres():
    """IEC 62680-2-1: the longest cable assembly of a full- or high-speed device is about 5 m."""
    assert recommended_length("usb", 480).limit_m == 5


def test_a_faster_signal_never_goes_farther():
    for signal, rates in (("sdi", RATES), ("hdmi", (4950, 10_200, 18_000, 48_000)), ("usb", (12, 480, 5000, 10_000))):
        lengths = [recommended_length(signal, rate).limit_m for rate in rates]
        assert lengths == sorted(lengths, reverse=True)
        assert recommended_length(signal).limit_m == lengths[0]


@pytest.mark.parametrize(("signal", "rate"), [("smoke", None), ("sdi", 0), ("usb", -1)])
def test_what_no_signal_is_refused(signal, rate):
    with pytest.raises(BadInput):
        recommended_length(signal, rate)
