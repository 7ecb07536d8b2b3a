"""Copper runs against ANSI/TIA-568 and IEEE 802.3."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.channel import CATEGORIES, Span, copper, cord_allowance_m, temperature_factor
from calc.errors import BadInput

CONSTANTS = json.loads((Path(__file__).parent.parent / "reference" / "channel.json").read_text())["constants"]
GAUGES = (None, 24, 26, 28)
SPEEDS_MBPS = (10, 100, 1000, 2500, 5000, 10000, 25000, 40000)

spans = st.lists(
    st.builds(
        Span,
        length_m=st.decimals(0, 60, places=1).map(float),
        category=st.sampled_from(CATEGORIES),
        cord_awg=st.sampled_from(GAUGES),
        pairs=st.sampled_from((2, 4)),
    ),
    min_size=1,
    max_size=6,
)


def cord(length_m, awg, category="5e"):
    return Span(length_m, category, cord_awg=awg)


class TestHandWorkedRuns:
    """ANSI/TIA-568, C = (102 − H)/(1 + D), by hand: fixed + Σ cord·(1 + D) ≤ 102 and 100 m in all."""

    def test_the_reference_channel_of_the_standard_is_legal_with_margin_0(self):
        run = copper([Span(90, "5e"), cord(10, 24)], 1000)
        assert (run.length_m, run.equivalent_m) == (100, 102)
        assert (run.length_margin_m, run.equivalent_margin_m) == (0, 0)
        assert run.ok

    def test_87_m_of_cords_lose_as_much_as_105_m(self):
        run = copper([cord(1, 26), cord(60, 24), cord(25, 24), cord(1, 26)], 1000)
        assert run.length_m == 87
        assert run.equivalent_m == 105.0
        assert run.equivalent_margin_m == -3.0
        assert (run.joints, run.joints_limit) == (3, 4)  # at most four connections: from memory
        assert not run.ok

    def test_20_m_in_place_of_25_m_brings_it_within(self):
        run = copper([cord(1, 26), cord(60, 24), cord(20, 24), cord(1, 26)], 1000)
        assert run.equivalent_m == 99.0
        assert run.ok

    def test_90_m_of_26_awg_lose_as_much_as_135_m(self):
        assert copper([cord(90, 26)], 100).equivalent_m == 135

    def test_more_than_100_m_fails_even_where_the_loss_would_pass(self):
        run = copper([Span(101, "6a")], 100)
        assert run.equivalent_margin_m == 1
        assert not run.ok

    @pytest.mark.parametrize(("awg", "allowance_m"), [(24, 85.0), (26, 68.0), (28, 52.3)])
    def test_cords_alone(self, awg, allowance_m):
        """102/1.2, 102/1.5, 102/1.95; 28 AWG with D = 0.95 from memory."""
        assert cord_allowance_m(0, awg) == pytest.approx(allowance_m, abs=0.05)

    @pytest.mark.parametrize(("awg", "derating"), CONSTANTS["D"]["value"].items())
    def test_cord_derating_of_the_standard(self, awg, derating):
        """ANSI/TIA-568 and ISO/IEC 11801, cord attenuation ratio by gauge: C = (102 − H)/(1 + D) solved for D."""
        assert (102 - 42) / cord_allowance_m(42, int(awg)) - 1 == pytest.approx(derating)


class TestTemperature:
    """ANSI/TIA-568.2-D: +4 % per 10 °C from 20 to 40 °C, +6 % per 10 °C from 40 to 60 °C."""

    @pytest.mark.parametrize(
        ("temperature_c", "factor"), [(-20, 1), (20, 1), (30, 1.04), (40, 1.08), (50, 1.14), (60, 1.20)]
    )
    def test_factor(self, temperature_c, factor):
        assert temperature_factor(temperature_c) == pytest.approx(factor)

    @pytest.mark.parametrize(("temperature_c", "fixed_m"), [(20, 90.0), (30, 87.0), (40, 84.0), (50, 79.5), (60, 75.0)])
    def test_fixed_length_against_the_printed_table(self, temperature_c, fixed_m):
        """ANSI/TIA-568, annex on temperature, unscreened cable with 10 m of cords (from memory).

        The printed lengths lie up to 0.7 m above 90 m over the factor, never below it.
        """
        assert 0 <= fixed_m - 90 / temperature_factor(temperature_c) < 0.75

    @pytest.mark.parametrize("temperature_c", [-20.1, 60.1])
    def test_off_the_table_is_refused(self, temperature_c):
        with pytest.raises(BadInput) as error:
            temperature_factor(temperature_c)
        assert error.value.argument == "temperature_c"

    def test_heat_takes_from_the_equivalent_limit_alone(self):
        cold, hot = (copper([Span(95, "6a")], 1000, temperature_c) for temperature_c in (20, 60))
        assert (cold.ok, hot.ok) == (True, False)
        assert hot.equivalent_limit_m == pytest.approx(85.0)
        assert hot.length_limit_m == cold.length_limit_m

    def test_a_span_that_lies_warm_takes_as_much_as_it_loses(self):
        """Half of the run at 60 °C, where it loses a fifth more: 102 / 1.1; the run's temperature is for the rest."""
        mixed = copper([Span(40, "6a", temperature_c=60), Span(40, "6a")], 1000)
        assert mixed.equivalent_limit_m == pytest.approx(102 / 1.1)
        alone = copper([Span(40, "6a", temperature_c=60)], 1000)
        assert alone.equivalent_limit_m == copper([Span(40, "6a")], 1000, 60).equivalent_limit_m

    def test_a_warm_run_without_length_has_the_limit_of_its_warmth(self):
        assert copper([Span(0, "6a", temperature_c=60), Span(0, "6a")], 1000).equivalent_limit_m == pytest.approx(85.0)


class TestSpeed:
    @pytest.mark.parametrize(
        ("speed_mbps", "category", "reach_m"),
        [
            (1000, "5e", CONSTANTS["copper reach m"]["value"]["1000BASE-T cat5e"]),
            (2500, "5e", CONSTANTS["copper reach m"]["value"]["2.5GBASE-T cat5e"]),
            (5000, "6", CONSTANTS["copper reach m"]["value"]["5GBASE-T cat6"]),
            (10000, "6", CONSTANTS["copper reach m"]["value"]["10GBASE-T cat6"]),
            (10000, "6a", CONSTANTS["copper reach m"]["value"]["10GBASE-T cat6a"]),
            (10, "3", 100),  # this and those below from memory
            (100, "5", 100),
            (25000, "8", 30),
            (40000, "8", 30),
        ],
    )
    def test_reach_by_category(self, speed_mbps, category, reach_m):
        """IEEE 802.3 and TIA TSB-155; 2.5, 5, 25 and 40 Gb/s and categories 3 and 5 from memory."""
        assert copper([Span(reach_m, category)], speed_mbps).ok
        beyond = copper([Span(reach_m + 0.1, category)], speed_mbps)
        assert not beyond.ok
        assert beyond.max_speed_mbps is None if reach_m == 100 else beyond.max_speed_mbps < speed_mbps

    @pytest.mark.parametrize("length_m", [101, 110, 250])
    def test_beyond_100_m_the_speed_is_not_known(self, length_m):
        """ISO/IEC 11801 and IEEE 802.3 end at 100 m: what a longer run may do they do not say."""
        run = copper([Span(length_m, "6a")], 1000)
        assert (run.max_speed_mbps, run.ok) == (None, False)

    @pytest.mark.parametrize(
        ("spans", "metres"),
        [
            ([Span(110, "6a")], 10),  # 100 m is nearer than the 102 m equivalent
            ([Span(101, "6a")], 1),
            ([Span(90, "6a"), Span(10, "6a", cord_awg=24)], 0),
            ([Span(90, "6a"), Span(10, "6a", cord_awg=26)], 3),  # 105 m equivalent, 100 m long
        ],
    )
    def test_what_to_shorten_is_what_the_nearer_limit_asks(self, spans, metres):
        """ANSI/TIA-568: 100 m long, 102 m equivalent."""
        assert copper(spans, 1000).shorten_by_m == pytest.approx(metres)

    @pytest.mark.parametrize(
        ("category", "speed_mbps"), [("5e", 2500), ("6", 10000), ("6a", 10000), ("5", 1000), ("3", 10), ("8", 40000)]
    )
    def test_highest_speed_on_a_short_run(self, category, speed_mbps):
        """IEEE 802.3; categories 3, 5 and 8 from memory."""
        assert copper([Span(5, category)], 10).max_speed_mbps == speed_mbps

    def test_the_weakest_span_decides(self):
        run = copper([Span(5, "6a"), Span(5, "5e"), Span(5, "6")], 5000)
        assert (run.category, run.max_speed_mbps, run.ok) == ("5e", 2500, False)

    def test_one_pair_carries_none_of_the_speeds(self):
        run = copper([Span(5, "6a", pairs=1)], 10)
        assert (run.max_speed_mbps, run.ok) == (0, False)

    def test_two_pairs_carry_100_mbps(self):
        """100BASE-TX uses two pairs, 1000BASE-T four (IEEE 802.3 clauses 25 and 40)."""
        run = copper([Span(5, "6a"), Span(0.2, "6a", pairs=2)], 1000)
        assert (run.max_speed_mbps, run.ok) == (100, False)

    @pytest.mark.parametrize("written", ["6a", "6A", "cat6a", "Cat 6A", "category 6a", "CAT.6A"])
    def test_a_category_may_be_written_as_on_the_reel(self, written):
        run = copper([Span(80, written)], 10000)
        assert (run.category, run.ok) == (written, True)


class TestLaws:
    @given(spans, st.permutations(range(6)))
    def test_the_order_of_the_spans_does_not_matter(self, run, order):
        other = [run[place] for place in order if place < len(run)]
        first, second = copper(run, 100), copper(other, 100)
        assert (first.length_m, first.equivalent_m, first.max_speed_mbps, first.ok) == (
            second.length_m,
            second.equivalent_m,
            second.max_speed_mbps,
            second.ok,
        )

    @given(spans)
    def test_equivalent_length_by_hand(self, run):
        by_hand = sum(span.length_m * {None: 1, 24: 1.2, 26: 1.5, 28: 1.95}[span.cord_awg] for span in run)
        assert copper(run, 100).equivalent_m == pytest.approx(by_hand)

    @given(spans, spans)
    def test_a_longer_run_is_never_better(self, run, more):
        short, long = copper(run, 1000), copper(run + more, 1000)
        assert long.equivalent_margin_m <= short.equivalent_margin_m
        assert short.max_speed_mbps is not None or long.max_speed_mbps is None
        assert (long.max_speed_mbps or 0) <= (short.max_speed_mbps or 0)
        assert short.ok or not long.ok

    @given(spans, st.floats(-20, 60), st.floats(-20, 60))
    def test_a_hotter_run_is_never_better(self, run, one_c, other_c):
        cool, hot = (copper(run, 100, temperature_c) for temperature_c in sorted((one_c, other_c)))
        assert hot.equivalent_margin_m <= cool.equivalent_margin_m

    @given(st.floats(0, 102), st.sampled_from((24, 26, 28)))
    def test_an_allowance_used_up_leaves_margin_0(self, fixed_m, awg):
        run = copper([Span(fixed_m, "6a"), cord(cord_allowance_m(fixed_m, awg), awg)], 100)
        assert run.equivalent_margin_m == pytest.approx(0, abs=1e-8)

    @given(spans, st.sampled_from(SPEEDS_MBPS))
    def test_ok_is_what_its_parts_say(self, run, speed_mbps):
        result = copper(run, speed_mbps)
        within = result.length_margin_m >= 0 and result.equivalent_margin_m >= 0
        assert result.ok == (within and result.max_speed_mbps is not None and speed_mbps <= result.max_speed_mbps)

    def test_tenths_of_a_metre_do_not_tip_the_limit(self):
        """0.1 has no exact binary form: a thousand of them are exactly 100 m to whoever laid them."""
        assert copper([Span(0.1, "6a")] * 1000, 1000).length_margin_m == 0


@pytest.mark.parametrize(
    ("run", "argument"),
    [
        ([], "spans"),
        ([Span(5, "6"), Span(-1, "6")], "spans[1].length_m"),
        ([Span(float("nan"), "6")], "spans[0].length_m"),
        ([Span(5, "9")], "spans[0].category"),
        ([Span(5, None)], "spans[0].category"),
        ([Span(5, "6", cord_awg=25)], "spans[0].cord_awg"),
        ([Span(5, "6", pairs=0)], "spans[0].pairs"),
        ([Span(5, "6", temperature_c=61)], "spans[0].temperature_c"),
        ([Span(5, "6", temperature_c=float("nan"))], "spans[0].temperature_c"),
        ([Span(5, "6", pairs=5)], "spans[0].pairs"),
    ],
)
def test_a_span_that_cannot_be_is_named(run, argument):
    with pytest.raises(BadInput) as error:
        copper(run, 1000)
    assert error.value.argument == argument


@pytest.mark.parametrize("speed_mbps", [0, 54, 1001, -100])
def test_a_speed_that_the_standard_does_not_have_is_named(speed_mbps):
    with pytest.raises(BadInput) as error:
        copper([Span(5, "6")], speed_mbps)
    assert error.value.argument == "speed_mbps"


@pytest.mark.parametrize(("fixed_m", "awg", "argument"), [(102.1, 24, "fixed_m"), (80, 22, "awg"), (80, 27, "awg")])
def test_an_allowance_off_the_table_is_refused(fixed_m, awg, argument):
    with pytest.raises(BadInput) as error:
        cord_allowance_m(fixed_m, awg)
    assert error.value.argument == argument
