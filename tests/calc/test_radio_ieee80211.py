"""Rates against the tables of IEEE 802.11 (from memory where not said otherwise), printed to a tenth."""

from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.radio import clients_supported, phy_rate_mbps

HALF_DIGIT = 0.0501

# One stream, index 0 upwards.
PRINTED = {
    ("n", 20, 800): (6.5, 13.0, 19.5, 26.0, 39.0, 52.0, 58.5, 65.0),
    ("n", 20, 400): (7.2, 14.4, 21.7, 28.9, 43.3, 57.8, 65.0, 72.2),
    ("n", 40, 400): (15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 135.0, 150.0),
    ("ac", 80, 800): (29.3, 58.5, 87.8, 117.0, 175.5, 234.0, 263.3, 292.5, 351.0, 390.0),
    ("ac", 80, 400): (32.5, 65.0, 97.5, 130.0, 195.0, 260.0, 292.5, 325.0, 390.0, 433.3),
    ("ac", 40, 400): (15.0, 30.0, 45.0, 60.0, 90.0, 120.0, 135.0, 150.0, 180.0, 200.0),
    ("ac", 160, 400): (65.0, 130.0, 195.0, 260.0, 390.0, 520.0, 585.0, 650.0, 780.0, 866.7),
    ("ax", 20, 800): (8.6, 17.2, 25.8, 34.4, 51.6, 68.8, 77.4, 86.0, 103.2, 114.7, 129.0, 143.4),
    ("ax", 80, 800): (36.0, 72.1, 108.1, 144.1, 216.2, 288.2, 324.3, 360.3, 432.4, 480.4, 540.4, 600.5),
    ("ax", 40, 800): (17.2, 34.4, 51.6, 68.8, 103.2, 137.6, 154.9, 172.1, 206.5, 229.4, 258.1, 286.8),
    ("ax", 80, 1600): (34.0, 68.1, 102.1, 136.1, 204.2, 272.2, 306.3, 340.3, 408.3, 453.7, 510.4, 567.1),
    ("ax", 80, 3200): (30.6, 61.3, 91.9, 122.5, 183.8, 245.0, 275.6, 306.3, 367.5, 408.3, 459.4, 510.4),
}


@pytest.mark.parametrize(
    ("standard", "width_mhz", "guard_ns", "mcs", "printed_mbps"),
    [(*key, mcs, rate) for key, rates in PRINTED.items() for mcs, rate in enumerate(rates)],
)
def test_one_stream(standard, width_mhz, guard_ns, mcs, printed_mbps):
    assert phy_rate_mbps(standard, mcs, 1, width_mhz, guard_ns) == pytest.approx(printed_mbps, abs=HALF_DIGIT)


@pytest.mark.parametrize(
    ("arguments", "printed_mbps"),
    [
        (("n", 15, 2, 40, 400), 300.0),
        (("n", 31, 4, 40, 400), 600.0),
        (("ac", 9, 3, 20, 400), 288.9),
        (("ac", 9, 2, 80, 400), 866.7),  # read
        (("ac", 9, 3, 80, 400), 1300.0),
        (("ac", 9, 8, 160, 400), 6933.3),
        (("ax", 11, 2, 80, 800), 1201.0),
        (("ax", 11, 8, 160, 800), 9607.8),
    ],
)
def test_more_streams(arguments, printed_mbps):
    assert phy_rate_mbps(*arguments) == pytest.approx(printed_mbps, abs=HALF_DIGIT)


@pytest.mark.parametrize("streams", range(1, 9))
def test_index_9_in_20_mhz_exists_where_a_symbol_holds_whole_data_bits(streams):
    """IEEE 802.11 VHT: 52 subcarriers × 8 bits × 5/6 × streams has to be a whole number."""
    whole = Fraction(52 * 8 * 5 * streams, 6).denominator == 1
    assert exists("ac", 9, streams, 20) == whole


@pytest.mark.parametrize(("width_mhz", "mcs", "streams"), [(80, 6, 3), (80, 6, 7), (80, 9, 6), (160, 9, 3)])
def test_combinations_that_the_encoders_cannot_share_do_not_exist(width_mhz, mcs, streams):
    """IEEE 802.11 VHT: one encoder for each 2160 data bits of a symbol; each takes a whole number of code blocks."""
    subcarriers = {80: 234, 160: 468}[width_mhz]
    bits, coding = {6: (6, Fraction(3, 4)), 9: (8, Fraction(5, 6))}[mcs]
    coded = subcarriers * bits * streams
    encoders = ceil(coded * coding / 2160)
    assert Fraction(coded, encoders * coding.denominator).denominator > 1
    assert not exists("ac", mcs, streams, width_mhz)


def test_ac_leaves_out_ten_combinations():
    """IEEE 802.11 VHT tables: six in 20 MHz, none in 40, three in 80, one in 160."""
    missing = [
        sum(not exists("ac", mcs, streams, width_mhz) for mcs in range(10) for streams in range(1, 9))
        for width_mhz in (20, 40, 80, 160)
    ]
    assert missing == [6, 0, 3, 1]


def exists(standard, mcs, streams, width_mhz):
    try:
        phy_rate_mbps(standard, mcs, streams, width_mhz, 800)
    except BadInput:
        return False
    return True


@pytest.mark.parametrize(
    ("arguments", "argument"),
    [
        (("b", 0, 1, 20, 800), "standard"),
        (("n", 7, 2, 20, 800), "mcs"),
        (("ac", 9, 1, 20, 800), "mcs"),
        (("n", 8, 1, 20, 800), "mcs"),
        (("n", 32, 5, 20, 800), "streams"),
        (("n", 0, 1, 80, 800), "width_mhz"),
        (("n", 0, 1, 20, 1600), "guard_ns"),
        (("ac", 10, 1, 80, 800), "mcs"),
        (("ac", 9, 9, 80, 800), "streams"),
        (("ac", 9, 0, 80, 800), "streams"),
        (("ax", 12, 1, 80, 800), "mcs"),
        (("ax", 11, 9, 80, 800), "streams"),
        (("ax", 11, 1, 320, 800), "width_mhz"),
        (("ax", 11, 1, 80, 400), "guard_ns"),
        (("ax", -1, 1, 80, 800), "mcs"),
    ],
)
def test_what_the_standard_does_not_have_is_named(arguments, argument):
    with pytest.raises(BadInput) as error:
        phy_rate_mbps(*arguments)
    assert error.value.argument == argument


class TestClients:
    """Common practice: half of the radio-layer rate is data, and at most 70 % of the time is in use."""

    def test_by_hand(self):
        """400 × 0.5 × 0.7 = 140 Mb/s: 28 clients of 5 Mb/s."""
        assert clients_supported(400, 5) == 28

    @given(st.floats(1, 10000), st.floats(0.1, 100), st.floats(0.1, 1), st.floats(0.1, 1))
    def test_one_more_would_not_fit(self, rate_mbps, client_mbps, efficiency, airtime):
        usable_mbps = rate_mbps * efficiency * airtime
        clients = clients_supported(rate_mbps, client_mbps, efficiency, airtime)
        assert clients * client_mbps <= usable_mbps * (1 + 1e-6)
        assert (clients + 1) * client_mbps > usable_mbps * (1 - 1e-6)

    @pytest.mark.parametrize("clients", range(1, 200))
    def test_an_exact_fit_counts_whole(self, clients):
        """0.35 has no exact binary form: a rate made for so many clients serves that many, not one fewer."""
        assert clients_supported(clients * 5 / 0.35, 5) == clients

    @pytest.mark.parametrize(
        ("arguments", "argument"),
        [
            ((0, 5), "rate_mbps"),
            ((400, 0), "client_mbps"),
            ((400, 5, 0), "efficiency"),
            ((400, 5, 1.1), "efficiency"),
            ((400, 5, 0.5, 0), "airtime"),
            ((400, 5, 0.5, 1.1), "airtime"),
        ],
    )
    def test_what_cannot_be_is_named(self, arguments, argument):
        with pytest.raises(BadInput) as error:
            clients_supported(*arguments)
        assert error.value.argument == argument
