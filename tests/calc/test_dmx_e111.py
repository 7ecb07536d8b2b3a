"""A DMX line against ANSI E1.11."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.dmx import max_refresh_hz, packet_us, unit_loads
from calc.errors import BadInput

BITS_PER_SLOT = 11  # start, eight data, two stop
BITS_PER_S = 250_000


def test_a_full_packet_repeats_44_times_a_second():
    """ANSI E1.11: 22.7 ms, 44 Hz."""
    assert max_refresh_hz(512, break_us=88, mark_us=8) == pytest.approx(44.1, abs=0.05)
    assert int(max_refresh_hz(512)) == 44


@given(st.integers(0, 512), st.floats(88, 1e5), st.floats(8, 1e5))
def test_a_packet_is_its_bits(slots, break_us, mark_us):
    bits_us = (1 + slots) * BITS_PER_SLOT / BITS_PER_S * 1e6
    assert packet_us(slots, break_us, mark_us) == pytest.approx(break_us + mark_us + bits_us)


def test_short_packets_repeat_no_faster_than_24_slots():
    """ANSI E1.11: breaks of a transmitter begin at least 1204 µs apart, the time of 24 slots (from memory)."""
    assert packet_us(24) == 1204
    assert max_refresh_hz(0) == max_refresh_hz(24) == pytest.approx(1e6 / 1204)
    assert max_refresh_hz(25) < max_refresh_hz(24)


@pytest.mark.parametrize("slots", [-1, 513, 1.5, True])
def test_slots_that_no_packet_has_are_named(slots):
    with pytest.raises(BadInput) as error:
        packet_us(slots)
    assert error.value.argument == "slots"


class TestUnitLoads:
    """ANSI E1.11 and EIA-485: 32 unit loads on one transmitter."""

    def test_32_receivers_of_one_unit_load_fit_and_33_do_not(self):
        assert unit_loads([1] * 32).ok
        assert unit_loads([1] * 32).margin == 0
        assert not unit_loads([1] * 33).ok

    def test_eighth_loads_fit_eight_times_as_often(self):
        assert unit_loads([1 / 8] * 256).margin == 0

    def test_tenths_add_up(self):
        assert unit_loads([0.1] * 320).ok

    def test_a_receiver_without_load_is_named(self):
        with pytest.raises(BadInput) as error:
            unit_loads([1, 0])
        assert error.value.argument == "receivers[1]"
