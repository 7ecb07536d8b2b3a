"""One device at the end of one run, worked by hand.

26 AWG has 0.1339 Ω/m and 24 AWG 0.08421 Ω/m at 20 °C (ASTM B258 diameters, copper of IEC 60228). The loop of a pairset
is one conductor's ohms times the length, since two run in parallel each way. 45 °C: 1 + 0.00393·25 = 1.09825.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.poe import PoeChannel, PoeDevice, PoePort, class_limits, link

NINETY_METRES_OF_26_AWG = 90 * 0.1339


def longest(poe_class):
    """The standard's own longest channel, at the temperature at which its ohms are stated."""
    return PoeChannel(class_limits(poe_class).channel_ohm, temperature_c=20)


def test_a_booth_box_is_fed_over_a_drum():
    """20.78 W over 1 m of 26, 50 m of 24 and 1 m of 26 AWG at 45 °C: 4.918 Ω, 0.4341 A, 21.7 W leave, 47.9 V arrive."""
    run = PoeChannel(2 * 0.1339 + 50 * 0.08421)
    answer = link(PoeDevice("booth box", 4, draw_w=20.78), PoePort("1", 4), run)
    assert answer.loop_ohm == pytest.approx(4.918, abs=0.0005)
    assert answer.current_a == pytest.approx(0.4341, abs=0.00005)
    assert answer.source_w == pytest.approx(21.7, abs=0.05)
    assert answer.device_v == pytest.approx(47.9, abs=0.05)
    assert answer.delivered_w == pytest.approx(20.78)
    assert answer.granted_class == 4
    assert answer.margin_w == pytest.approx(25.5 - 20.78)
    assert answer.ok


def test_a_booth_box_that_feeds_a_camera_of_class_3_asks_too_much():
    """13 + 15.4/0.9 = 30.1 W against 25.5 W: 4.6 W short, however good the copper."""
    answer = link(PoeDevice("booth box", 4, draw_w=13 + 15.4 / 0.9), PoePort("1", 4), PoeChannel(4.478))
    assert answer.margin_w == pytest.approx(-4.6, abs=0.05)
    assert not answer.ok


def test_ninety_metres_of_thin_cord_carry_class_4_while_cold():
    answer = link(PoeDevice("camera", 4), PoePort("1", 4), PoeChannel(NINETY_METRES_OF_26_AWG, temperature_c=20))
    assert answer.current_a == pytest.approx(0.5955, abs=0.00005)
    assert answer.source_w == pytest.approx(29.77, abs=0.005)
    assert answer.device_v == pytest.approx(42.82, abs=0.005)
    assert (answer.ok, answer.margin_w) == (True, 0)


def test_the_same_cord_in_the_sun_does_not():
    answer = link(PoeDevice("camera", 4), PoePort("1", 4), PoeChannel(NINETY_METRES_OF_26_AWG, temperature_c=45))
    assert answer.current_a == pytest.approx(0.6078, abs=0.00005)
    assert answer.source_w == pytest.approx(30.39, abs=0.005)
    assert answer.source_w > answer.source_limit_w == 30
    assert answer.device_v == pytest.approx(41.96, abs=0.005)
    assert answer.device_v < answer.min_device_v == 42.5
    # 30 W at 50 V are 0.6 A; 0.36·13.235 are lost, 25.235 W arrive.
    assert answer.margin_w == pytest.approx(30 - 0.36 * 13.235 - 25.5, abs=0.0005)
    assert not answer.ok


def test_copper_is_taken_as_hot_where_nobody_says():
    assert PoeChannel(1).temperature_c == 45


@pytest.mark.parametrize("poe_class", range(9))
def test_the_standards_own_worst_case_works_with_nothing_to_spare(poe_class):
    answer = link(PoeDevice("device", poe_class), PoePort("1", poe_class), longest(poe_class))
    assert answer.ok
    assert answer.margin_w == 0


def test_a_demoted_device_says_what_it_lacks():
    """Class 4 on a port of 15.4 W: gets 12.95 W, asks 25.5 W."""
    answer = link(PoeDevice("camera", 4), PoePort("1", 3), PoeChannel(1))
    assert (answer.granted_class, answer.reduced, answer.ok) == (3, True, False)
    assert answer.delivered_w == pytest.approx(12.95)
    assert answer.margin_w == pytest.approx(12.95 - 25.5)


def test_a_small_draw_does_not_make_up_for_a_class_that_nobody_has_vouched_for():
    """A meter reading below 12.95 W is not the word that the camera starts on class 3."""
    assert not link(PoeDevice("camera", 4, draw_w=8), PoePort("1", 3), PoeChannel(1)).ok


def test_a_demoted_device_that_is_known_to_run_so_is_fine():
    answer = link(PoeDevice("camera", 4, reduced_class_ok=3), PoePort("1", 3), PoeChannel(1))
    assert (answer.granted_class, answer.reduced, answer.ok, answer.margin_w) == (3, True, True, 0)


def test_two_pairs_carry_no_more_than_class_4():
    over_two = link(PoeDevice("light", 6), PoePort("1", 8), PoeChannel(1, pairs=2))
    over_four = link(PoeDevice("light", 6), PoePort("1", 8), PoeChannel(1))
    assert (over_two.granted_class, over_four.granted_class) == (4, 6)
    assert over_four.loop_ohm == pytest.approx(over_two.loop_ohm / 2)


def test_a_port_that_grants_nothing_delivers_nothing():
    answer = link(PoeDevice("camera", 3), PoePort("1", 2), PoeChannel(1))
    assert (answer.granted_class, answer.ok) == (None, False)
    assert (answer.delivered_w, answer.device_v, answer.current_a, answer.source_w) == (0, 0, 0, 0)
    assert answer.margin_w == -12.95


def test_a_run_that_no_current_can_serve_is_an_answer():
    """50 V into 100 Ω: at most 50²/400 = 6.25 W, at half the volts."""
    answer = link(PoeDevice("camera", 4), PoePort("1", 4), PoeChannel(100, temperature_c=20))
    assert not answer.ok
    assert answer.delivered_w == pytest.approx(6.25)
    assert answer.device_v == pytest.approx(25)
    assert answer.margin_w == pytest.approx(6.25 - 25.5)


def test_a_48_volt_brick_leaves_a_class_4_device_below_its_volts_over_a_long_run():
    """48 V, 12.5 Ω, 25.5 W: 0.6369 A, 40.04 V."""
    answer = link(PoeDevice("camera", 4), PoePort("1", 4, source_v=48), longest(4))
    assert answer.current_a == pytest.approx(0.6369, abs=0.00005)
    assert answer.device_v == pytest.approx(40.04, abs=0.005)
    assert not answer.ok


@given(
    poe_class=st.integers(0, 8),
    port_class=st.integers(0, 8),
    draw_w=st.none() | st.floats(0, 200),
    source_v=st.none() | st.floats(1, 60),
    ohm=st.floats(0, 1000),
    temperature_c=st.floats(-40, 90),
    pairs=st.sampled_from([2, 4]),
)
def test_nothing_that_can_be_plugged_together_is_an_error(
    poe_class, port_class, draw_w, source_v, ohm, temperature_c, pairs
):
    channel = PoeChannel(ohm, temperature_c, pairs)
    answer = link(PoeDevice("device", poe_class, draw_w), PoePort("1", port_class, source_v), channel)
    assert answer.delivered_w == pytest.approx(answer.device_v * answer.current_a, abs=1e-9)
    lost_w = answer.current_a**2 * answer.loop_ohm
    assert answer.source_w == pytest.approx(answer.delivered_w + lost_w, abs=1e-6)
    if answer.ok:
        assert answer.margin_w >= 0
        assert answer.device_v >= answer.min_device_v - 1e-9
        assert answer.source_w <= answer.source_limit_w + 1e-6
        assert answer.delivered_w == pytest.approx(answer.needed_w)


@given(poe_class=st.integers(0, 8), ohm=st.floats(0, 30), more_ohm=st.floats(0, 30), warmer=st.floats(0, 40))
def test_longer_and_hotter_is_never_better(poe_class, ohm, more_ohm, warmer):
    device, port = PoeDevice("device", poe_class), PoePort("1", 8)
    short, long = link(device, port, PoeChannel(ohm)), link(device, port, PoeChannel(ohm + more_ohm, 45 + warmer))
    assert long.margin_w <= short.margin_w + 1e-9
    assert long.device_v <= short.device_v + 1e-9
    assert short.ok or not long.ok


@pytest.mark.parametrize(
    ("argument", "device", "port", "channel"),
    [
        ("poe_class", PoeDevice("d", 9), PoePort("1", 4), PoeChannel(1)),
        ("poe_class", PoeDevice("d", None), PoePort("1", 4), PoeChannel(1)),
        ("draw_w", PoeDevice("d", 4, draw_w=-1), PoePort("1", 4), PoeChannel(1)),
        ("reduced_class_ok", PoeDevice("d", 3, reduced_class_ok=4), PoePort("1", 4), PoeChannel(1)),
        ("max_class", PoeDevice("d", 4), PoePort("1", None), PoeChannel(1)),
        ("source_v", PoeDevice("d", 4), PoePort("1", 4, source_v=0), PoeChannel(1)),
        ("loop_ohm_20c", PoeDevice("d", 4), PoePort("1", 4), PoeChannel(-1)),
        ("temperature_c", PoeDevice("d", 4), PoePort("1", 4), PoeChannel(1, temperature_c=-300)),
        ("pairs", PoeDevice("d", 4), PoePort("1", 4), PoeChannel(1, pairs=1)),
    ],
)
def test_what_nothing_has_is_refused(argument, device, port, channel):
    with pytest.raises(BadInput) as caught:
        link(device, port, channel)
    assert caught.value.argument == argument
