"""Who gets which unit: cases worked by hand, one for each stage, and laws that hold whatever is asked."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from calc.errors import BadInput
from calc.intervals import Request, assign, peak_overlap
from calc.intervals.board import Board
from calc.intervals.counting import worst_excess

AB = ("A", "B")


class TestStages:
    def test_a_free_unit_is_taken_in_the_order_of_the_pool(self):
        answer = assign([Request("new", 1, 3, {"A", "B", "C"})], ["C", "A", "B"])
        assert (answer.assigned, answer.unplaced, answer.proof, answer.moves) == ({"new": "C"}, [], "free", 0)

    def test_back_to_back_shares_a_unit(self):
        requests = [Request("early", 9, 10, AB, now_on="A"), Request("late", 10, 11, ["A"])]
        assert assign(requests, AB).assigned == {"early": "A", "late": "A"}

    def test_monday_and_tuesday_make_room_for_both_days(self):
        """Two units, one taken on Monday, the other on Tuesday: a third request for both days costs one move."""
        standing = [Request("Monday", 0, 1, AB, now_on="A"), Request("Tuesday", 1, 2, AB, now_on="B")]
        answer = assign([*standing, Request("both", 0, 2, AB)], AB)
        assert answer.assigned["Monday"] == answer.assigned["Tuesday"] != answer.assigned["both"]
        assert (answer.unplaced, answer.proof, answer.moves, answer.largest) == ([], "exact", 1, True)

    def test_two_for_both_days_are_refused_by_counting(self):
        standing = [Request("Monday", 0, 1, AB, now_on="A"), Request("Tuesday", 1, 2, AB, now_on="B")]
        answer = assign([*standing, Request("both", 0, 2, AB), Request("too many", 0, 2, AB)], AB)
        assert (answer.unplaced, answer.proof, answer.largest) == (["too many"], "bound", True)

    def test_picked_units_make_no_room(self):
        standing = [Request("Monday", 0, 1, AB, fixed="A"), Request("Tuesday", 1, 2, AB, fixed="B")]
        answer = assign([*standing, Request("both", 0, 2, AB)], AB)
        assert (answer.unplaced, answer.proof) == (["both"], "bound")

    def test_a_refusal_that_counting_does_not_see(self):
        """At each instant two are wanted and two would do; but on A the newcomer meets one, on B the other."""
        standing = [Request("on A", 0, 4, ["A"], now_on="A"), Request("on B", 4, 8, ["B"], now_on="B")]
        answer = assign([*standing, Request("new", 2, 6, AB)], AB)
        assert (answer.unplaced, answer.proof, answer.largest) == (["new"], "exact", True)

    def test_a_chain_of_rivals_is_followed(self):
        """The newcomer takes A, whose holder can only go to B, whose holder can only go to C."""
        requests = [
            Request("on A", 0, 5, AB, now_on="A"),
            Request("on B", 0, 5, ["B", "C"], now_on="B"),
            Request("new", 0, 5, ["A"]),
        ]
        answer = assign(requests, ["A", "B", "C"])
        assert answer.assigned == {"new": "A", "on A": "B", "on B": "C"}
        assert (answer.proof, answer.moves, answer.moved) == ("exact", 2, ["on A", "on B"])

    def test_one_long_rival_moves_rather_than_three_short_ones(self):
        requests = [
            *(Request(f"short {day}", day, day + 1, ["A", "C"], now_on="A") for day in range(3)),
            Request("long", 0, 3, ["B", "C"], now_on="B"),
            Request("new", 0, 3, AB),
        ]
        answer = assign(requests, ["A", "B", "C"])
        assert (answer.assigned["new"], answer.assigned["long"], answer.moves) == ("B", "C", 1)


class TestFacts:
    def test_a_fixed_request_stays_whatever_would_do(self):
        answer = assign([Request("out", 0, 5, [], fixed="A"), Request("new", 4, 6, AB)], AB)
        assert answer.assigned == {"out": "A", "new": "B"}

    def test_a_fixed_unit_need_not_be_in_the_pool(self):
        answer = assign([Request("out", 0, 5, [], fixed="elsewhere", now_on="elsewhere")], AB)
        assert (answer.assigned, answer.moves) == ({"out": "elsewhere"}, 0)

    def test_a_fixed_request_on_another_unit_than_now_counts_as_moved(self):
        answer = assign([Request("swapped", 0, 5, AB, fixed="A", now_on="B")], AB)
        assert (answer.moves, answer.moved) == (1, ["swapped"])

    def test_of_fixed_requests_that_clash_the_most_are_kept_and_the_unit_stays_blocked(self):
        requests = [
            Request("long", 0, 10, [], fixed="A"),
            Request("early", 0, 3, [], fixed="A"),
            Request("late", 3, 6, [], fixed="A"),
            Request("new", 8, 9, ["A"]),
        ]
        answer = assign(requests, ["A"])
        assert answer.assigned == {"early": "A", "late": "A"}
        assert (answer.unplaced, answer.proof) == (["long", "new"], "bound")

    def test_two_on_one_unit_are_told_apart_with_one_move(self):
        clash = [Request("one", 0, 5, AB, now_on="A"), Request("other", 3, 8, AB, now_on="A")]
        answer = assign(clash, AB)
        assert sorted(answer.assigned.values()) == ["A", "B"]
        assert (answer.proof, answer.moves) == ("exact", 1)

    def test_of_two_on_one_unit_the_one_that_disturbs_nobody_moves(self):
        """B is held: to go there costs two moves, to go to the free F one."""
        requests = [
            Request("could go to F", 0, 5, ["A", "F"], now_on="A"),
            Request("could go to B", 0, 5, ["A", "B"], now_on="A"),
            Request("on B", 0, 5, ["B", "C"], now_on="B"),
        ]
        answer = assign(requests, ["A", "B", "C", "F"])
        assert (answer.moved, answer.proof) == (["could go to F"], "exact")

    def test_a_unit_that_has_left_the_pool_is_a_move(self):
        answer = assign([Request("r", 0, 5, ["gone", "A"], now_on="gone")], AB)
        assert (answer.assigned, answer.moved, answer.proof) == ({"r": "A"}, ["r"], "free")

    def test_who_has_a_unit_is_not_left_out_for_a_newcomer(self):
        answer = assign([Request("new", 0, 5, ["A"]), Request("old", 0, 5, ["A"], now_on="A")], ["A"])
        assert (answer.assigned, answer.unplaced) == ({"old": "A"}, ["new"])

    def test_two_short_newcomers_outnumber_one_long_request(self):
        """The largest set is asked for; who must keep everybody asks for the newcomers one by one."""
        requests = [
            Request("old", 0, 6, ["A"], now_on="A"),
            *(Request(f"new {day}", day, day + 2, ["A"]) for day in (0, 2, 4)),
        ]
        answer = assign(requests, ["A"])
        assert (answer.unplaced, answer.largest) == (["old"], True)

    def test_nothing_asked(self):
        answer = assign([], AB)
        assert (answer.assigned, answer.unplaced, answer.proof, answer.moves) == ({}, [], "free", 0)

    def test_no_units(self):
        answer = assign([Request("r", 0, 1, AB)], [])
        assert (answer.assigned, answer.unplaced, answer.proof) == ({}, ["r"], "bound")

    @pytest.mark.parametrize(
        ("argument", "requests", "units"),
        [
            ("requests", [Request("r", 0, 1, AB), Request("r", 1, 2, AB)], AB),
            ("units", [], ["A", "A"]),
            ("starts_at", [Request("r", 1, 1, AB)], AB),
            ("starts_at", [Request("r", 2, 1, AB)], AB),
            ("starts_at", [Request("r", 0, 1, AB), Request("s", datetime(2027, 1, 1, tzinfo=UTC), 2, AB)], AB),
        ],
    )
    def test_what_cannot_be_is_refused(self, argument, requests, units):
        with pytest.raises(BadInput) as caught:
            assign(requests, units)
        assert caught.value.argument == argument

    def test_ids_and_units_may_be_anything_that_hashes(self):
        when = datetime(2027, 5, 1, 8, tzinfo=UTC)
        request = Request(("claim", 7), when, when + timedelta(hours=8), frozenset({4, (4, "b")}))
        assert assign([request], [3, (4, "b")]).assigned == {("claim", 7): (4, "b")}


@st.composite
def pools(draw):
    """Up to five units and nine requests, some standing, some fixed, some clashing."""
    units = draw(st.permutations([f"u{number}" for number in range(draw(st.integers(1, 5)))]))
    requests = []
    for number in range(draw(st.integers(0, 9))):
        start = draw(st.integers(0, 10))
        acceptable = draw(st.sets(st.sampled_from(units))) if draw(st.booleans()) else set(units)
        requests.append(
            Request(
                f"r{number}",
                start,
                start + draw(st.integers(1, 6)),
                acceptable,
                fixed=draw(st.sampled_from([None] * 9 + [units[0]])),
                now_on=draw(st.sampled_from([None, None, *units])),
            )
        )
    return requests, units


def value(answer):
    return len(answer.assigned), -answer.moves if not answer.unplaced else None


@given(pool=pools(), hours=st.integers(-10_000, 10_000))
def test_shifted_in_time_the_answer_is_the_same(pool, hours):
    requests, units = pool
    start = datetime(2027, 5, 1, tzinfo=UTC)

    def at(hour):
        return start + timedelta(hours=hour + hours)

    shifted = [replace(request, starts_at=at(request.starts_at), ends_at=at(request.ends_at)) for request in requests]
    event(assign(requests, units).proof)
    assert assign(shifted, units) == assign(requests, units)


@given(pool=pools(), seed=st.integers(0, 1000))
def test_ids_and_the_order_of_asking_do_not_change_what_it_is_worth(pool, seed):
    requests, units = pool
    renamed = [replace(request, id=number) for number, request in enumerate(requests)]
    answer = assign(requests, units)
    assert list(assign(renamed, units).assigned.values()) == list(answer.assigned.values())
    shuffled = Random(seed).sample(requests, len(requests))
    assert value(assign(shuffled, units)) == value(answer)


@given(pool=pools())
def test_one_more_unit_is_never_worse(pool):
    requests, units = pool
    wider = [replace(request, acceptable={*request.acceptable, "more"}) for request in requests]
    before, after = assign(requests, units), assign(wider, [*units, "more"])
    assert len(after.assigned) >= len(before.assigned)
    if not before.unplaced:
        assert after.moves <= before.moves


@given(pool=pools())
def test_counting_never_refuses_what_fits(pool):
    board = Board(*pool)
    answer = assign(*pool)
    excess = worst_excess(board, list(board.demands))
    left_out = [name for name in answer.unplaced if name not in {pool[0][place].id for place in board.lost}]
    assert excess is None or len(left_out) >= excess.number
    assert (answer.proof == "bound") <= (excess is not None or bool(board.lost))


@given(
    periods=st.lists(st.tuples(st.integers(0, 30), st.integers(1, 8)), max_size=40),
    spare=st.integers(-1, 1),
)
def test_alike_units_suffice_exactly_from_the_peak_on(periods, spare):
    """Kleinberg and Tardos, interval partitioning: as many units as the peak, and no fewer."""
    intervals = [(start, start + length) for start, length in periods]
    units = range(max(peak_overlap(intervals) + spare, 0))
    requests = [Request(number, start, end, units) for number, (start, end) in enumerate(intervals)]
    answer = assign(requests, units)
    assert (answer.unplaced == []) == (spare >= 0 or not intervals)
    assert answer.proof == ("bound" if answer.unplaced else "free")


def test_a_full_calendar_takes_one_more_with_two_hundred_units():
    """Each unit has ten requests end to end; two short ones could share the gap of another day."""
    units = range(200)
    requests = [
        Request((unit, part), 10 * part, 10 * part + 10, units, now_on=unit) for unit in units for part in range(10)
    ]
    requests[500] = replace(requests[500], ends_at=requests[500].starts_at + 4)
    other = next(place for place in range(600, 2_000) if requests[place].starts_at == requests[500].starts_at)
    requests[other] = replace(requests[other], starts_at=requests[other].starts_at + 4)
    start = requests[500].starts_at
    answer = assign([*requests, Request("new", start, start + 10, units)], units)
    assert (answer.unplaced, answer.proof, answer.moves) == ([], "exact", 1)
