"""Each stage of the search behind the plug map against an enumeration of every packing, stage by stage.

Most answers of ``allocate`` end at the first stage; here the later ones are asked for cases that they would never see.
"""

from random import Random

import pytest

from calc.solve.packing import Bin, Group, Problem, choose, model
from calc.solve.packing.gathering import gather
from calc.solve.packing.model import choose_by_model, pack_by_model
from calc.solve.packing.search import counts_refuse, pack
from calc.solve.solver import WorkBudget

CASES = 120


def random_problem(random):
    kinds = random.randint(1, 2)
    sizes = random.choice([[30, 30, 15], [4, 7, 15, 30, 45], [11, 13, 17, 19, 23], [0, 5]])
    one_size = random.random() < 0.4
    groups = []
    for _ in range(random.randint(1, 4)):
        takes = [random.choice([*sizes, *sizes, None]) for _ in range(kinds)]
        groups.append(
            Group(random.randint(0, 1), tuple(takes[:1] * kinds if one_size else takes), random.randint(1, 2))
        )
    bins = [
        Bin(random.choice([30, 45, 55]), tuple(random.randint(0, 2) for _ in range(kinds)))
        for _ in range(random.randint(1, 3))
    ]
    return Problem(tuple(bins), tuple(groups[:3] if sum(group.count for group in groups) > 6 else groups))


def random_ranks(random, problem):
    """Hand out ranks so that those of a group ascend."""
    ranks = list(range(sum(group.count for group in problem.groups)))
    random.shuffle(ranks)
    dealt = iter(ranks)
    return [sorted(next(dealt) for _ in range(group.count)) for group in problem.groups]


def every_packing(problem):
    """Return for each number of items of each group that can stand the least that they take: item by item."""
    least = {}

    def place(group, number, state, counts, taken):
        if group == len(problem.groups):
            least[counts] = min(least.get(counts, taken), taken)
            return
        if number == problem.groups[group].count:
            place(group + 1, 0, state, counts, taken)
            return
        place(group, number + 1, state, counts, taken)
        more = (*counts[:group], counts[group] + 1, *counts[group + 1 :])
        for where, (left, free) in enumerate(state):
            for kind, size in enumerate(problem.groups[group].takes):
                if size is not None and size <= left and free[kind]:
                    after = (left - size, (*free[:kind], free[kind] - 1, *free[kind + 1 :]))
                    changed = (*state[:where], after, *state[where + 1 :])
                    place(group, number + 1, changed, more, taken + size)

    place(0, 0, tuple((each.budget, each.places) for each in problem.bins), (0,) * len(problem.groups), 0)
    return least


def value(problem, ranks, counts, taken):
    """The order of preference, least first, written out."""
    by_priority = [
        -sum(count for group, count in zip(problem.groups, counts, strict=True) if group.priority == priority)
        for priority in (1, 0)
    ]
    placed = sorted(rank for members, count in zip(ranks, counts, strict=True) for rank in members[:count])
    return by_priority, taken, placed


def look(problem, loading):
    """Check that a loading stands, and return its counts and what it takes."""
    counts = [0] * len(problem.groups)
    for place, each in enumerate(problem.bins):
        here = {key: count for key, count in loading.items() if key[1] == place}
        assert sum(problem.groups[group].takes[kind] * count for (group, _, kind), count in here.items()) <= each.budget
        for kind, room in enumerate(each.places):
            assert sum(count for (_, _, what), count in here.items() if what == kind) <= room
    for (group, _, _), count in loading.items():
        counts[group] += count
    taken = sum(problem.groups[group].takes[kind] * count for (group, _, kind), count in loading.items())
    return tuple(counts), taken


@pytest.fixture(scope="module")
def enumerated():
    random = Random(7)
    problems = [random_problem(random) for _ in range(CASES)]
    return [(problem, random_ranks(random, problem), every_packing(problem)) for problem in problems]


def by_model(problem, ranks):
    return choose_by_model(problem, ranks, WorkBudget(4.0))


@pytest.mark.parametrize("stage", [choose, by_model])
def test_every_stage_finds_the_best_packing(enumerated, stage):
    for problem, ranks, least in enumerated:
        choice = stage(problem, ranks)
        assert choice.proven
        assert choice.most_proven
        counts, taken = look(problem, choice.loading)
        best = min(value(problem, ranks, counts, taken) for counts, taken in least.items())
        assert value(problem, ranks, counts, taken) == best


@pytest.mark.parametrize(
    "stage", [lambda *asked: pack(*asked, most_steps=10_000), lambda *asked: pack_by_model(*asked, WorkBudget(4.0))]
)
def test_every_search_for_room_knows_what_fits(enumerated, stage):
    random = Random(11)
    for problem, _, least in enumerated:
        counts = tuple(random.randint(0, group.count) for group in problem.groups)
        packing = stage(problem, counts)
        assert packing.proven
        assert (packing.loading is not None) == (counts in least)
        if packing.loading is not None:
            assert look(problem, packing.loading)[0] == counts


def test_counting_never_refuses_what_fits(enumerated):
    refused = 0
    for problem, _, least in enumerated:
        assert not any(counts_refuse(problem, counts) for counts in least)
        refused += counts_refuse(problem, [group.count for group in problem.groups])
    assert refused > CASES / 4


def test_gathered_room_is_room(enumerated):
    """It may give up, but what it finds stands; where sizes do not depend on the place it finds nearly all there is."""
    found = missed = 0
    for problem, _, least in enumerated:
        for counts in least:
            loading = gather(problem, counts)
            if loading is not None:
                found += 1
                assert look(problem, loading)[0] == counts
            elif all(len(set(group.takes)) == 1 and group.takes[0] is not None for group in problem.groups):
                missed += 1
    assert found > 20 * max(missed, 1)


FOUR_BINS_OF_TEN = Problem((Bin(10, (9,)),) * 4, (Group(0, (4,), 4), Group(0, (3,), 8)))
"""Each holds 4 + 3 + 3; who begins with 4 + 4 has to go back."""


def test_a_search_that_gives_up_says_so():
    given_up = pack(FOUR_BINS_OF_TEN, (4, 8), most_steps=0)
    assert (given_up.loading, given_up.proven) == (None, False)
    assert look(FOUR_BINS_OF_TEN, pack(FOUR_BINS_OF_TEN, (4, 8), most_steps=1_000).loading) == ((4, 8), 40)


def test_a_solver_without_time_claims_nothing():
    sizes = range(7, 27)
    problem = Problem((Bin(55, (8,)),) * 12, tuple(Group(0, (size,), 3) for size in sizes))
    ranks = [[3 * number, 3 * number + 1, 3 * number + 2] for number in range(len(sizes))]
    choice = choose_by_model(problem, ranks, WorkBudget(1e-9))
    assert not choice.proven
    assert not choice.most_proven
    look(problem, choice.loading)
    assert not pack_by_model(problem, [3] * len(sizes), WorkBudget(1e-9)).proven


def test_numbers_are_proven_even_where_there_is_no_work_left_for_watts(monkeypatch, enumerated):
    """The counts by priority of every enumerated case, with nothing to spend on what the items take."""
    monkeypatch.setattr(model, "WORK_FOR_DETAILS", 0.0)
    open_details = 0
    for problem, ranks, least in enumerated:
        choice = choose(problem, ranks)
        assert choice.most_proven
        counts, _ = look(problem, choice.loading)
        best = min(value(problem, ranks, counts, taken) for counts, taken in least.items())
        assert value(problem, ranks, counts, 0)[0] == best[0]
        open_details += not choice.proven
    assert open_details


def test_one_budget_serves_all_runs_of_a_call():
    """Each run takes from what is left, and what it did not need stays for the next."""
    work = WorkBudget(4.0)
    left = [work.left]
    for _ in range(3):
        assert pack_by_model(FOUR_BINS_OF_TEN, (4, 8), work).proven
        left.append(work.left)
    assert left == sorted(set(left), reverse=True)
    assert left[-1] > 3
