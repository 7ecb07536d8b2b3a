"""Which device goes into which hole: cases worked by hand, and laws that hold whatever is plugged."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.poe import PoeDevice, PoePort, PoeSource, allocate, allotted_w


def source(name, budget_w, *classes, allotment="class"):
    return PoeSource(name, budget_w, [PoePort(str(place), one) for place, one in enumerate(classes, 1)], allotment)


def devices(*classes, **more):
    return [PoeDevice(f"d{place}", one, **more) for place, one in enumerate(classes, 1)]


FOUR_OF_4 = (4, 4, 4, 4)
TWO_SOURCES = (source("A", 55, *FOUR_OF_4), source("B", 55, *FOUR_OF_4))


class TestTwoSourcesAreNotOne:
    """55 W each, four ports of class 4 each, counting by class: 30.0 and 15.4 W."""

    def test_ninety_of_a_hundred_and_ten_watts_do_not_fit(self):
        answer = allocate(TWO_SOURCES, devices(4, 4, 4))
        assert answer.placed == {"d1": ("A", "1"), "d2": ("B", "1")}
        assert answer.unplaced == ["d3"]
        assert answer.watts_left == {"A": 25.0, "B": 25.0}
        assert not answer.any_order_ok
        assert answer.worst_plugging == -35.0  # all three on one: 55 - 90
        assert answer.proven

    def test_four_fit_in_one_order_only(self):
        answer = allocate(TWO_SOURCES, devices(4, 4, 3, 3))
        assert len(answer.placed) == 4
        assert answer.watts_left == {"A": 9.6, "B": 9.6}  # 55 - 45.4
        assert not answer.any_order_ok
        assert answer.worst_plugging == -35.8  # all on one: 55 - 90.8
        assert answer.proven

    def test_by_measured_draw_three_fit_on_one(self):
        """16 W at 50 V over 12.5 Ω: (50 - √(2500 - 800))/25 = 0.3508 A, 17.54 W leave."""
        sources = [source("A", 55, *FOUR_OF_4, allotment="measured")]
        answer = allocate(sources, devices(4, 4, 4, draw_w=16))
        assert answer.unplaced == []
        assert answer.watts_left["A"] == pytest.approx(55 - 3 * 17.54, abs=0.02)
        assert answer.any_order_ok
        assert answer.worst_plugging == answer.watts_left["A"]

    def test_a_larger_second_source_still_leaves_a_wrong_order(self):
        sources = [source("A", 65, *FOUR_OF_4), source("B", 120, *FOUR_OF_4)]
        answer = allocate(sources, devices(4, 4, 4, 4, 3))
        assert answer.unplaced == []
        assert not answer.any_order_ok
        assert answer.worst_plugging == -55.0  # four of class 4 on A: 65 - 120


class TestOneDeviceOfAnUnknownClass:
    """65 W, three of class 3 are 46.2 W: with a class 1 at least 50.2, with the port's class 4 at most 76.2."""

    @pytest.mark.parametrize(("poe_class", "margin_w"), [(1, 14.8), (2, 11.8), (4, -11.2)])
    def test_each_end_has_its_answer(self, poe_class, margin_w):
        answer = allocate([source("A", 65, *FOUR_OF_4)], devices(3, 3, 3, poe_class))
        assert answer.worst_plugging == margin_w
        assert answer.any_order_ok == (margin_w >= 0)
        assert answer.unplaced == ([] if margin_w >= 0 else ["d4"])

    def test_not_known_is_refused(self):
        with pytest.raises(BadInput) as caught:
            allocate([source("A", 65, *FOUR_OF_4)], devices(3, None))
        assert caught.value.argument == "poe_class"


class TestWhatCounts:
    def test_a_budget_may_be_filled_to_the_brim(self):
        """Three times 15.4 is not 46.2 in binary fractions."""
        answer = allocate([source("A", 46.2, 4, 4, 4)], devices(3, 3, 3))
        assert answer.watts_left == {"A": 0.0}
        assert (answer.any_order_ok, answer.worst_plugging) == (True, 0.0)

    def test_the_desk_goes_before_the_cameras(self):
        desk = PoeDevice("desk", 4, priority=1)
        answer = allocate([source("A", 31, *FOUR_OF_4)], [*devices(3, 3), desk])
        assert list(answer.placed) == ["desk"]
        assert answer.unplaced == ["d1", "d2"]

    def test_then_numbers_then_watts(self):
        answer = allocate([source("A", 40, *FOUR_OF_4)], devices(4, 3, 2, 3))
        assert sorted(answer.placed) == ["d2", "d3", "d4"]
        assert answer.watts_left == {"A": 2.2}

    def test_at_equal_watts_the_earlier_name_is_placed(self):
        """Either takes 30 W on A; that the second could run on class 3 does not help, since B cannot feed it."""
        sources = [source("A", 30, 4), source("B", 10, 3)]
        either = [PoeDevice("d1", 4), PoeDevice("d2", 4, reduced_class_ok=3)]
        assert allocate(sources, either).placed == {"d1": ("A", "1")}
        swapped = [PoeDevice("d2", 4), PoeDevice("d1", 4, reduced_class_ok=3)]
        assert allocate(sources, swapped).placed == {"d1": ("A", "1")}

    def test_two_comes_before_ten(self):
        some = [PoeDevice(name, 4) for name in ("camera 10", "camera 2", "camera 1")]
        assert allocate([source("A", 60, *FOUR_OF_4)], some).unplaced == ["camera 10"]

    @pytest.mark.parametrize(
        ("allotment", "draw_w", "expected_w"),
        [
            ("class", 16, 30.0),
            ("measured", 16, 17.54),
            ("negotiated", 16, 17.54),
            ("negotiated", 15.91, 17.54),  # asked for in steps of 0.1 W
            ("measured", 15.91, 17.43),  # (50 - √(2500 - 795.5))/25 = 0.34858 A
            ("measured", None, 30.0),
            ("negotiated", None, 30.0),
            ("measured", 0, 0.0),
        ],
    )
    def test_a_source_counts_by_its_own_rule(self, allotment, draw_w, expected_w):
        """Class 4: 30 W at the source, 12.5 Ω at 50 V (IEEE 802.3 clause 33); the rules are common practice."""
        assert allotted_w(PoeDevice("d", 4, draw_w), 4, allotment) == pytest.approx(expected_w, abs=0.005)

    def test_a_demoted_device_counts_for_no_more_than_it_is_granted(self):
        assert allotted_w(PoeDevice("d", 4, 16, reduced_class_ok=3), 3, "measured") == pytest.approx(15.4)


class TestPortsOfALowerClass:
    def test_one_that_runs_reduced_may_stand_there_and_takes_less(self):
        answer = allocate([source("A", 50, 3, 4)], devices(4, reduced_class_ok=3))
        assert answer.placed == {"d1": ("A", "1")}
        assert answer.watts_left == {"A": 34.6}

    @pytest.mark.parametrize("reduced_class_ok", [None, 4])
    def test_one_that_does_not_or_may_not_needs_its_class(self, reduced_class_ok):
        assert allocate([source("A", 50, 3, 4)], devices(4, reduced_class_ok=reduced_class_ok)).placed == {
            "d1": ("A", "2")
        }
        assert allocate([source("A", 50, 3)], devices(4, reduced_class_ok=reduced_class_ok)).unplaced == ["d1"]

    def test_a_plugging_counts_what_each_port_grants(self):
        """Class 4 twice on a port of class 3 and one of class 4: 15.4 + 30.0."""
        answer = allocate([source("A", 40, 3, 4)], devices(4, 4, reduced_class_ok=3))
        assert answer.worst_plugging == -5.4

    def test_any_order_asks_whether_devices_run(self):
        roomy = [source("A", 100, 3, 4)]
        runs, unsaid, fails = (
            allocate(roomy, [*devices(4, reduced_class_ok=lowest), PoeDevice("e", 3)]) for lowest in (3, None, 4)
        )
        assert (runs.any_order_ok, runs.reduced_unknown) == (True, [])
        assert (unsaid.any_order_ok, unsaid.reduced_unknown) == (True, ["d1"])
        assert (fails.any_order_ok, fails.reduced_unknown) == (False, [])

    def test_a_port_without_power_for_a_device_is_a_wrong_hole(self):
        answer = allocate([source("A", 100, 2, 4)], devices(3))
        assert answer.placed == {"d1": ("A", "2")}
        assert not answer.any_order_ok


class TestEdges:
    def test_more_devices_than_ports_have_no_complete_plugging(self):
        answer = allocate([source("A", 100, 4)], devices(1, 1))
        assert (answer.any_order_ok, answer.worst_plugging) == (False, None)
        assert answer.placed == {"d1": ("A", "1")}

    def test_nothing_to_plug(self):
        answer = allocate(TWO_SOURCES, [])
        assert (answer.placed, answer.unplaced, answer.any_order_ok, answer.worst_plugging) == ({}, [], True, 55.0)

    def test_nothing_to_plug_into(self):
        answer = allocate([], devices(4))
        assert (answer.placed, answer.unplaced, answer.any_order_ok, answer.worst_plugging) == ({}, ["d1"], False, None)
        assert allocate([], []).any_order_ok

    @pytest.mark.parametrize(
        ("argument", "sources", "some"),
        [
            ("sources", [source("A", 55, 4), source("A", 55, 4)], []),
            ("ports", [PoeSource("A", 55, [PoePort("1", 4), PoePort("1", 4)])], []),
            ("devices", [], [PoeDevice("d", 4), PoeDevice("d", 3)]),
            ("budget_w", [source("A", -1, 4)], []),
            ("budget_w", [source("A", None, 4)], []),
            ("budget_w", [source("A", float("inf"), 4)], []),
            ("allotment", [source("A", 55, 4, allotment="unknown")], []),
            ("max_class", [source("A", 55, 9)], []),
            ("poe_class", [], devices(9)),
            ("draw_w", [], devices(4, draw_w=-1)),
            ("draw_w", [], devices(4, draw_w=25.6)),
            ("reduced_class_ok", [], devices(3, reduced_class_ok=4)),
            ("priority", [], devices(3, priority=0.5)),
        ],
    )
    def test_what_nothing_has_is_refused(self, argument, sources, some):
        with pytest.raises(BadInput) as caught:
            allocate(sources, some)
        assert caught.value.argument == argument


@st.composite
def cases(draw):
    sources = [
        source(
            f"s{place}",
            draw(st.sampled_from([30, 46.2, 55, 65, 120, 200])),
            *draw(st.lists(st.sampled_from([3, 4, 6, 8]), max_size=4)),
            allotment=draw(st.sampled_from(["class", "negotiated", "measured"])),
        )
        for place in range(draw(st.integers(1, 3)))
    ]
    some = [
        PoeDevice(
            f"d{place}",
            poe_class=draw(st.integers(3, 8)),
            draw_w=draw(st.none() | st.floats(0, 12.95)),
            reduced_class_ok=draw(st.sampled_from([None, 3])),
            priority=draw(st.integers(0, 1)),
        )
        for place in range(draw(st.integers(0, 6)))
    ]
    return sources, some


@given(case=cases(), seed=st.integers(0, 1000))
def test_the_order_in_which_things_are_listed_does_not_matter(case, seed):
    sources, some = case
    random = Random(seed)
    shuffled = [
        PoeSource(each.name, each.budget_w, random.sample(each.ports, len(each.ports)), each.allotment)
        for each in random.sample(sources, len(sources))
    ]
    assert allocate(shuffled, random.sample(some, len(some))) == allocate(sources, some)


def placed_by_priority(answer, some):
    return [sum(device.name in answer.placed for device in some if device.priority == one) for one in (1, 0)]


@given(case=cases(), more_w=st.floats(0, 100))
def test_more_watts_never_place_fewer(case, more_w):
    sources, some = case
    richer = [PoeSource(each.name, each.budget_w + more_w, each.ports, each.allotment) for each in sources]
    before, after = allocate(sources, some), allocate(richer, some)
    assert placed_by_priority(after, some) >= placed_by_priority(before, some)
    if before.worst_plugging is not None:
        assert after.worst_plugging == pytest.approx(before.worst_plugging + more_w, abs=2e-6)
    assert after.any_order_ok or not before.any_order_ok


@given(case=cases())
def test_when_any_order_works_all_are_placed_and_nothing_is_overdrawn(case):
    """Where nobody has said whether a device runs reduced, it is placed by its class and may be left out."""
    answer = allocate(*case)
    if answer.any_order_ok and not answer.reduced_unknown:
        assert answer.unplaced == []
    if answer.any_order_ok and answer.worst_plugging is not None:
        assert answer.worst_plugging >= 0
    assert all(left >= 0 for left in answer.watts_left.values())


@pytest.mark.parametrize("allotment", ["class", "negotiated", "measured"])
@pytest.mark.parametrize("seed", range(3))
def test_twelve_sources_and_sixty_devices_are_settled(allotment, seed):
    """Full to the last watt: what is left in all would not feed the smallest device that is left out."""
    random = Random(seed)
    sources = [source(f"s{place}", random.choice([65, 90]), *[8] * 8, allotment=allotment) for place in range(12)]
    some = [
        PoeDevice(f"d{place}", one, draw_w=random.randint(30, 129) / 10)
        for place, one in enumerate(random.choices([3, 4], k=60))
    ]
    answer = allocate(sources, some)
    assert answer.proven
    by_name = {device.name: device for device in some}
    smallest = min(
        (allotted_w(by_name[name], by_name[name].poe_class, allotment) for name in answer.unplaced), default=0
    )
    assert not answer.unplaced or max(answer.watts_left.values()) < smallest
